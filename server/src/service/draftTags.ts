import { parseExpression } from '../placeholders/expression.ts';

/** Pairs that programs might write tags between. Longer ones first, so that a short one is not found inside them. */
const PAIRS: readonly (readonly [string, string])[] = [
  ['{{{', '}}}'],
  ['{{', '}}'],
  ['[[', ']]'],
  ['<<', '>>'],
  ['<%', '%>'],
  ['{%', '%}'],
  ['${', '}'],
  ['#{', '}'],
  ['@{', '}'],
  ['%{', '}'],
  ['{', '}'],
  ['[', ']'],
  ['<', '>'],
  ['«', '»'],
  ['‹', '›'],
  ['⟨', '⟩'],
  ['|', '|'],
  ['%', '%'],
  ['@', '@'],
  ['#', '#'],
  ['$', '$'],
  ['~', '~'],
];

/** The tags of a language that is no more than pairs of delimiters and four words. */
export interface DraftStyle {
  readonly delimiters: readonly (readonly [string, string])[];
  readonly keywords: DraftKeywords | null;
}

type DraftKeywords = { readonly [is in 'if' | 'elseIf' | 'else' | 'end']?: string };

/** Characters of a sequence that are looked at: a draft is made from a sequence, not from a finished program. */
const MOST_TEXT = 500_000;
const LONGEST_TAG = 200;

/** A tag as found before it is known how tags are written. */
export interface FoundTag {
  readonly start: number;
  readonly end: number;
  readonly content: string;
}

/** What seems to be this text's way of writing tags, and what it was concluded from. */
export interface DraftTags {
  readonly style: DraftStyle;
  /** How often each pair was found. */
  readonly counts: readonly number[];
  /** Tags whose first word is no keyword that could be told, and that are no expression: as written. */
  readonly unclear: readonly string[];
}

/** Finds the delimiters and section keywords of a text. */
export function findStyle(whole: string): DraftTags {
  const text = whole.slice(0, MOST_TEXT);
  const taken = new Uint8Array(text.length);
  const found: { readonly pair: readonly [string, string]; readonly tags: readonly FoundTag[] }[] = [];
  for (const pair of PAIRS) {
    const tags = tagsBetween(text, pair, taken);
    const inComment = commentsOf(text);
    const certain = tags.filter((tag) => !inComment(tag.start));
    if (certain.length === 0) continue;
    // Two pairs that begin alike cannot be in use together: the one that was found first, the longer one, stays.
    if (found.some((one) => one.pair[0].startsWith(pair[0]) || pair[0].startsWith(one.pair[0]))) continue;
    for (const tag of tags) taken.fill(1, tag.start, tag.end);
    found.push({ pair, tags: certain });
  }
  const all = found.flatMap((one) => one.tags).sort((a, b) => a.start - b.start);
  const { keywords, unclear } = findKeywords(text, all);
  if (found.length === 0) return { style: { delimiters: [['{{', '}}']], keywords: null }, counts: [0], unclear };
  return {
    style: { delimiters: found.map(({ pair: [open, close] }) => [open, close] as const), keywords },
    counts: found.map(({ tags }) => tags.length),
    unclear,
  };
}

function tagsBetween(text: string, [open, close]: readonly [string, string], taken: Uint8Array): FoundTag[] {
  const found: FoundTag[] = [];
  for (let at = text.indexOf(open); at >= 0; at = text.indexOf(open, at)) {
    const inside = at + open.length;
    const end = taken[at] ? -1 : text.slice(inside, inside + LONGEST_TAG).indexOf(close);
    const content = end < 0 ? '' : text.slice(inside, inside + end);
    if (end < 0 || /[\r\n]/.test(content) || content.includes(open) || !isTagLike(content, open === close)) {
      at = inside;
      continue;
    }
    found.push({ start: at, end: inside + end + close.length, content });
    at = inside + end + close.length;
  }
  return found;
}

const NAME = /[\p{L}_$][\p{L}\p{N}_$]*/u;

/** Whether this may stand between delimiters: a name, an expression with one, or words in front of one. */
function isTagLike(content: string, sameEnds: boolean): boolean {
  const trimmed = content.trim();
  if (!NAME.test(trimmed)) return false;
  // Between two equal marks almost anything can stand, such as two percentages in a sentence.
  if (sameEnds) return /^[\p{L}_$][\p{L}\p{N}_$.]*$/u.test(content);
  if (/^[#^/&!>]/.test(trimmed)) return true;
  return isExpression(trimmed) || /^[\p{L}_$][\p{L}\p{N}_$]*(\s+\S.*)?$/u.test(trimmed);
}

const isExpression = (source: string): boolean => parseExpression(source, 0).expr !== null;

/**
 * Whether a place lies behind a `;`, or inside parentheses that open at a word's beginning, on its row. Asked for one place
 * behind the other, so that nothing of the text is looked at twice.
 */
function commentsOf(text: string): (at: number) => boolean {
  let to = 0;
  let behindSemicolon = false;
  let open = false;
  return (at) => {
    for (; to < at; to++) {
      const char = text.charCodeAt(to);
      if (char === LF || char === CR) {
        behindSemicolon = false;
        open = false;
      } else if (char === SEMICOLON) behindSemicolon = true;
      else if (char === CLOSES) open = false;
      else if (char === OPENS && (to === 0 || /\s/.test(text.charAt(to - 1)))) open = true;
    }
    return behindSemicolon || open;
  };
}
const [LF, CR, SEMICOLON, OPENS, CLOSES] = [10, 13, 59, 40, 41];

/** A tag that may steer: the words in front of an expression, or words alone. */
interface Steering {
  readonly words: string;
  readonly bare: boolean;
}

/**
 * The section keywords, told from their places: the first steering tag must open a section and the last must close one;
 * a second word in front of an expression is the else-if, a second word alone the else.
 */
function findKeywords(
  text: string,
  tags: readonly FoundTag[],
): { keywords: DraftKeywords | null; unclear: readonly string[] } {
  const steering: Steering[] = [];
  const unclear = new Set<string>();
  const openers = new Set(tags.flatMap(({ content }) => openerOf(content.trim()) ?? []));
  for (const tag of tags) {
    const content = tag.content.trim();
    if (/^[#^/&!>]/.test(content)) continue;
    const opener = openerOf(content);
    if (opener !== null) steering.push({ words: opener, bare: false });
    else if (openers.size > 0 && /^[\p{L}_ ]+$/u.test(content) && standsAlone(text, tag))
      steering.push({ words: content, bare: true });
    else if (!isExpression(content)) unclear.add(content);
  }
  const none = { keywords: null, unclear: [...unclear, ...new Set(steering.map(({ words }) => words))] };
  const [first, last] = [steering[0], steering.at(-1)];
  if (!first || !last || first.bare || !last.bare)
    return { ...none, unclear: steering.length === 0 ? [...unclear] : none.unclear };
  const withCondition = [...openers];
  const alone = [...new Set(steering.filter(({ bare }) => bare).map(({ words }) => words))];
  if (withCondition.length > 2 || alone.length > 2) return none;
  const elseIf = withCondition.find((words) => words !== first.words);
  const other = alone.find((words) => words !== last.words);
  let depth = 0;
  for (const { words } of steering) {
    if (words === first.words) depth++;
    else if (words === last.words) depth--;
    if (depth < 0 || (depth === 0 && words !== last.words)) return none;
  }
  if (depth !== 0) return none;
  const keywords: DraftKeywords = {
    if: first.words,
    ...(elseIf === undefined ? {} : { elseIf }),
    ...(other === undefined ? {} : { else: other }),
    end: last.words,
  };
  return { keywords, unclear: [...unclear] };
}

/** The one or two words that stand in front of an expression; null where there are none. */
function openerOf(content: string): string | null {
  if (isExpression(content)) return null;
  const match = /^([\p{L}_]+)\s+(\S.*)$/u.exec(content);
  if (!match) return null;
  const [, first = '', rest = ''] = match;
  if (isExpression(rest)) return first;
  const second = /^([\p{L}_]+)\s+(\S.*)$/u.exec(rest);
  return second?.[1] !== undefined && isExpression(second[2] ?? '') ? `${first} ${second[1]}` : null;
}

/** Whether only blanks, or other tags and a comment, stand beside a tag on its row. */
function standsAlone(text: string, { start, end }: FoundTag): boolean {
  const before = /(?:^|[\r\n])([^\r\n]*)$/.exec(text.slice(Math.max(0, start - 300), start))?.[1] ?? '';
  const behind = /^[^\r\n]*/.exec(text.slice(end, end + 300))?.[0] ?? '';
  return before.trim() === '' && /^\s*(;.*|\(.*)?$/.test(behind);
}
