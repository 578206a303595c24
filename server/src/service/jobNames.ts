import { type Data, isGroup } from '../placeholders/data.ts';
import { visible } from '../placeholders/environment.ts';
import { namesIn } from '../placeholders/expression.ts';
import type { Expressions } from '../placeholders/tags.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import { nearest } from '../text/nearest.ts';

/** A name that a job gives a value to, though nothing would ever read it. */
export interface UnknownName {
  /** As the job has it: dotted, with [0] for a list's element. */
  readonly name: string;
  /** What it is probably meant for, best first. */
  readonly near: readonly string[];
}

/** Names of one job that are told; where more are wrong, the file is another one. */
const MOST_TOLD = 20;

/**
 * The names of a job that neither the vocabulary nor a tag of the text has.
 * @param given The job's values by dotted name; lists stay whole.
 */
export function unknownNames(
  given: ReadonlyMap<string, Data>,
  vocabulary: Vocabulary,
  expressions: Expressions,
): readonly UnknownName[] {
  const anyCase = vocabulary.grammar?.names.caseMatters === false;
  const plain = (name: string): string => (anyCase ? name.toLowerCase() : name);
  const known = new Set([...vocabulary.names.keys()].map(plain));
  const used = new Set<string>();
  for (const { expr } of expressions.values()) for (const { name } of expr ? namesIn(expr) : []) used.add(plain(name));
  const parts = new Set([...used].flatMap(beginnings));
  const isKnown = (path: string, value: Data): boolean => {
    const name = plain(path);
    if (known.has(name.replace(/\[\d*\]/g, '[]'))) return true;
    const bare = name.replace(/\[\d*\]/g, '');
    const [list = '', own = ''] = path.split(/\[\d*\]\.?/, 2);
    // The elements of a list of the vocabulary have its names, and those that tags read there.
    if (own !== '' && vocabulary.names.get(list)?.items) return used.has(plain(own));
    // A group of which a tag reads a part, or the part of a group that a tag reads whole.
    return (parts.has(bare) && (used.has(bare) || !isPlain(value))) || beginnings(bare).some((one) => used.has(one));
  };
  const unknown: string[] = [];
  for (const [path, value] of given) {
    if (!isKnown(path, value)) unknown.push(path);
    else unknown.push(...elementNames(path, value).filter((one) => !isKnown(one, 0)));
    if (unknown.length >= MOST_TOLD) break;
  }
  const offered = new Set([
    ...visible(vocabulary).map(({ name }) => name),
    ...[...vocabulary.names.keys()].filter((name) => name.includes('[]')),
    ...used,
  ]);
  return [...new Set(unknown)].slice(0, MOST_TOLD).map((name) => {
    const standIn = vocabulary.standIns?.get(name);
    const index = /\[\d+\]/.exec(name)?.[0];
    const near = standIn === undefined ? nearest(name.replace(/\[\d*\]/g, '[]'), offered) : [standIn];
    return { name, near: near.map((one) => (index === undefined ? one : one.replace('[]', index))) };
  });
}

const isPlain = (value: Data): boolean => typeof value !== 'object';

/** `a`, `a.b` and `a.b.c` of `a.b.c`. */
function beginnings(name: string): string[] {
  const found = [name];
  for (let dot = name.indexOf('.'); dot >= 0; dot = name.indexOf('.', dot + 1)) found.push(name.slice(0, dot));
  return found;
}

/** The names that a list's elements give values to, as `tools[0].number`; of many elements those of the first. */
function elementNames(path: string, value: Data): string[] {
  if (!Array.isArray(value)) return [];
  const names: string[] = [];
  const collect = (one: Data, at: string, depth: number): void => {
    if (!isGroup(one) || depth > DEEPEST) {
      if (at.includes('].')) names.push(at);
      return;
    }
    for (const [key, inner] of Object.entries(one)) collect(inner, `${at}.${key}`, depth + 1);
  };
  for (const [i, one] of value.slice(0, MOST_ELEMENTS).entries()) collect(one, `${path}[${i}]`, 0);
  return names;
}

const DEEPEST = 20;
const MOST_ELEMENTS = 200;

/** Says of a name that nothing reads it, and what it may be meant for. `where`: what gives it, as `--set`. */
export function unknownNameText({ name, near }: UnknownName, where: string): string {
  const hint = near.length > 0 ? ` Did you mean ${near.slice(0, 3).join(' or ')}?` : ' Correct it, or remove it.';
  return `${where} gives a value for ${name}, which neither the vocabulary nor this text has, so it would be ignored.${hint}`;
}
