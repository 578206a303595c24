import { add, type Bounds, bounds, exact, isExact, isSame, join, type Known, subtract } from './bounds.ts';
import type { AnyFunction, Expr } from './expr.ts';
import type { Rules } from './rules.ts';
import { asNumber, type Env, type Value } from './value.ts';
import { written } from './writing.ts';

// Lists: their elements, and what functions of other languages make of them and of texts.

const UNKNOWN: Value = { type: 'unknown' };
const number = (b: Known): Value => (b ? { type: 'number', ...b } : UNKNOWN);
type List = Extract<Value, { type: 'list' }>;
type Index = Extract<Expr, { type: 'index' }>;

/** An element's own name under which a plain value is kept. */
export const ITSELF = '.';

/** Everything that either value can be; unknown where they are of different kinds. */
function either(a: Value, b: Value): Value {
  if (a.type === 'number' && b.type === 'number') return number(join(a, b));
  if (a.type === 'text' && b.type === 'text')
    return { type: 'text', any: a.any && b.any ? [...new Set([...a.any, ...b.any])] : null };
  if (a.type === 'flag' && b.type === 'flag') return { type: 'flag', is: a.is === b.is ? a.is : null };
  return a === b ? a : UNKNOWN;
}

/** A list that is written out. */
export function listOf(items: readonly Value[]): Value {
  return { type: 'list', length: exact(items.length), items: items.map((item) => new Map([[ITSELF, item]])) };
}

/** Elements of a range that are each looked at. */
const MOST_ITEMS = 1000;

/** Whole numbers from one to another. */
export function rangeOf(from: Known, to: Known): Value {
  if (!from || !to) return UNKNOWN;
  const item: Value = { type: 'number', lo: from.lo, hi: Math.max(from.lo, to.hi) };
  const each = new Map([[ITSELF, item]]);
  if (!isExact(from) || !isExact(to) || to.lo - from.lo >= MOST_ITEMS) {
    const count = add(subtract(to, from), exact(1));
    const length: Bounds = {
      lo: Math.max(0, Math.floor(count?.lo ?? 0)),
      hi: Math.max(0, count?.hi ?? Number.POSITIVE_INFINITY),
    };
    return { type: 'list', length, items: null, each };
  }
  const length = Math.max(0, Math.floor(to.lo - from.lo) + 1);
  const items = Array.from({ length }, (_, i) => new Map([[ITSELF, number(exact(from.lo + i))]]));
  return { type: 'list', length: exact(length), items, each };
}

/** An element of a list: exact where the index is, else what any that may be meant can be; unknown where none may be there. */
export function elementIn(expr: Index, list: Value, index: Value, env: Env): Value {
  const own = expr.own ?? ITSELF;
  if (list.type !== 'list') return index.type === 'text' ? byKey(expr, index, env) : UNKNOWN;
  const at = asNumber(index);
  if (!at) return UNKNOWN;
  const { first, index: written } = expr;
  if (isTools(list, written, at, env)) return inside(list, { lo: 0, hi: Number.POSITIVE_INFINITY }, own, at);
  const ways = first === null ? [0, 1] : [first];
  // Where both ways are open, filling in asks for the one.
  const found = ways.map((from) => {
    const place = subtract(at, exact(from));
    return place && place.lo >= 0 && place.hi <= list.length.lo - 1 ? inside(list, place, own, place) : UNKNOWN;
  });
  const [one, other] = found;
  if (other && one !== other) env.asks?.add('firstIndex');
  return found.reduce(either);
}

/** Whether a list has an element for each tool, and the index is the tool's number. */
function isTools({ perTool }: List, index: Expr, at: Bounds, env: Env): boolean {
  if (!perTool) return false;
  const tool = env('tool.number');
  return tool?.type === 'number' && (isSame(tool, at) || (index.type === 'name' && env(index.name) === tool));
}

/** The elements at these places, from 0, all of which are there. */
function inside({ items, each }: List, { lo, hi }: { lo: number; hi: number }, own: string, place: Bounds): Value {
  const known = items?.slice(
    Math.max(0, Math.ceil(isExact(place) ? place.lo : lo)),
    Math.floor(isExact(place) ? place.lo : hi) + 1,
  );
  const found =
    known && known.length > 0 ? known.map((item) => item.get(own) ?? UNKNOWN).reduce(either) : each?.get(own);
  return found ?? UNKNOWN;
}

/** `m[k]` where k is one of some texts: each is a name of its own. */
function byKey({ list }: Index, key: Extract<Value, { type: 'text' }>, env: Env): Value {
  if (list.type !== 'name' || !key.any || key.any.length === 0 || key.any.length > 64) return UNKNOWN;
  return key.any.map((k) => env(`${list.name}.${k}`) ?? UNKNOWN).reduce(either);
}

const ANY_TEXT: Value = { type: 'text', any: null };

/** Functions that take lists and texts. */
export function textsOf(name: AnyFunction, [first, second]: readonly Value[], rules?: Rules): Value {
  if (!first) return UNKNOWN;
  switch (name) {
    case 'length':
      return lengthOf(first);
    case 'first':
    case 'last':
      return first.type === 'list' && first.length.lo >= 1 ? endOf(first, name) : UNKNOWN;
    case 'upper':
    case 'lower':
      return first.type !== 'text'
        ? ANY_TEXT
        : { type: 'text', any: first.any?.map((t) => (name === 'upper' ? t.toUpperCase() : t.toLowerCase())) ?? null };
    case 'join': {
      const between = second ? written(second) : '';
      if (first.type !== 'list' || between === null || !rules) return ANY_TEXT;
      const text = written(first, { ...rules, bareList: { is: 'joined', between, open: '', close: '' } });
      return text === null ? ANY_TEXT : { type: 'text', any: [text] };
    }
    default:
      return UNKNOWN;
  }
}

function lengthOf(value: Value): Value {
  if (value.type === 'list') return number({ lo: value.length.lo, hi: value.length.hi });
  if (value.type !== 'text') return UNKNOWN;
  const lengths = value.any?.map((t) => t.length) ?? [];
  return lengths.length > 0
    ? number(bounds(Math.min(...lengths), Math.max(...lengths)))
    : number({ lo: 0, hi: Number.POSITIVE_INFINITY });
}

function endOf({ items, each }: List, name: 'first' | 'last'): Value {
  const item = name === 'first' ? items?.[0] : items?.at(-1);
  return (item ?? each)?.get(ITSELF) ?? UNKNOWN;
}
