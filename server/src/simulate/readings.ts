import { axisOf, isTarget, type Quantity } from '../commands/quantity.ts';
import { findRecordWord } from '../commands/record.ts';
import type { Axis } from '../machine/effect.ts';
import type { Machine } from '../machine/machine.ts';
import { exact, type Known, multiply, scale } from '../placeholders/bounds.ts';
import { childrenOf, type Expr } from '../placeholders/expression.ts';
import { wordNumber } from '../placeholders/tags.ts';
import type { Word, WordValue } from '../syntax/nodes.ts';
import type { Span } from '../text/span.ts';
import { inMm, machinePosition } from './motion.ts';
import type { Reading, Source, SourcePart, Step } from './trace.ts';

/** The readings of a step, in the order of its words. Worked out when asked for: most steps are never asked. */
export function readingsOf(step: Step): readonly Reading[] {
  const { record } = step.command;
  if (!record) return [];
  return step.words.flatMap((word) => {
    const known = findRecordWord(record, word.key);
    return known ? [readingOf(step, word, known.quantity)] : [];
  });
}

function readingOf(step: Step, word: Word, quantity: Quantity): Reading {
  const { prepared, env } = step.within;
  const { text } = prepared.tree;
  const span = word.value?.span ?? word.span;
  const written = word.value ? wordNumber(word.value, text, prepared.expressions, env) : null;
  return {
    ...{ word, span, quantity, written },
    machine: asMachine(step, quantity, written),
    limits: prepared.machine ? limitsOf(step, quantity, prepared.machine) : [],
    source: sourceOf(step, word.value, span),
  };
}

const MINUTE = 60;
const THOUSAND = 1000;

/** The number as the machine takes it. */
function asMachine(step: Step, quantity: Quantity, written: Known): Known {
  const { before, after, move } = step;
  const axis = axisOf(quantity);
  if (quantity.startsWith('place ') && axis) return machinePosition(after)[axis];
  switch (quantity) {
    case 'filament':
      return move ? move.e : null;
    case 'feed':
      return after.feed;
    case 'distance x':
    case 'distance y':
    case 'distance z':
    case 'radius':
    case 'reading x':
    case 'reading y':
    case 'reading z':
    case 'reading e':
      return inMm(written, before);
    case 'wait':
      return step.seconds;
    case 'fan share': {
      const full = step.within.prepared.machine?.controller.fanFull;
      return full == null ? null : scale(written, 1 / full);
    }
    case 'speed factor':
    case 'flow factor':
      return scale(written, 1 / 100);
    default:
      return byUnit(step, quantity, written);
  }
}

/** What only its unit says. */
function byUnit({ command, words, before }: Step, quantity: Quantity, written: Known): Known {
  const record = command.record;
  const unit = words.map((w) => record && findRecordWord(record, w.key)).find((w) => w?.quantity === quantity)?.unit;
  if (unit === 'length' || unit === 'length/min') return inMm(written, before);
  if (unit === 'mm/s') return multiply(written, exact(MINUTE));
  if (unit === 'ms') return scale(written, 1 / THOUSAND);
  return unit === 'min' ? scale(written, MINUTE) : written;
}

const SIDES: Readonly<Record<Axis, readonly [string, string]>> = {
  x: ['left', 'right'],
  y: ['front', 'back'],
  z: ['bottom', 'top'],
};

/** The machine facts that bound a quantity in this step, as paths of the machine file. */
function limitsOf(step: Step, quantity: Quantity, machine: Machine): string[] {
  const axis = axisOf(quantity);
  if (axis) return placeLimits(step, axis, machine);
  if (isTarget(quantity)) return heatLimits(quantity, machine);
  switch (quantity) {
    case 'radius':
      return [...new Set([...placeLimits(step, 'x', machine), ...placeLimits(step, 'y', machine)])];
    case 'filament':
      return [...stated('mostFlow', machine.mostFlow), ...stated('speed.e', machine.speed.e)];
    case 'feed':
      return feedLimits(step, machine);
    case 'tool':
      return ['tools'];
    default:
      return [];
  }
}

const stated = (path: string, value: number | null | undefined): string[] =>
  value === null || value === undefined ? [] : [path];

/** Where the nozzle may go, and where it pushes filament the bed too. */
function placeLimits({ move }: Step, axis: Axis, machine: Machine): string[] {
  const { reach, bed } = machine;
  if (axis === 'z') return [...stated('reach.bottom', reach?.bottom), ...stated('reach.top', reach?.top)];
  const pushes = move !== null && (move.pushed === null || move.pushed.hi > 0);
  const area = reach ?? bed;
  const inReach = area ? sidesOf(reach ? 'reach' : 'bed', area.shape, axis) : [];
  return bed && reach && pushes ? [...inReach, ...sidesOf('bed', bed.shape, axis)] : inReach;
}

function sidesOf(area: 'bed' | 'reach', shape: 'rectangle' | 'circle' | 'polygon', axis: Axis): string[] {
  if (shape === 'circle') return [`${area}.radius`];
  return shape === 'polygon' ? [`${area}.points`] : SIDES[axis].map((side) => `${area}.${side}`);
}

function heatLimits(quantity: Quantity, { heat }: Machine): string[] {
  switch (quantity) {
    case 'nozzle target':
      return [...stated('heat.nozzle.max', heat.nozzle.max), 'heat.nozzle.minExtrude'];
    case 'bed target':
      return stated('heat.bed.max', heat.bed.max);
    case 'chamber target':
      return stated('heat.chamber.max', heat.chamber?.max);
    default:
      return [];
  }
}

/** The axes that this step moves, and how much its nozzle melts. */
function feedLimits({ move }: Step, { speed, mostFlow }: Machine): string[] {
  if (!move) return [];
  const axes = (['x', 'y', 'z'] as const).filter((axis) => move.moves[axis]);
  const limits = axes.flatMap((axis) => stated(`speed.${axis}`, speed[axis]));
  const feeds = move.e === null || move.e.lo !== 0 || move.e.hi !== 0;
  if (!feeds) return limits;
  return [...limits, ...stated('speed.e', speed.e), ...stated('mostFlow', mostFlow)];
}

function sourceOf({ within }: Step, value: WordValue | null, span: Span): Source {
  if (value?.type === 'number') return { is: 'literal', span };
  if (value?.type !== 'filled') return { is: 'none', span };
  const parts = value.parts.flatMap((part) => {
    const expr = 'type' in part && part.kind === 'value' ? within.prepared.expressions.get(part)?.expr : null;
    return expr ? partsOf(expr) : [];
  });
  return { is: 'expression', span, parts };
}

/** The numbers and names of an expression, in the order of the text. */
function partsOf(expr: Expr): readonly SourcePart[] {
  switch (expr.type) {
    case 'number':
      return [{ is: 'number', span: expr.span, value: expr.value }];
    case 'name':
      return [{ is: 'name', span: expr.span, name: expr.name }];
    default:
      return childrenOf(expr).flatMap(partsOf);
  }
}
