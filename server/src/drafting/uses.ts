import { shownCode } from '../commands/bind.ts';
import { axisOf, heaterOf, isFilament } from '../commands/quantity.ts';
import { findRecordWord, type WordRecord } from '../commands/record.ts';
import type { Axis, HeaterKind } from '../machine/effect.ts';
import { type BinaryOp, childrenOf, type Expr, namesIn } from '../placeholders/expression.ts';
import type { NameKind } from '../placeholders/vocabulary.ts';
import type { Prepared } from '../simulate/context.ts';
import { commentAt, lineAt, openedBy } from '../syntax/at.ts';
import type { Tag } from '../syntax/nodes.ts';
import { Pace, type Pieces } from '../text/pieces.ts';
import { slice } from '../text/span.ts';

// Kinds, units and ranges of names, inferred from where they stand.

/** One thing that a place says about a name. null: it does not tell. */
export interface Use {
  readonly kind: NameKind;
  readonly unit: string | null;
  /** Both ends as a vocabulary file writes them. */
  readonly range: readonly [number | string, number | string] | null;
  readonly choices: readonly string[];
  /** What it is, for people: 'nozzle temperature'. */
  readonly what: string;
  /** 'S of M104'. */
  readonly where: string;
  /** In a comment or a message, where anything may stand: it counts where nothing else does. */
  readonly hearsay?: true;
}

/** What the tags of a text say of names. */
export interface NameUses {
  /** In the order in which the names first appear; the offset of the first place and the number of places beside. */
  readonly uses: ReadonlyMap<string, { readonly at: number; times: number; readonly of: Use[] }>;
  /** Names that the text itself gives: set in it, or elements of a list. */
  readonly own: ReadonlySet<string>;
  /** Lists that sections go through, by the name that an element has there. */
  readonly items: ReadonlyMap<string, string>;
  /** Whole numbers in brackets behind a list's name, and what else stands there. */
  readonly indexes: readonly NameIndex[];
}

export interface NameIndex {
  readonly list: string;
  /** The number that is written there; null: something that is worked out, whose first name is `by`. */
  readonly number: number | null;
  readonly by: string | null;
  readonly at: number;
}

/** What each name of a text is used for. What stands in comments and messages counts less. */
export function* findingUses(prepared: Prepared): Pieces<NameUses> {
  const pace = new Pace();
  const { tree, expressions } = prepared;
  const uses = new Map<string, { readonly at: number; times: number; readonly of: Use[] }>();
  const own = new Set<string>();
  const items = new Map<string, string>();
  const indexes: NameIndex[] = [];
  const places = yield* wordUses(prepared);
  const free = freeTextPlaces(prepared);
  for (const tag of tree.tags) {
    if (pace.due()) yield;
    const read = expressions.get(tag);
    if (read?.sets !== undefined) own.add(read.sets);
    const expr = read?.expr;
    if (!expr) continue;
    for (const [name, role] of read.loop?.roles ?? []) {
      own.add(name);
      if (role === 'item' && expr.type === 'name') items.set(name, expr.name);
    }
    const add: Add = (name, one, counts = true) => {
      if (name === '.' || name === 'this' || name.startsWith('@')) return;
      const known = uses.get(name) ?? { at: tag.span.start, times: 0, of: [] };
      uses.set(name, known);
      if (counts) known.times++;
      const same = (other: Use): boolean =>
        other.where === one?.where && other.what === one.what && other.choices[0] === one.choices[0];
      if (one && !known.of.some(same)) known.of.push(one);
    };
    indexes.push(...indexesIn(expr, tag.span.start));
    const line = lineAt(tree, tag.span.start);
    const said = commentAt(line, tag.span.start) ? COMMENT : free.has(tag.span.start) ? MESSAGE : null;
    if (tag.kind === 'value') learn(expr, said ?? places.get(tag) ?? null, add);
    else if (tag.kind === 'set') learn(expr, null, add);
    else if (tag.keyword === 'each') learn(expr, LIST, add);
    else if (tag.keyword === 'switch') learn(expr, TEXT_COMPARED, add);
    else if (tag.keyword === 'case') learn(read.condition ?? expr, null, (name, one) => add(name, one, false));
    else learn(expr, isLooped(prepared, tag) ? LIST : FLAG, add);
  }
  return { uses, own, items, indexes };
}

/** How far into a section its own element is looked for. */
const MOST_WITHIN = 2000;

/** A section of Mustache's marks that writes its own element goes through a list. */
function isLooped({ tree }: Prepared, tag: Tag): boolean {
  const section = openedBy(tree, tag);
  if (!section || section.inverted || tag.keyword !== undefined) return false;
  const start = tag.span.end;
  const end = Math.min(section.close?.span.start ?? start, start + MOST_WITHIN);
  return /[{\s](\.|this|@index)[}\s]/.test(slice(tree.text, { start, end }));
}

function indexesIn(expr: Expr, at: number): NameIndex[] {
  const found = childrenOf(expr).flatMap((part) => indexesIn(part, at));
  if (expr.type !== 'index' || expr.list.type !== 'name') return found;
  const { index } = expr;
  const number = index.type === 'number' ? index.value : null;
  return [...found, { list: expr.list.name, number, by: namesIn(index)[0]?.name ?? null, at }];
}

/** Where tags begin that stand in the text of a message. */
function freeTextPlaces({ bound, catalog, tree }: Prepared): ReadonlySet<number> {
  const lines = new Set<number>();
  for (const { code, line } of bound.all) if (catalog.freeText.has(code)) lines.add(line.index);
  return new Set(tree.tags.flatMap(({ span }) => (lines.has(lineAt(tree, span.start).index) ? [span.start] : [])));
}

const use = (kind: NameKind, what: string, where: string, more: Partial<Use> = {}): Use => ({
  kind,
  unit: null,
  range: null,
  choices: [],
  what,
  where,
  ...more,
});

const FLAG = use('flag', 'yes or no', 'a condition');
const LIST = use('list', 'a list', 'a section over it');
const TEXT_COMPARED = use('text', 'a text', 'a choice by its text');
const COMMENT = use('text', 'a text', 'a comment', { hearsay: true });
const MESSAGE = use('text', 'a text', 'a message', { hearsay: true });

/** What the word or text that a tag stands in says about the tag's value. */
function* wordUses({ bound, catalog, machine }: Prepared): Pieces<Map<Tag, Use>> {
  const pace = new Pace();
  const places = new Map<Tag, Use>();
  // Behind G91 a word for an axis says how far, and not where to.
  let relative = false;
  for (const command of bound.all) {
    if (pace.due()) yield;
    for (const effect of command.record?.effects ?? []) if (effect.do === 'distance') ({ relative } = effect);
    if (!command.record || catalog.freeText.has(command.code)) continue;
    for (const word of command.words) {
      const value = word.value;
      if (value?.type !== 'filled') continue;
      const tags = value.parts.filter((part): part is Tag => 'type' in part && part.kind === 'value');
      const plain = value.parts.every((part) => 'type' in part);
      const record = findRecordWord(command.record, word.key);
      // The first digits of a number say nothing about its size.
      if (!record || (!plain && tags.length + 1 < value.parts.length)) continue;
      const where = word.key === command.code ? word.key : `${record.written ?? word.key} of ${shownCode(command)}`;
      const found = ofWord(record, where, machine?.controller.fanFull ?? 255, relative);
      if (found) for (const tag of tags) places.set(tag, found);
    }
  }
  return places;
}

const HEAT_RANGE: Readonly<Record<HeaterKind, readonly [number | string, string]>> = {
  nozzle: ['heat.nozzle.minExtrude', 'heat.nozzle.max'],
  bed: [0, 'heat.bed.max'],
  chamber: [0, 'heat.chamber.max'],
};
const AXIS_RANGE: Readonly<Record<Axis, readonly [string, string]>> = {
  x: ['reach.left', 'reach.right'],
  y: ['reach.front', 'reach.back'],
  z: ['reach.bottom', 'reach.top'],
};

function ofWord(
  { unit, meaning, key, quantity }: WordRecord,
  where: string,
  fanFull: number,
  relative: boolean,
): Use | null {
  if (quantity === 'tool') return use('count', 'number of a tool', where, { range: [0, 'tools - 1'] });
  const heater = heaterOf(quantity);
  if (heater) return use('temperature', `${heater} temperature`, where, { range: HEAT_RANGE[heater] });
  const axis = quantity.startsWith('place ') ? axisOf(quantity) : null;
  if (axis && relative) return use('length', `distance along ${key}`, where);
  if (axis) return use('length', `place along ${key}`, where, { range: AXIS_RANGE[axis] });
  switch (unit) {
    case 'degrees C':
      return use('temperature', 'temperature', where);
    case 'length':
    case 'mm':
      return use('length', isFilament(quantity) ? 'length of filament' : meaning, where);
    case 'length/min':
      return use('number', 'speed', where, { unit: 'mm/min' });
    case 'fan':
      return use('number', 'fan speed', where, { range: [0, fanFull] });
    case 'percent':
      return use('number', meaning, where, { unit: '%', range: [0, 100] });
    case 'count':
    case 'index':
      return use('count', meaning, where);
    case 'text':
      return use('text', meaning, where);
    case 'switch':
      return use('count', meaning, where, { range: [0, 1] });
    case 'none':
      return null;
    default:
      return use('number', meaning, where, { unit: unit === 'number' || unit === 'dwell' ? null : unit });
  }
}

type Add = (name: string, use: Use | null, counts?: boolean) => void;

/** Follows an expression down to its names. `place`: what is known of the expression's own value. */
function learn(expr: Expr, place: Use | null, add: Add): void {
  if (expr.type === 'name') {
    add(expr.name, place);
    // What is told of a name that the text sets holds for what it was set to.
    if (expr.means) learn(expr.means, place && { ...place, where: `${place.where}, by ${expr.name}` }, uncounted(add));
  } else if (expr.type === 'unary') learn(expr.arg, expr.op === '!' ? FLAG : inExpression(place), add);
  else if (expr.type === 'call') for (const arg of expr.args) learn(arg, inExpression(place), add);
  else if (expr.type === 'choice') {
    learn(expr.test, FLAG, add);
    learn(expr.yes, place, add);
    learn(expr.no, place, add);
  } else if (expr.type === 'binary') learnBinary(expr, place, add);
  else if (expr.type === 'index') learnIndex(expr, place, add);
  else if (expr.type === 'unclear')
    for (const part of expr.parts) learn(part, expr.rule === 'andOr' ? FLAG : PART, add);
  else if (expr.type === 'format') learn(expr.arg, place ?? PART, add);
  else for (const part of childrenOf(expr)) learn(part, null, add);
}

const uncounted =
  (add: Add): Add =>
  (name, use) =>
    add(name, use, false);

/** A list whose element is used; what is known of the element's value goes to the list's items. */
function learnIndex({ list, index, own }: Extract<Expr, { type: 'index' }>, place: Use | null, add: Add): void {
  if (list.type === 'name' && own === null && index.type !== 'text') {
    add(list.name, { ...LIST, where: 'with an index' });
    if (place) add(`${list.name}[]`, place, false);
  } else if (list.type === 'name' && own !== null) add(list.name, { ...LIST, where: 'with an index' });
  else learn(list, null, add);
  learn(index, use('count', 'a number', 'an index'), add);
}

function learnBinary(expr: Extract<Expr, { type: 'binary' }>, place: Use | null, add: Add): void {
  const { op, left, right } = expr;
  const [ofLeft, ofRight] = sidesOf(op, left, right, place);
  learn(left, ofLeft, add);
  learn(right, ofRight, add);
}

/** What an operator says about its two sides. */
function sidesOf(op: BinaryOp, left: Expr, right: Expr, place: Use | null): readonly [Use | null, Use | null] {
  // Written out, the right side is given where the left one does not hold.
  if (op === '&&' || op === '||') return place && place !== FLAG ? [op === '||' ? place : FLAG, place] : [FLAG, FLAG];
  if (op === '??') return [place, place];
  if (op === '~') return [null, null];
  if (op === '+' || op === '-') return [inExpression(place), inExpression(place)];
  if (op === '*' || op === '/' || op === '%' || op === '//' || op === '**') return [PART, PART];
  return [comparedWith(right), comparedWith(left)];
}

const PART = use('number', 'a number', 'a calculation');

/** In a sum the kind is the same, and the range may be another. */
const inExpression = (place: Use | null): Use | null =>
  place && (place === FLAG ? PART : { ...place, where: `${place.where}, in a calculation`, range: place.range });

function comparedWith(other: Expr): Use | null {
  if (other.type === 'text') return use('text', 'a text', 'a comparison', { choices: [other.value] });
  if (other.type === 'flag') return FLAG;
  return other.type === 'number' ? use('number', 'a number', 'a comparison') : null;
}
