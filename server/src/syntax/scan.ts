import type { DeepSection } from './building.ts';
import { isBlank } from './chars.ts';
import type { NamedForm } from './namedForm.ts';
import { extentOf, type Tag, TokenKind, type Tokens } from './nodes.ts';
import type { ProblemList } from './problems.ts';
import type { Pairing } from './sections.ts';
import type { ParserWork } from './tags.ts';

/**
 * The scanner's place in the text. All readers of this room take a Scan, consume from `pos` on and leave a token for
 * every code unit they pass. None of them goes past `stop` without taking the tag or the end of row that stands there.
 */
export interface Scan {
  readonly text: string;
  readonly tags: readonly Tag[];
  readonly after: Pairing['after'];
  /** Command codes that are followed by free text. */
  readonly freeText: ReadonlySet<string>;
  /** How named commands are written. */
  readonly named: NamedForm;
  /** How a value's tag is written, for messages: `{{ … }}`. */
  readonly tagShown: string;
  readonly problems: ProblemList;
  readonly work: ParserWork;
  kinds: Uint8Array;
  ends: Uint32Array;
  count: number;
  pos: number;
  /** End of the row that `pos` is in, without its end of line. */
  rowEnd: number;
  /** The nearer of `rowEnd` and the next tag. */
  stop: number;
  tagIndex: number;
  /** Start of the next tag, with the white space that it takes away; beyond the text behind the last. */
  tagAt: number;
  /** The innermost section at `pos`. */
  section: DeepSection | null;
  /** The shallowest section since the line began: the one that holds all of the line. */
  holder: DeepSection | null;
  /** Next line feed and carriage return, so that looking for the end of row stays linear. */
  nextLf: number;
  nextCr: number;
  /** Up to here parentheses are known not to pair up, so that comments are not looked through again. */
  unbalancedUntil: number;
  /** Up to here no key with its sign begins. */
  noKeyUntil: number;
  /** The run of name characters that was looked through last, so that each is looked through once only. */
  nameFrom: number;
  nameTo: number;
}

export function startScan(
  text: string,
  tags: readonly Tag[],
  after: Pairing['after'],
  form: Pick<Scan, 'freeText' | 'named' | 'tagShown'>,
  problems: ProblemList,
  work: ParserWork,
): Scan {
  const room = (text.length >> 1) + 64;
  const scan: Scan = {
    text,
    tags,
    after,
    freeText: form.freeText,
    named: form.named,
    tagShown: form.tagShown,
    problems,
    work,
    kinds: new Uint8Array(room),
    ends: new Uint32Array(room),
    count: 0,
    pos: 0,
    rowEnd: 0,
    stop: 0,
    tagIndex: 0,
    tagAt: startOf(tags[0], text),
    section: null,
    holder: null,
    nextLf: -1,
    nextCr: -1,
    unbalancedUntil: 0,
    noKeyUntil: 0,
    nameFrom: 0,
    nameTo: 0,
  };
  findRow(scan);
  return scan;
}

/** Makes everything from `pos` to `end` one token; nothing where it would be empty. */
export function emit(s: Scan, kind: TokenKind, end: number): void {
  if (end <= s.pos) return;
  if (s.count === s.kinds.length) grow(s);
  s.kinds[s.count] = kind;
  s.ends[s.count] = end;
  s.count++;
  s.work.steps += end - s.pos;
  s.pos = end;
}

function grow(s: Scan): void {
  const kinds = new Uint8Array(s.kinds.length * 2);
  const ends = new Uint32Array(s.ends.length * 2);
  kinds.set(s.kinds);
  ends.set(s.ends);
  s.kinds = kinds;
  s.ends = ends;
}

/** The tokens so far, in arrays of their own size. */
export const tokensOf = (s: Scan): Tokens => ({
  count: s.count,
  kinds: s.kinds.slice(0, s.count),
  ends: s.ends.slice(0, s.count),
});

/** Sets `rowEnd` and `stop` for the row at `pos`. */
export function findRow(s: Scan): void {
  if (s.nextLf < s.pos) s.nextLf = find(s, '\n');
  if (s.nextCr < s.pos) s.nextCr = find(s, '\r');
  s.rowEnd = Math.min(s.nextLf, s.nextCr);
  s.stop = Math.min(s.tagAt, s.rowEnd);
}

function find(s: Scan, what: string): number {
  const found = s.text.indexOf(what, s.pos);
  const end = found < 0 ? s.text.length : found;
  s.work.steps += end - s.pos + 1;
  return end;
}

/** The tag at `pos`, not yet taken; undefined where none begins there. */
export const tagHere = (s: Scan): Tag | undefined => (s.tagAt === s.pos ? s.tags[s.tagIndex] : undefined);

/** Takes the tag at `pos`. It may run over rows: the line then goes on behind it. */
export function takeTag(s: Scan): Tag {
  const tag = s.tags[s.tagIndex] as Tag;
  if (tag.takes) emit(s, TokenKind.space, tag.span.start);
  emit(s, TokenKind.tag, tag.span.end);
  if (tag.takes) emit(s, TokenKind.space, tag.takes.end);
  const section = s.after[s.tagIndex] ?? null;
  if (section !== s.section) {
    s.section = section;
    // From one branch of a chain into the next: the row lies whole only in what is around both.
    const around = section?.open === tag && section.chain !== tag ? (section.parent as DeepSection | null) : section;
    if ((around?.depth ?? 0) < (s.holder?.depth ?? 0)) s.holder = around;
  }
  s.tagIndex++;
  s.tagAt = startOf(s.tags[s.tagIndex], s.text);
  if (s.pos > s.rowEnd) findRow(s);
  else s.stop = Math.min(s.tagAt, s.rowEnd);
  return tag;
}

const startOf = (tag: Tag | undefined, text: string): number => (tag ? extentOf(tag).start : text.length + 1);

/**
 * Whether the row goes on at `pos`. At its end, too, where a tag takes that end away: the rows are then one for whoever
 * reads the text when it has been filled in.
 */
export const rowGoesOn = (s: Scan): boolean => s.pos < s.rowEnd || s.pos === s.tagAt;

/**
 * Whether the tag gives text where it stands that commands and values are made of. The others only steer; what an escape
 * gives is a sign that no command has.
 */
export const givesText = ({ kind }: Tag): boolean => kind === 'value' || kind === 'partial' || kind === 'foreign';

/** Takes plain blanks. */
export function takeBlanks(s: Scan): void {
  const { text, stop } = s;
  let i = s.pos;
  while (i < stop && isBlank(text.charCodeAt(i))) i++;
  if (i > s.pos) emit(s, TokenKind.space, i);
}

/** Takes everything up to the end of the row as `kind`, tags in it as tags; returns where it ends. */
export function takeRow(s: Scan, kind: TokenKind): number {
  while (rowGoesOn(s)) {
    if (s.tagAt === s.pos) takeTag(s);
    else emit(s, kind, s.stop);
  }
  return s.pos;
}
