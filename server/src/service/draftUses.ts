import { shownCode } from '../commands/bind.ts';
import { axisOf, heaterOf, isFilament } from '../commands/quantity.ts';
import { findRecordWord, type WordRecord } from '../commands/record.ts';
import type { Axis, HeaterKind } from '../machine/effect.ts';
import { type BinaryOp, type Expr, namesIn } from '../placeholders/expression.ts';
import type { NameKind } from '../placeholders/vocabulary.ts';
import type { Prepared } from '../simulate/context.ts';
import { commentAt, lineAt } from '../syntax/at.ts';
import type { Tag } from '../syntax/nodes.ts';
import { Pace, type Pieces } from '../text/pieces.ts';

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
}

/** What each name of a text is used for, in the order in which the names first appear. Comments do not count. */
export function* findingUses(prepared: Prepared): Pieces<Map<string, Use[]>> {
  const pace = new Pace();
  const uses = new Map<string, Use[]>();
  const add = (name: string, use: Use | null): void => {
    const list = uses.get(name) ?? [];
    uses.set(name, list);
    const same = (one: Use): boolean =>
      one.where === use?.where && one.what === use.what && one.choices[0] === use.choices[0];
    if (use && !list.some(same)) list.push(use);
  };
  const places = yield* wordUses(prepared);
  for (const tag of prepared.tree.tags) {
    if (pace.due()) yield;
    const expr = prepared.expressions.get(tag)?.expr;
    if (!expr || commentAt(lineAt(prepared.tree, tag.span.start), tag.span.start)) continue;
    for (const { name } of namesIn(expr)) if (name !== '.') add(name, null);
    const place = places.get(tag) ?? null;
    if (tag.kind === 'value') learn(expr, place, add);
    else learn(expr, FLAG, add);
  }
  return uses;
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

/** What the word or text that a tag stands in says about the tag's value. */
function* wordUses({ bound, catalog, machine }: Prepared): Pieces<Map<Tag, Use>> {
  const pace = new Pace();
  const places = new Map<Tag, Use>();
  for (const command of bound.all) {
    if (pace.due()) yield;
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
      const found = ofWord(record, where, machine?.controller.fanFull ?? 255);
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

function ofWord({ unit, meaning, key, quantity }: WordRecord, where: string, fanFull: number): Use | null {
  if (quantity === 'tool') return use('count', 'number of a tool', where, { range: [0, 'tools - 1'] });
  const heater = heaterOf(quantity);
  if (heater) return use('temperature', `${heater} temperature`, where, { range: HEAT_RANGE[heater] });
  const axis = quantity.startsWith('place ') ? axisOf(quantity) : null;
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

type Add = (name: string, use: Use | null) => void;

/** Follows an expression down to its names. `place`: what is known of the expression's own value. */
function learn(expr: Expr, place: Use | null, add: Add): void {
  if (expr.type === 'name') add(expr.name, place);
  else if (expr.type === 'unary') learn(expr.arg, expr.op === '!' ? FLAG : inExpression(place), add);
  else if (expr.type === 'call') for (const arg of expr.args) learn(arg, inExpression(place), add);
  else if (expr.type === 'choice') {
    learn(expr.test, FLAG, add);
    learn(expr.yes, place, add);
    learn(expr.no, place, add);
  } else if (expr.type === 'binary') learnBinary(expr, place, add);
}

function learnBinary(expr: Extract<Expr, { type: 'binary' }>, place: Use | null, add: Add): void {
  const { op, left, right } = expr;
  const [ofLeft, ofRight] = sidesOf(op, left, right, place);
  learn(left, ofLeft, add);
  learn(right, ofRight, add);
}

/** What an operator says about its two sides. */
function sidesOf(op: BinaryOp, left: Expr, right: Expr, place: Use | null): readonly [Use | null, Use | null] {
  if (op === '&&' || op === '||') return [FLAG, FLAG];
  if (op === '+' || op === '-') return [inExpression(place), inExpression(place)];
  if (op === '*' || op === '/' || op === '%') return [PART, PART];
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
