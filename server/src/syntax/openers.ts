import { type DigitForm, digitForm } from './digitForms.ts';
import { formsOf, type StatementShape } from './forms.ts';
import type { CommentScan } from './looseTags.ts';
import type { ProblemList } from './problems.ts';
import type { ParserWork } from './quotes.ts';
import { marksOf, type TagLanguage, type TagPair } from './tagStyle.ts';

/**
 * How a tag goes on behind its opener. `plain`: up to the first close, as the Mustache specification has it; `pair`: the
 * same, but not within quotes or brackets of its expression. `lineRest`: a row that begins with a line's sign and is
 * nothing else that is known.
 */
export type OpenerKind =
  | 'escape'
  | 'raw'
  | 'rawEnd'
  | 'line'
  | 'comment'
  | 'equal'
  | 'plain'
  | 'pair'
  | 'bare'
  | 'lineRest';

/** Something that may begin a tag, while tags are looked for. -2: not looked for yet; -1: there is none any more. */
export interface Opener {
  readonly text: string;
  readonly kind: OpenerKind;
  /** The pairs that open like this, the longest close first. */
  readonly pairs: readonly TagPair[];
  /** What an escape gives, or the end of a raw stretch. */
  readonly other: string;
  /** The next place at or behind the one asked for. */
  next: number;
  /** The next close. Kept, so that unclosed tags do not search again. */
  nextClose: number;
}

/** A language as it is searched for. */
export interface TagReading {
  readonly language: TagLanguage;
  readonly quotes: readonly string[];
  readonly forms: readonly StatementShape[];
  readonly marks: string;
  /** What may follow a value's close as a part of its tag. */
  readonly formats: readonly DigitForm[];
}

/** Where tags are looked for. */
export interface Search {
  readonly text: string;
  readonly reading: TagReading;
  readonly problems: ProblemList;
  readonly work: ParserWork;
  openers: readonly Opener[];
  /** Where an unclosed tag with nothing in it ended last; -1: the last one held something. */
  emptyUntil: number;
  /** Whether a stretch that is never closed has been told. */
  rawTold: boolean;
  /** Up to here the text has been read: where the last tag ends, with the white space that it takes. */
  until: number;
  /** Where comments are; null where no tag depends on it. */
  readonly comments: CommentScan | null;
}

export const readingOf = (language: TagLanguage): TagReading => ({
  language,
  quotes: language.quotes ?? ['"', "'"],
  forms: formsOf(language.statements),
  marks: marksOf(language),
  formats: (language.formatsBehind ?? []).map(digitForm),
});

/** Of openers at one place the longest counts; of those that are alike the one that stands first here. */
const ORDER: readonly OpenerKind[] = [
  'escape',
  'raw',
  'rawEnd',
  'line',
  'comment',
  'equal',
  'plain',
  'pair',
  'bare',
  'lineRest',
];

/** All openers of a language, as they are tried at one place. */
export function openersOf({ language, quotes }: TagReading): Opener[] {
  const { pairs, lineMarks, escapes, raw } = language;
  const openers: Opener[] = [
    ...escapes.map(({ written, gives }) => opener(written, 'escape', [], gives)),
    ...raw.map(([open, close]) => opener(open, 'raw', [], close)),
    ...raw.map(([, close]) => opener(close, 'rawEnd')),
    ...lineMarks.flatMap((mark) => [opener(mark, 'line'), opener(mark, 'lineRest')]),
  ];
  const grouped = new Map<string, TagPair[]>();
  for (const pair of pairs) {
    if (pair.open === '') continue;
    const id = `${kindOf(pair, quotes)} ${pair.open}`;
    grouped.set(id, [...(grouped.get(id) ?? []), pair]);
  }
  for (const group of grouped.values()) {
    const [first] = group as [TagPair];
    const kind = kindOf(first, quotes);
    group.sort((a, b) => b.close.length - a.close.length);
    openers.push(opener(first.open, kind === 'plain' && group.length > 1 ? 'pair' : kind, group));
  }
  return openers.sort((a, b) => b.text.length - a.text.length || ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind));
}

/** One that a set-delimiter tag brings into force. */
export const plainOpener = (open: string, close: string): Opener =>
  opener(open, 'plain', [{ open, close, holds: 'anything' }]);

const opener = (text: string, kind: OpenerKind, pairs: readonly TagPair[] = [], other = ''): Opener => ({
  text,
  kind,
  pairs,
  other,
  next: -2,
  nextClose: -2,
});

function kindOf({ open, close, holds }: TagPair, quotes: readonly string[]): OpenerKind {
  if (holds === 'comments') return 'comment';
  if (close === '') return 'bare';
  if (open === close) return 'equal';
  return quotes.length === 0 ? 'plain' : 'pair';
}

/** The next place at or behind `from` where a tag may begin; -1 where there is none. */
export function nextPlace(text: string, openers: readonly Opener[], from: number, work: ParserWork): number {
  let first = -1;
  for (const one of openers) {
    if (one.next !== -1 && one.next < from) {
      one.next = text.indexOf(one.text, from);
      work.steps += (one.next < 0 ? text.length : one.next) - from + 1;
    }
    if (one.next >= 0 && (first < 0 || one.next < first)) first = one.next;
  }
  return first;
}

/** The next close of an opener's only pair at or behind `from`; -1 where there is none. */
export function nextCloseOf(text: string, one: Opener, from: number, work: ParserWork): number {
  if (one.nextClose !== -1 && one.nextClose < from) {
    one.nextClose = text.indexOf(one.pairs[0]?.close as string, from);
    work.steps += (one.nextClose < 0 ? text.length : one.nextClose) - from + 1;
  }
  return one.nextClose;
}
