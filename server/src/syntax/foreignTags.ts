import { finish, Pace, type Pieces } from '../text/pieces.ts';
import { type Span, span } from '../text/span.ts';
import { type ForeignRole, foreignRoles, lineRole } from './foreignRoles.ts';
import { acceptedPairs, keyOf, type Witness } from './foreignScore.ts';
import type { TagPair } from './tagStyle.ts';

/** A tag of a language that nobody described, and what it seems to do. */
export interface ForeignTag {
  readonly span: Span;
  readonly is: ForeignRole;
  /** Its delimiters; of a statement on a line of its own its sign, and nothing. */
  readonly pair: readonly [string, string];
  /** What stands between its ends, or behind the sign of its line. */
  readonly content: string;
  /** A statement that is a line as a whole, behind its sign. */
  readonly line?: true;
}

/** What a text shows of a placeholder language: its tags outside of comments. */
export interface ForeignTags {
  /** How its tags are written, the most frequent first. */
  readonly pairs: readonly (readonly [string, string])[];
  /** In the order of the text. */
  readonly tags: readonly ForeignTag[];
  readonly sections: boolean;
}

const SIGN_CLASS = '[^\\p{L}\\p{N}\\s;"\'`.,+\\-_/\\\\()*=]';
const SIGN = new RegExp(SIGN_CLASS, 'u');
/** Characters that are looked at: what is longer was written by no hand. */
const MOST_TEXT = 500_000;
const LONGEST_TAG = 400;

/** A tag as found, before it is known whether its pair is one. */
interface Found extends Witness {
  readonly span: Span;
  /** Where its row begins. */
  readonly row: number;
  readonly line?: true;
}

/**
 * The tags of a placeholder language that is not this one, told from the text alone: by what stands in a number's place,
 * where G-code cannot be read, and by lines that are no commands and balance. Comments, messages, RS-274 parameters and
 * expressions (NISTIR 6556 3.3.2), percentages and `%` alone on a line prove nothing. Time grows linearly with the text.
 * Tags between the own delimiters are foreign too where they are not meant as that.
 */
export const foreignTags = (whole: string, own: OwnTags): ForeignTags | null => finish(findingForeign(whole, own));

/** The delimiters of the language that a text is read in, and whether tags between them are of that language. */
export interface OwnTags {
  readonly pairs: readonly Pick<TagPair, 'open' | 'close'>[];
  readonly meant: boolean;
}

/** The same in pieces. */
export function* findingForeign(whole: string, own: OwnTags): Pieces<ForeignTags | null> {
  const text = whole.slice(0, MOST_TEXT);
  if (!/[^\p{L}\p{N}\s.,;:"'()+\-*=_/]/u.test(text)) return null;
  if (own.meant && hasOnlyOwn(text, own.pairs)) return null;
  const rows = [...rowsIn(text)];
  const found: Found[] = [];
  const pace = new Pace();
  for (const [start, end] of rows) {
    const tags = tagsInRow(text, start, end, own.pairs);
    for (const tag of tags) found.push(tag);
    if (pace.due(1 + tags.length)) yield;
  }
  const isOwn = ([open]: readonly [string, string]): boolean => own.pairs.some((pair) => pair.open === open);
  const lines = lineStatements(text, rows, found);
  const accepted = acceptedPairs(found, (pair) => isOwn(pair) && own.meant, isOwn);
  if (accepted.size === 0 && lines.length === 0) return null;
  const rowsTaken = new Set(lines.map((line) => line.row));
  const kept = [...lines, ...found.filter(({ pair, row }) => accepted.has(keyOf(pair)) && !rowsTaken.has(row))].sort(
    (a, b) => a.span.start - b.span.start,
  );
  const roles = foreignRoles(kept);
  const tags = kept.flatMap((tag, i): ForeignTag[] => {
    const is = roles[i] ?? 'value';
    // A value between the language's own delimiters is its own, beside sections of another.
    return own.meant && isOwn(tag.pair) && is === 'value' ? [] : [seen(tag, is)];
  });
  if (tags.every(({ pair }) => own.meant && isOwn(pair))) return null;
  return { pairs: byFrequency(tags), tags, sections: tags.some(({ is }) => is === 'open') };
}

/** A comment, something in brackets, or a sign. */
const REMARK_OR_SIGN = `[;(]|${SIGN_CLASS}`;

/**
 * Whether all signs outside of comments clearly belong to tags between the own delimiters: then nothing is foreign, and
 * no row need be taken apart. False where that does not show at once.
 */
function hasOnlyOwn(text: string, own: OwnTags['pairs']): boolean {
  const plain = own.filter(({ open, close }) => /^([{<])\1*$/.test(open) && close !== '');
  const remarkOrSign = new RegExp(REMARK_OR_SIGN, 'gu');
  const lineEnd = /[\r\n]/g;
  // Looked for once in each row, which may be all of the text.
  let end = -1;
  const rowEnd = (from: number): number => {
    if (from < end) return end;
    lineEnd.lastIndex = from;
    end = lineEnd.exec(text)?.index ?? text.length;
    return end;
  };
  for (let sign = remarkOrSign.exec(text); sign; sign = remarkOrSign.exec(text)) {
    const at = sign.index;
    if (sign[0] === ';') remarkOrSign.lastIndex = rowEnd(at);
    else if (sign[0] === '(') {
      if (SIGN.test(text.charAt(at - 1))) continue;
      const close = text.slice(at, rowEnd(at)).indexOf(')');
      remarkOrSign.lastIndex = close < 0 ? rowEnd(at) : at + close + 1;
    } else {
      const to = plainTagEnd(text, at, rowEnd(at), plain, own);
      if (to === null) return false;
      remarkOrSign.lastIndex = to;
    }
  }
  return true;
}

/** The end of the own tag that begins here, which can be nothing else; null: perhaps something else, or none. */
function plainTagEnd(
  text: string,
  at: number,
  end: number,
  plain: OwnTags['pairs'],
  own: OwnTags['pairs'],
): number | null {
  const opening = own.filter(({ open }) => open !== '' && text.startsWith(open, at));
  const [pair, another] = opening;
  if (!pair || another || !plain.includes(pair)) return null;
  const { open, close } = pair;
  const from = at + open.length;
  const to = text.indexOf(close, from);
  if (to < 0 || to + close.length > Math.min(end, from + LONGEST_TAG)) return null;
  const next = text.charAt(from);
  // One more bracket, or a sign that stands inside the close as well, may be another pair's.
  if (next === open.charAt(0)) return null;
  if (SIGN.test(next) && text.slice(from, Math.min(end, at + LONGEST_TAG)).includes(next + close)) return null;
  return isTagLike(text.slice(from, to), open, close, text.slice(Math.max(0, at - 10), at)) ? to + close.length : null;
}

const seen = ({ span, pair, content, line }: Found, is: ForeignRole): ForeignTag => ({
  ...{ span, is, pair, content },
  ...(line ? { line } : {}),
});

function byFrequency(tags: readonly ForeignTag[]): ForeignTags['pairs'] {
  const counts = new Map<string, { pair: readonly [string, string]; n: number }>();
  for (const { pair } of tags) {
    const one = counts.get(keyOf(pair)) ?? { pair, n: 0 };
    one.n++;
    counts.set(keyOf(pair), one);
  }
  return [...counts.values()].sort((a, b) => b.n - a.n).map(({ pair }) => pair);
}

/** Where each row begins and ends, its end of line left out. */
function* rowsIn(text: string): Generator<readonly [number, number]> {
  const ends = /\r\n|\r|\n/g;
  let start = 0;
  for (let end = ends.exec(text); end; end = ends.exec(text)) {
    yield [start, end.index];
    start = end.index + end[0].length;
  }
  yield [start, text.length];
}

const MIRROR: Readonly<Record<string, string>> = {
  '{': '}',
  '[': ']',
  '<': '>',
  '(': ')',
  '«': '»',
  '‹': '›',
  '⟨': '⟩',
  '⟦': '⟧',
  '【': '】',
  '「': '」',
  '〈': '〉',
  '《': '》',
};
/** Commands that are followed by text (common practice, no source). */
const FREE_TEXT = /^\s*(N\d+\s*)?M11[78]\b/i;
/** Functions of RS-274 before a bracket (NISTIR 6556 3.3.2.3). */
const FUNCTION = /[A-Z]{2,5}$/i;

function tagsInRow(text: string, start: number, end: number, own: readonly Pick<TagPair, 'open' | 'close'>[]): Found[] {
  const row = text.slice(start, end);
  if (!SIGN.test(row)) return [];
  const found: (Omit<Found, 'alone'> & { readonly from: number; readonly to: number })[] = [];
  const free = FREE_TEXT.test(row);
  let comment = false;
  let quote = false;
  for (let at = 0; at < row.length; ) {
    const char = row.charAt(at);
    if (char === ';') comment = true;
    if (char === '"') quote = !quote;
    if (char === '(' && !comment && !SIGN.test(row.charAt(at - 1))) {
      const close = row.indexOf(')', at);
      at = close < 0 ? row.length : close + 1;
      continue;
    }
    const tag = comment || !SIGN.test(char) ? null : tagAt(row, at, own);
    if (tag === 'parameter') {
      at += /^[#[{<\]>\s\w.+\-*/]*/.exec(row.slice(at))?.[0].length || 1;
      continue;
    }
    if (!tag) {
      at += char === '' ? 1 : (row.codePointAt(at) ?? 0) > 0xffff ? 2 : 1;
      continue;
    }
    const hearsay = free || quote;
    found.push({
      span: span(start + at, start + tag.to),
      row: start,
      pair: tag.pair,
      content: tag.content,
      proof: !hearsay && isNumberPlace(row, at, found.at(-1)?.to),
      hearsay,
      from: at,
      to: tag.to,
    });
    at = tag.to;
  }
  const rest =
    found.map(({ from }, i) => row.slice(found[i - 1]?.to ?? 0, from)).join('') + row.slice(found.at(-1)?.to ?? 0);
  const alone = /^\s*(;.*|\([^)]*\)\s*)?$/.test(rest);
  return found
    .filter(({ pair, proof, hearsay }) => pair[1] !== '' || proof || hearsay)
    .map(({ from: _, to: __, ...tag }) => ({ ...tag, alone }));
}

/** Whether a value of a word stands here: behind its letter or its "=", a sign or digits perhaps between, or another tag. */
function isNumberPlace(row: string, at: number, before: number | undefined): boolean {
  if (before === at) return true;
  const left = row.slice(Math.max(0, at - 40), at);
  return /(^|[\s\d\])}>»])[A-Za-z][-+]?[\d.]*$/.test(left) || /[A-Za-z_]=[-+]?[\d.]*$/.test(left);
}

interface Tagged {
  readonly pair: readonly [string, string];
  readonly content: string;
  readonly to: number;
}

/** The tag that begins here; 'parameter': something of RS-274 does. */
function tagAt(row: string, at: number, own: readonly Pick<TagPair, 'open' | 'close'>[]): Tagged | 'parameter' | null {
  if (/^\[*#(<|\d|\[)/.test(row.slice(at, at + 4)) || /^\[[^\]\p{L}]*\]/u.test(row.slice(at, at + 60)))
    return 'parameter';
  for (const [open, close] of candidates(row, at, own)) {
    const from = at + open.length;
    const to = row.slice(from, from + LONGEST_TAG).indexOf(close);
    if (to < 0) continue;
    const content = row.slice(from, from + to);
    if (!isTagLike(content, open, close, row.slice(Math.max(0, at - 10), at))) continue;
    // A form behind the close, as of numbers: `%(x)d`, `%(x).1f`.
    const form = open.endsWith('(')
      ? (/^(\.\d+)?[dfgsi](?![A-Za-z])/.exec(row.slice(from + to + close.length))?.[0] ?? '')
      : '';
    return { pair: [open, close], content, to: from + to + close.length + form.length };
  }
  const sign = row.charAt(at);
  const name = /^[\p{L}_][\p{L}\p{N}_]*(\.[\p{L}_][\p{L}\p{N}_]*)*(\[[^\]\s]*\])?/u.exec(
    row.slice(at + 1, at + LONGEST_TAG),
  )?.[0];
  if (name === undefined || !'$@&:~!|^%'.includes(sign)) return null;
  return { pair: [sign, ''], content: name, to: at + 1 + name.length };
}

/** The pairs of delimiters of which one may open here, the longest first. */
function candidates(
  row: string,
  at: number,
  own: readonly Pick<TagPair, 'open' | 'close'>[],
): readonly (readonly [string, string])[] {
  const run = /^[^\p{L}\p{N}\s;"'`.,+\-_/\\*=)\]}>»›⟩⟧】」〉》]+/u.exec(row.slice(at, at + 12))?.[0] ?? '';
  const mine = own
    .filter(({ open, close }) => close !== '' && row.startsWith(open, at))
    .map(({ open, close }) => [open, close] as const);
  const [, signs = '', brackets = '', rest = ''] =
    /^([^([{<«‹⟨⟦【「〈《]*)(([([{<«‹⟨⟦【「〈《])\3*)?/u.exec(run)?.map((part) => part ?? '') ?? [];
  const made: (readonly [string, string])[] = [];
  const mirrored = [...brackets]
    .reverse()
    .map((char) => MIRROR[char] ?? char)
    .join('');
  if (brackets !== '' && rest !== '') {
    const mark = run.charAt(signs.length + brackets.length);
    if (signs === '' && brackets.startsWith('(')) return mine;
    // `{% %}`, `<% %>`, `<%= %>`, `{# #}`: the sign stands inside both ends.
    if (mark !== '' && row.slice(at + 2, at + LONGEST_TAG).includes(mark + mirrored)) {
      const equals = row.charAt(at + signs.length + brackets.length + 1) === '=' ? '=' : '';
      made.push([signs + brackets + mark + equals, mark + mirrored]);
    }
    made.push([signs + brackets, mirrored]);
  } else if (signs !== '') {
    for (let length = signs.length; length > 0; length--) made.push([signs.slice(0, length), signs.slice(0, length)]);
  }
  return [...mine, ...made].sort((a, b) => b[0].length - a[0].length);
}

/** Whether this may stand between delimiters: something with a name in it. */
function isTagLike(content: string, open: string, close: string, before: string): boolean {
  if (/^.#$/.test(open) || /^.[#!]-?-?$/.test(open)) return content.trim() !== '';
  // Between two bare names stands the letter of the second one's word: `X$left Y$front`.
  if (open === close)
    return /^[\p{L}_][\p{L}\p{N}_.-]*( [\p{L}\p{N}_.-]+)*$/u.test(content) && !/ [A-Z][-+]?$/.test(content);
  const plain = content.replace(/^[-~=#^/!>&*?:@$.}\s]+/, '').trim();
  if (open === '[' && (content.includes('#') || FUNCTION.test(before) || /^[A-Z]{2,5}\[/i.test(plain))) return false;
  if (open === '<' && /^\s|\s$/.test(content) && !/^[#/]/.test(content)) return false;
  if (plain === '') return /^[-~\s]*(\}|\/)[\s);~-]*$/.test(content);
  return /^[\p{L}_"'\p{N}(]/u.test(plain) && /[\p{L}_]/u.test(plain);
}

/** Lines that are statements as a whole: by a sign before a word, where openers and closers balance. */
function lineStatements(
  text: string,
  rows: readonly (readonly [number, number])[],
  found: readonly Found[],
): readonly Found[] {
  const bySign = new Map<string, Found[]>();
  const tagged = new Set(found.filter(({ pair }) => pair[1] !== '').map((tag) => tag.span.start));
  for (const [start, end] of rows) {
    const match = /^(\s*)([#@%$!&~>:|]{1,2})\s*([\p{L}_}].*?)\s*$/u.exec(
      text.slice(start, Math.min(end, start + LONGEST_TAG)),
    );
    if (!match) continue;
    const [, blank = '', sign = '', content = ''] = match;
    const from = start + blank.length;
    if (tagged.has(from)) continue;
    const one: Found = {
      span: span(from, end),
      row: start,
      pair: [sign, ''],
      content,
      proof: false,
      alone: true,
      hearsay: false,
      line: true,
    };
    const same = bySign.get(sign);
    if (same) same.push(one);
    else bySign.set(sign, [one]);
  }
  return [...bySign.values()].flatMap((lines) => {
    let depth = 0;
    let opened = false;
    for (const { content } of lines) {
      const is = lineRole(content);
      if (is === 'open') opened = true;
      depth += is === 'open' ? 1 : is === 'close' ? -1 : 0;
      if (depth < 0 || is === null) return [];
    }
    return opened && depth === 0 ? lines : [];
  });
}
