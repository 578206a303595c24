import { once } from '../text/once.ts';
import { exact, ofName } from './bounds.ts';
import { elementKey } from './elements.ts';
import { plainValue } from './evaluate.ts';
import type { Env, Value } from './value.ts';
import type { Job, Name, Vocabulary } from './vocabulary.ts';

type Plain = number | string | boolean;

/** The environment of all jobs at once: every name anywhere in its range. */
export function boundsEnv(vocabulary: Vocabulary): Env {
  const any = ANY_VALUES(vocabulary);
  return (name) => {
    const own = vocabulary.standIns?.get(name) ?? name;
    const before = any.get(own);
    if (before) return before;
    const known = vocabulary.names.get(own);
    if (!known) return undefined;
    const value = likeTools(known, anyValueOf(known), vocabulary);
    any.set(own, value);
    return value;
  };
}

/** What the names of a vocabulary can be in some job, as far as it has been asked for. */
const ANY_VALUES = once((_: Vocabulary) => new Map<string, Value>());

/** The environment of one job. Names that the job does not give keep their range; of a list it gives the length. */
export function jobEnv(vocabulary: Vocabulary, job: Job): Env {
  const all = boundsEnv(vocabulary);
  const lists = new Map<string, Value>();
  const seen = new Map<string, Value | undefined>();
  const lookUp = (name: string): Value | undefined => {
    const own = vocabulary.standIns?.get(name) ?? name;
    const known = vocabulary.names.get(own);
    const tools = known?.perTool ? toolsIn(vocabulary) : undefined;
    const plain = (tools && job.get(tools.name)) ?? job.get(own);
    if (plain === undefined) return all(name);
    if (typeof plain === 'number' && known?.kind === 'list') {
      const list = lists.get(own) ?? listIn(job, known, own, own, plain);
      lists.set(own, list);
      return list;
    }
    return plainValue(plain);
  };
  return (name) => {
    const before = seen.get(name);
    if (before || seen.has(name)) return before;
    const value = lookUp(name);
    seen.set(name, value);
    return value;
  };
}

/** The list of tools, by whatever name the vocabulary has it. */
const toolsIn = ({ names, standIns }: Vocabulary): Name | undefined => names.get(standIns?.get('tools') ?? 'tools');

/** A list with one element for each tool is as long as there are tools. */
function likeTools(name: Name, value: Value, vocabulary: Vocabulary): Value {
  const tools = name.perTool && value.type === 'list' ? toolsIn(vocabulary) : undefined;
  return tools?.range && value.type === 'list' ? { ...value, length: tools.range } : value;
}

/** Everything that a name can be in some job. */
export function anyValueOf(name: Name): Value {
  switch (name.kind) {
    case 'text':
      return { type: 'text', any: name.choices ?? null };
    case 'flag':
      return { type: 'flag', is: null };
    case 'list':
      return {
        type: 'list',
        length: name.range ?? { lo: 0, hi: Number.POSITIVE_INFINITY },
        items: null,
        ...anyElement(name),
        ...(name.perTool ? { perTool: true } : {}),
      };
    default:
      return name.range ? { type: 'number', ...ofName({ ...name, range: name.range }) } : { type: 'unknown' };
  }
}

/** What the own names of any element can be; nothing where the list's elements have none. */
function anyElement({ items }: Name): { readonly each?: ReadonlyMap<string, Value> } {
  if (!items || items.length === 0) return {};
  return { each: new Map(items.map((item) => [item.name, alone(anyValueOf(item))])) };
}

/** A number without its relation: two elements have the same name, and each a value of its own. */
const alone = (value: Value): Value =>
  value.type === 'number' ? { type: 'number', lo: value.lo, hi: value.hi } : value;

/** More elements than these in a job are taken to be anything. */
const MOST_ELEMENTS = 1000;

/** A list of one job. `key`: of the list in the vocabulary (`tools`); `place`: in this job (`tools`, `tools[1].parts`). */
function listIn(job: Job, list: Name, key: string, place: string, length: number): Value {
  const { items } = list;
  const any = { ...anyElement(list), ...(list.perTool ? ({ perTool: true } as const) : {}) };
  if (!items || items.length === 0 || length > MOST_ELEMENTS)
    return { type: 'list', length: exact(length), items: null, ...any };
  const elements = Array.from({ length: Math.max(0, Math.round(length)) }, (_, i) => {
    const own = items.map((item): [string, Value] => {
      const at = `${place}[${i}].${item.name}`;
      const plain = job.get(at) ?? elementValue(job.get(elementKey(key, item.name)), item, i);
      if (plain === undefined) return [item.name, any.each?.get(item.name) ?? { type: 'unknown' }];
      if (item.kind === 'list' && typeof plain === 'number')
        return [item.name, listIn(job, item, elementKey(key, item.name), at, plain)];
      return [item.name, plainValue(plain)];
    });
    return new Map(own);
  });
  return { type: 'list', length: exact(length), items: elements, ...any };
}

/** The value that the i-th element has for a name of its own, where the job gives one for all of them. */
export function elementValue(plain: Plain | undefined, item: Name, i: number): Plain | undefined {
  if (typeof plain !== 'number' || !item.rising) return plain;
  return Math.max(plain, Math.min(plain + i, item.range?.hi ?? Number.POSITIVE_INFINITY));
}

/** Names that an expression may use: not the hidden ones. */
export const visible = (vocabulary: Vocabulary): Name[] =>
  [...vocabulary.names.values()].filter((name) => !name.hidden);
