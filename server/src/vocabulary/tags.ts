import { quoted } from '../machineFile/complaint.ts';
import { itemPath, tell } from '../machineFile/consistency.ts';
import type { Walk } from '../machineFile/walk.ts';
import type { DeclaredTags } from './file.ts';
import type { VocabularyRoot } from './schema.ts';

/** The pairs of delimiters that can be used together; the usual pair where none is left. */
export function soundDelimiters(walk: Walk, given: VocabularyRoot['delimiters']): DeclaredTags['delimiters'] {
  const pairs: (readonly [string, string])[] = [];
  for (const [i, [open, close]] of (given ?? []).entries()) {
    const path = itemPath(walk, 'delimiters', i);
    // A pair that lost an end has been reported for that.
    if (open === undefined || close === undefined) continue;
    const fault =
      ownFault(open, close) ?? pairs.map((other) => clash([open, close], other)).find((one) => one !== null);
    if (fault) {
      tell(walk, path, `${fault} Until then this pair is not used.`);
      continue;
    }
    const doubt = doubtOf(open, close);
    if (doubt) tell(walk, path, doubt, 'warning');
    pairs.push([open, close]);
  }
  return pairs.length > 0 ? pairs : [['{{', '}}']];
}

function ownFault(open: string, close: string): string | null {
  for (const delimiter of [open, close]) {
    const shown = quoted(delimiter);
    if (/\s/.test(delimiter))
      return `The delimiter ${shown} contains a blank, which may stand anywhere in a sequence. Take it out.`;
    if (delimiter.includes(';'))
      return `The delimiter ${shown} contains “;”, which begins a comment in G-code. Give another one.`;
    if (delimiter.includes('"'))
      return `The delimiter ${shown} contains a double quote, which begins a text. Give another one.`;
  }
  if (open.startsWith('('))
    return `The delimiter ${quoted(open)} begins like a comment in parentheses. Give another one.`;
  if (/^[A-Za-z0-9.+\-*_=,]/.test(open))
    return `The delimiter ${quoted(open)} begins with “${open.charAt(0)}”, which stands in commands and numbers too. Give one that begins with a bracket or another mark.`;
  if (/^[A-Za-z0-9_."']/.test(close))
    return `The delimiter ${quoted(close)} begins with “${close.charAt(0)}”, which stands in names and numbers too, so tags would end too early. Give another one.`;
  return null;
}

function clash([open]: readonly [string, string], [other, otherClose]: readonly [string, string]): string | null {
  if (open === other) return `The delimiter ${quoted(open)} opens two pairs. Take one of them out.`;
  if (open.startsWith(other) || other.startsWith(open))
    return `The delimiters ${quoted(other)} and ${quoted(open)} begin alike, so that a tag could be read as either. Take one of the pairs out.`;
  if (open === otherClose) return `${quoted(open)} opens one pair and closes another. Take one of the pairs out.`;
  return null;
}

/** Characters that expressions use too. */
function doubtOf(open: string, close: string): string | null {
  if (open === '%' || close === '%')
    return '“%” also stands alone on the first and last row of some programs, and means the remainder in an expression: neither can be written then.';
  const operator = [open, close].find((one) => /^([<>+\-*/?:!]|[<>!=]=|&&|\|\|)$/.test(one));
  return operator === undefined
    ? null
    : `${quoted(operator)} is also an operator of expressions: a tag with it inside ends there. Write such comparisons the other way round, or use other delimiters if the program has some.`;
}

/** The keywords that can be told apart; null where there are none. */
export function soundKeywords(
  walk: Walk,
  given: VocabularyRoot['keywords'],
  delimiters: DeclaredTags['delimiters'],
  names: ReadonlySet<string>,
): DeclaredTags['keywords'] {
  if (!given) return null;
  const kept: { [is in 'if' | 'elseIf' | 'else' | 'end']?: string } = {};
  const seen = new Map<string, string>();
  for (const is of ['if', 'elseIf', 'else', 'end'] as const) {
    const word = given[is];
    if (word === undefined) continue;
    const plain = word.trim().replace(/\s+/g, ' ');
    const fault = keywordFault(plain, delimiters, names, seen.get(plain));
    seen.set(plain, is);
    if (fault)
      tell(walk, `keywords.${is}`, `keywords.${is} is ${quoted(word)}${fault} Until then it counts as left out.`);
    else kept[is] = plain;
  }
  if (kept.if !== undefined && given.end === undefined)
    tell(
      walk,
      'keywords',
      'keywords has “if” and no “end”, so sections are closed by the mark /. Add “end” if this program writes a word there.',
      'warning',
    );
  return Object.keys(kept).length > 0 ? kept : null;
}

function keywordFault(
  word: string,
  delimiters: DeclaredTags['delimiters'],
  names: ReadonlySet<string>,
  other: string | undefined,
): string | null {
  if (word === '') return ', which is blank. Write the word, or take it out.';
  if (other !== undefined) return `, and so is keywords.${other}: they cannot be told apart. Correct one of them.`;
  if (names.has(word)) return ', which is also a name of this file: it could never be filled in. Rename one of them.';
  const inside = delimiters.flat().find((one) => word.includes(one));
  return inside === undefined
    ? null
    : `, which contains the delimiter ${quoted(inside)}. Write the word alone, without delimiters.`;
}
