import { quoted } from '../machineFile/complaint.ts';
import { itemPath, tell } from '../machineFile/consistency.ts';
import type { Walk } from '../machineFile/walk.ts';
import type { TagLanguage, TagPair } from '../syntax/tagStyle.ts';
import type { VocabularyRoot } from './schema.ts';

// How tags are written: what can be used together, and why the rest cannot.

/** What stands around placeholders where a file does not say. */
const USUAL: readonly TagPair[] = [{ open: '{{', close: '}}', holds: 'anything' }];

const HOLDS: readonly TagPair['holds'][] = ['anything', 'values', 'statements', 'comments'];

/**
 * The pairs of delimiters that can be used together; the usual pair where none is left.
 * @param isOperator Whether this is an operator of the file's expressions.
 */
export function soundPairs(
  walk: Walk,
  given: VocabularyRoot['delimiters'],
  isOperator: (sign: string) => boolean,
): readonly TagPair[] {
  const pairs: TagPair[] = [];
  for (const [i, parts] of (given ?? []).entries()) {
    const path = itemPath(walk, 'delimiters', i);
    const kept = walk.kept.get(path);
    // A pair that lost an end has been reported for that.
    if (kept?.[0] !== 0 || kept[1] !== 1) continue;
    const [open = '', close = '', holds = 'anything'] = parts;
    const known = HOLDS.find((one) => one === holds);
    if (!known) {
      tell(
        walk,
        `${path}.2`,
        `${path} holds ${quoted(holds)}, which is none of anything, values, statements and comments. Write one of them, or remove it. Until then these tags may hold anything.`,
      );
    }
    const pair: TagPair = { open, close, holds: known ?? 'anything' };
    const [fault, at] = pairFault(pair, path);
    if (fault !== null) {
      tell(walk, at, `${fault} Until then this pair is not used.`);
      continue;
    }
    const clashing = pairs.map((other) => clash(pair, other)).find((one) => one !== null);
    if (clashing) {
      tell(walk, path, `${clashing} Until then this pair is not used.`);
      continue;
    }
    const doubt = doubtOf(pair, isOperator);
    if (doubt) tell(walk, path, doubt, 'warning');
    pairs.push(pair);
  }
  return pairs.length > 0 ? pairs : USUAL;
}

/** Why a pair cannot be used by itself, and where that is told. */
function pairFault({ open, close }: TagPair, path: string): readonly [string | null, string] {
  if (open === '') return [`${path}.0 is empty, so a tag would open everywhere. Write "{{", for example.`, `${path}.0`];
  return [signFault(open) ?? signFault(close) ?? openFault(open) ?? closeFault(close), path];
}

function signFault(delimiter: string): string | null {
  const shown = quoted(delimiter);
  if (/\s/.test(delimiter))
    return `The delimiter ${shown} contains a space, which may stand anywhere in a sequence. Remove it.`;
  if (delimiter.includes(';'))
    return `The delimiter ${shown} contains “;”, which begins a comment in G-code. Write another one.`;
  return delimiter.includes('"')
    ? `The delimiter ${shown} contains a double quote, which begins a text. Write another one.`
    : null;
}

function openFault(open: string): string | null {
  if (open.startsWith('('))
    return `The delimiter ${quoted(open)} begins like a comment in parentheses. Write another one.`;
  return /^[\p{L}\p{N}.+\-*_=,]/u.test(open)
    ? `The delimiter ${quoted(open)} begins with “${open.charAt(0)}”, which stands in commands and numbers too. Write one that begins with a bracket or another sign.`
    : null;
}

const closeFault = (close: string): string | null =>
  /^[\p{L}\p{N}_."']/u.test(close)
    ? `The delimiter ${quoted(close)} begins with “${close.charAt(0)}”, which stands in names and numbers too, so tags would end too early. Write another one.`
    : null;

/** Why two pairs cannot be told apart. Of two that begin alike the longer one is meant where it stands. */
function clash({ open, close }: TagPair, other: TagPair): string | null {
  if (open === other.open)
    return `The delimiter ${quoted(open)} opens two pairs${close === other.close ? '. One pair can hold anything' : ''}. Remove one of them.`;
  if (open === other.close && open !== close)
    return `${quoted(open)} opens one pair and closes another. Remove one of the pairs.`;
  if (close === other.open && open !== close)
    return `${quoted(close)} closes one pair and opens another. Remove one of the pairs.`;
  return null;
}

/** Characters that expressions use too. */
function doubtOf({ open, close, holds }: TagPair, isOperator: (sign: string) => boolean): string | null {
  if (holds === 'comments') return null;
  if ((open === '%' || close === '%') && isOperator('%'))
    return '“%” also stands alone on the first and last line of some job files, and means the remainder in an expression: neither can be written then.';
  const operator = [open, close].find((one) => one !== '' && isOperator(one));
  return operator === undefined || close === ''
    ? null
    : `${quoted(operator)} is also an operator of expressions: a tag with it inside ends there. Write such comparisons the other way around, or use other delimiters if the program has some.`;
}

/** Signs of whole lines; not those with which a line of G-code begins. */
export function soundLineMarks(walk: Walk, given: VocabularyRoot['lineStatements']): readonly string[] {
  return usable(walk, 'lineStatements', given ?? [], (sign, others) => {
    if (/\s/.test(sign)) return 'contains a space. Remove it.';
    if (/^[\p{L}\p{N}.+\-*]/u.test(sign))
      return `begins with “${sign.charAt(0)}”, with which commands begin too, so every such line would be a statement. Write a sign, or remove it.`;
    if (/^[;("]/.test(sign)) return 'begins like a comment or a text in G-code. Write another sign.';
    return others.includes(sign) ? 'stands in the list twice. Remove one of them.' : null;
  });
}

/** Signs that remove white space, directly inside a delimiter. */
export function soundTrims(walk: Walk, given: VocabularyRoot['trims'], pairs: readonly TagPair[]): readonly string[] {
  return usable(walk, 'trims', given ?? [], (sign, others) => {
    if (/[\s\p{L}\p{N}_."']/u.test(sign))
      return 'contains a character that values are written with, so a value would lose it. Write another sign.';
    if (pairs.some(({ open, close }) => sign === open || sign === close))
      return 'is also a delimiter, so the two cannot be told apart. Remove it.';
    return others.includes(sign) ? 'stands in the list twice. Remove one of them.' : null;
  });
}

/**
 * The items of a list without those that have a fault, which is told.
 * @param what What an item is called in front of it.
 */
export function usable(
  walk: Walk,
  list: string,
  given: readonly string[],
  faultOf: (sign: string, others: readonly string[]) => string | null,
  what = `In ${list},`,
): readonly string[] {
  const kept: string[] = [];
  for (const [i, sign] of given.entries()) {
    const fault = faultOf(sign, kept);
    if (fault === null) kept.push(sign);
    else tell(walk, itemPath(walk, list, i), `${what} ${quoted(sign)} ${fault} Until then it is not used.`);
  }
  return kept;
}

/** What stands for a sign itself. */
export function soundEscapes(
  walk: Walk,
  given: VocabularyRoot['escapes'],
  pairs: readonly TagPair[],
): TagLanguage['escapes'] {
  return Object.entries(given ?? {}).flatMap(([written, gives]) => {
    const fault = escapeFault(written, gives, pairs);
    if (fault === null) return [{ written, gives }];
    tell(walk, `escapes.${written}`, `The escape ${quoted(written)} ${fault} Until then it is not used.`);
    return [];
  });
}

function escapeFault(written: string, gives: string, pairs: readonly TagPair[]): string | null {
  if (written.trim() === '') return 'is blank. Write what stands for the sign.';
  if (/[\r\n]/.test(written)) return 'goes over a line end. Write it on one line.';
  if (written === gives) return 'gives itself. Remove it, or write what it gives.';
  if (pairs.some(({ open }) => open === written))
    return 'is also a delimiter, which could then never open a tag. Remove one of them.';
  const signs = pairs.flatMap(({ open, close }) => (close === '' ? [open] : [open, close]));
  // Some double the sign with which a delimiter begins: %% where tags are %(name)d.
  return signs.some((sign) => written.includes(sign.charAt(0)))
    ? null
    : `has no sign of a delimiter in it (${signs.join(' ')}), so it is copied as it is anyway. Remove it, or correct it.`;
}

/** Stretches that are copied as they are. */
export function soundRaw(walk: Walk, given: VocabularyRoot['raw'], pairs: readonly TagPair[]): TagLanguage['raw'] {
  const kept: (readonly [string, string])[] = [];
  for (const [i, [open, close]] of (given ?? []).entries()) {
    if (open === undefined || close === undefined) continue;
    const fault = rawFault(open, close, pairs, kept);
    if (fault === null) kept.push([open, close]);
    else
      tell(
        walk,
        itemPath(walk, 'raw', i),
        `The raw stretch from ${quoted(open)} to ${quoted(close)} ${fault} Until then it is not used.`,
      );
  }
  return kept;
}

function rawFault(open: string, close: string, pairs: readonly TagPair[], others: TagLanguage['raw']): string | null {
  if (open.trim() === '' || close.trim() === '') return 'has a blank end. Write what begins and what ends it.';
  if (open === close) return 'begins and ends alike, so nobody can tell where one ends. Remove it.';
  if (/^[\p{L}\p{N}]/u.test(open)) return 'begins with a letter or digit, as commands do. Remove it.';
  if (pairs.some((pair) => pair.open === open || pair.close === open))
    return 'begins with a delimiter, so that no tag could be written. Remove it, or write the whole tag.';
  return others.some(([other]) => other === open) ? 'begins like another one. Remove one of them.' : null;
}
