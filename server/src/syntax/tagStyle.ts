import type { Span } from '../text/span.ts';

/**
 * How a placeholder language writes its tags and steers with them: the whole of it. A plain value, read from a vocabulary
 * file; nothing here follows one program.
 */
export interface TagLanguage {
  /** All of them at once; of two that open at one place the longer opener counts, of one opener's the close that comes first. */
  readonly pairs: readonly TagPair[];
  /** Signs that make a whole row a statement where they stand first on it: the row goes, its end too. */
  readonly lineMarks: readonly string[];
  /** What is filled in as a sign itself: `{{{{` as `{{`. */
  readonly escapes: readonly { readonly written: string; readonly gives: string }[];
  /** Stretches that are copied as they are. */
  readonly raw: readonly (readonly [string, string])[];
  /**
   * Signs directly inside an end that take the white space beside the tag away. With a blank behind it (`- `) a sign
   * counts only where a blank parts it from what the tag says, so that `{{-x}}` is minus x.
   */
  readonly trims: readonly string[];
  /** How sections, loops and settings are written; empty: by the marks of the Mustache specification. */
  readonly statements: readonly StatementForm[];
  /** What texts of its expressions stand in: a close within them closes no tag. Absent: `"` and `'`. */
  readonly quotes?: readonly string[];
  /** Forms of digits that stand directly behind a value's close and belong to its tag: `d`, `.Nf`. Absent: none. */
  readonly formatsBehind?: readonly string[];
}

/**
 * What opens a tag and what closes it. '' as the close: a bare name behind the opening sign (`$x`, `$x.y`, `$x[0]`), a
 * bare statement (`#if(c)`, `#end`), or a comment up to the row's end. With equal ends (`%x%`) a name has to touch both.
 */
export interface TagPair {
  readonly open: string;
  readonly close: string;
  readonly holds: 'anything' | 'values' | 'statements' | 'comments';
}

/** What a statement does. */
export type StatementKind =
  | 'if'
  | 'unless'
  | 'elseIf'
  | 'else'
  | 'each'
  | 'switch'
  | 'case'
  | 'set'
  | 'include'
  | 'end';

/** The words of a form that stand for something. */
export const SLOTS = ['CONDITION', 'ITEM', 'INDEX', 'LIST', 'NAME', 'VALUE'] as const;
export type FormSlot = (typeof SLOTS)[number];

/**
 * One way to write a statement: its words with capitals where something is put in (CONDITION, ITEM, INDEX, LIST, NAME,
 * VALUE), as `for each ITEM in LIST`, `if (CONDITION) {`, `NAME = VALUE`. A form that has no such word has its
 * condition, list, value or name behind it; one of `else` and `end` has nothing there.
 */
export interface StatementForm {
  readonly is: StatementKind;
  readonly form: string;
}

export const MUSTACHE: TagLanguage = {
  pairs: [{ open: '{{', close: '}}', holds: 'anything' }],
  lineMarks: [],
  escapes: [],
  raw: [],
  trims: [],
  statements: [],
  quotes: [],
};

const OPENS: ReadonlySet<StatementKind> = new Set(['if', 'unless', 'each', 'switch']);

/** Whether a statement of this kind opens a section that is closed by one of `end`. */
export const opensSection = (is: StatementKind): boolean => OPENS.has(is);

/**
 * The marks of the Mustache specification that tell a tag's kind beside the language's own statements: `#` and `^` where
 * it has no `if`, `/` where it has no `end`; all of them where no statement of it steers.
 */
export function marksOf({ statements }: TagLanguage): string {
  const has = new Set(statements.map(({ is }) => is));
  const steers = [...has].some((is) => is !== 'set' && is !== 'include');
  if (!steers) return has.has('include') ? '#^/!=&' : '#^/!=>&';
  return `${has.has('if') || has.has('unless') ? '' : '#^'}${has.has('end') ? '' : '/'}`;
}

/** The pair that this language's values are best written in, for what is put into a text and said in messages. */
export const valuePair = ({ pairs }: TagLanguage): TagPair | undefined =>
  pairs.find(({ holds }) => holds === 'values' || holds === 'anything');

/** A content between the ends of a pair, as people write it. Equal ends touch it. */
export const writtenIn = ({ open, close }: Pick<TagPair, 'open' | 'close'>, content: string): string =>
  open.length > 1 && close.length > 1 && open !== close ? `${open} ${content} ${close}` : `${open}${content}${close}`;

/** A value's tag as this language writes it, with a form of its digits where its values have one. */
export function valueTag(language: TagLanguage, content: string): string | null {
  const pair = valuePair(language);
  if (!pair) return null;
  const forms = language.formatsBehind ?? [];
  // As it is, else with two digits behind the point.
  const form = forms.find((one) => !/[Ndif]/.test(one)) ?? forms.find((one) => one.includes('N')) ?? forms[0] ?? '';
  return `${writtenIn(pair, content)}${form.replace('N', '2')}`;
}

/** A tag of this language, for messages. */
export const shownTag = (language: TagLanguage): string =>
  writtenIn(valuePair(language) ?? { open: '{{', close: '}}' }, '…');

/** The ends that a tag is written with; of a statement on its own row its sign and nothing. undefined: none of the language's. */
export function endsOf(
  { pairs, lineMarks }: TagLanguage,
  text: string,
  { span, format, closed }: TagPlaces,
): Pick<TagPair, 'open' | 'close'> | undefined {
  const end = format?.start ?? span.end;
  const opened = pairs
    .filter(({ open }) => text.startsWith(open, span.start))
    .sort((a, b) => b.open.length - a.open.length || b.close.length - a.close.length);
  const fits = closed ? opened.find(({ close }) => text.endsWith(close, end)) : undefined;
  const mark = lineMarks.find((one) => text.startsWith(one, span.start));
  return fits ?? (mark === undefined ? opened[0] : { open: mark, close: '' });
}

/** A tag as far as its ends go. */
interface TagPlaces {
  readonly span: Span;
  readonly format?: Span;
  readonly closed: boolean;
}

/** The pair that its statements stand in; undefined where they make rows of their own, or there are none. */
export const statementPair = ({ pairs }: TagLanguage): TagPair | undefined =>
  pairs.find(({ holds }) => holds === 'statements') ?? pairs.find(({ holds }) => holds === 'anything');
