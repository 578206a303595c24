import { outside, placeOutside } from '../geometry/geometry.ts';
import type { Area } from '../machine/machine.ts';
import { exact } from '../placeholders/bounds.ts';
import { zeroValues } from '../placeholders/divisors.ts';
import { plainValue } from '../placeholders/evaluate.ts';
import { type Expr, namesIn } from '../placeholders/expression.ts';
import { isApart, jobsOver, usualValue } from '../placeholders/jobs.ts';
import type { Env } from '../placeholders/value.ts';
import type { Job, Vocabulary } from '../placeholders/vocabulary.ts';
import type { Report } from '../rules/rule.ts';
import type { Pieces } from '../text/pieces.ts';

type Plain = number | string | boolean;

/** Runs one exact job: the report where that job shows it, else null. */
export type Shows = (job: Job) => Pieces<Report | null>;

/** A job and what it shows. */
export interface Shown {
  readonly job: Job;
  readonly report: Report;
}

/** Rounding in a job's own decimals. mm. */
const ROUNDING = 1e-6;

/**
 * The job as the bed can hold it. Ranges are upright boxes, so on a round bed their corners lie beside it: such a job is
 * drawn towards the bed's centre until it lies on it. On an outline with corners it is left out (null) where its last
 * place lies beside the bed, unless that is the usual one. A rectangle holds every job.
 */
export function realJob(bed: Area | null, vocabulary: Vocabulary, job: Job): Job | null {
  if (!bed || bed.shape === 'rectangle') return job;
  const [x, y] = [job.get('last.x'), job.get('last.y')];
  const off = typeof x === 'number' && typeof y === 'number' && placeOutside(bed, x, y).over > ROUNDING;
  if (bed.shape === 'polygon') {
    const moved = ['last.x', 'last.y'].some((n) => job.get(n) !== usual(vocabulary, n));
    return off && moved ? null : job;
  }
  if (!off && sidesMeet(bed, job)) return job;
  const drawn = new Map(job);
  for (const [centre, names] of [
    [bed.centre.x, ['part.left', 'part.right', 'last.x']],
    [bed.centre.y, ['part.front', 'part.back', 'last.y']],
  ] as const) {
    for (const name of names) {
      const at = job.get(name);
      // Drawn into the largest square that the circle holds; rounded inwards.
      if (typeof at === 'number') drawn.set(name, centre + Math.trunc((at - centre) * Math.SQRT1_2 * 10) / 10);
    }
  }
  keepApart(vocabulary, drawn, 'part.left', 'part.right', bed.centre.x);
  keepApart(vocabulary, drawn, 'part.front', 'part.back', bed.centre.y);
  return drawn;
}

/** A part that was drawn towards the centre is as wide as any part is; the side that lies further out stays. */
function keepApart(vocabulary: Vocabulary, job: Map<string, Plain>, low: string, high: string, centre: number): void {
  const [from, to] = [job.get(low), job.get(high)];
  const by = vocabulary.names.get(high)?.atLeastBy ?? 0;
  if (typeof from !== 'number' || typeof to !== 'number' || to - from >= by) return;
  if (from + to > 2 * centre) job.set(low, to - by);
  else job.set(high, from + by);
}

function usual(vocabulary: Vocabulary, name: string): Plain | undefined {
  const known = vocabulary.names.get(name);
  return known && usualValue(known);
}

/** Whether a part with this hull can lie on the bed: each side of the hull touches the part, so it meets the bed. */
function sidesMeet(bed: Area, job: Job): boolean {
  const [left, right, front, back] = ['left', 'right', 'front', 'back'].map((side) => job.get(`part.${side}`));
  if (typeof left !== 'number' || typeof right !== 'number' || typeof front !== 'number' || typeof back !== 'number')
    return true;
  const [across, along] = [
    { lo: left, hi: right },
    { lo: front, hi: back },
  ];
  return [
    { x: exact(left), y: along },
    { x: exact(right), y: along },
    { x: across, y: exact(front) },
    { x: across, y: exact(back) },
  ].every((side) => outside(bed, side).least <= ROUNDING);
}

/** The same finding with as few names away from their usual value as show it. */
export function* fewestNames(
  vocabulary: Vocabulary,
  names: readonly string[],
  shown: Shown,
  shows: Shows,
): Pieces<Shown> {
  let best = shown;
  const away = (job: Job): string[] => names.filter((name) => job.get(name) !== usual(vocabulary, name));
  for (const name of away(best.job)) {
    if (away(best.job).length < 2) break;
    const value = usual(vocabulary, name);
    if (value === undefined) continue;
    const job = new Map(best.job).set(name, value);
    const report = inOrder(vocabulary, job) ? yield* shows(job) : null;
    if (report) best = { job, report };
  }
  return best;
}

/** Whether every order that the vocabulary states between names holds. */
function inOrder(vocabulary: Vocabulary, job: Job): boolean {
  for (const { name, atLeast, atMost, atLeastBy = 0, atMostBy = 0 } of vocabulary.names.values()) {
    const mine = job.get(name);
    const [low, high] = [atLeast && job.get(atLeast), atMost && job.get(atMost)];
    if (typeof mine !== 'number') continue;
    if (typeof low === 'number' && !isApart(low, mine, atLeastBy)) return false;
    if (typeof high === 'number' && !isApart(mine, high, atMostBy)) return false;
  }
  return true;
}

/** The names that decide a finding of the usual job: those that make it go away at one end of their range, or at a value in `more`. */
export function* decidingNames(
  vocabulary: Vocabulary,
  names: readonly string[],
  shows: Shows,
  more: ReadonlyMap<string, readonly Plain[]>,
): Pieces<string[]> {
  const deciding: string[] = [];
  for (const name of names) {
    const tried = new Set<unknown>([usual(vocabulary, name)]);
    for (const job of jobsOver(vocabulary, [name], 0, more)) {
      if (tried.has(job.get(name))) continue;
      tried.add(job.get(name));
      if (yield* shows(job)) continue;
      deciding.push(name);
      break;
    }
  }
  return deciding;
}

/**
 * Values that decide what these expressions give: on both sides of every comparison of a name with a number; every text
 * that a name is compared with, and one that is none of them; no text at all where a text itself is the condition; those
 * that make a divisor zero; and `lengths`, mm, for every name of a length that lies round them.
 * @param conditions Those of the expressions that open sections.
 */
export function comparedValues(
  vocabulary: Vocabulary,
  exprs: readonly Expr[],
  conditions: readonly Expr[],
  lengths: readonly number[],
): Map<string, Plain[]> {
  const values = new Map<string, Set<Plain>>();
  const note = (name: string, other: Expr): void => {
    const known = vocabulary.names.get(name);
    if (!known || (other.type !== 'number' && other.type !== 'text')) return;
    const set = values.get(name) ?? new Set();
    values.set(name, set);
    if (other.type === 'text') {
      if (known.kind === 'text' && (known.choices?.includes(other.value) ?? true)) set.add(other.value);
      return;
    }
    const step = known.whole ? 1 : 0.01;
    for (const value of [other.value - step, other.value, other.value + step]) {
      if (known.range && value >= known.range.lo && value <= known.range.hi) set.add(Math.round(value * 1e6) / 1e6);
    }
  };
  for (const expr of exprs) {
    for (const { op, left, right } of comparisonsIn(expr)) {
      if (!COMPARE.has(op)) continue;
      if (left.type === 'name') note(left.name, right);
      if (right.type === 'name') note(right.name, left);
    }
  }
  for (const [name, set] of values) {
    const known = vocabulary.names.get(name);
    if (known?.kind === 'text' && !known.choices) set.add(anotherText(set, usualValue(known)));
  }
  for (const name of new Set([...conditions.flatMap(conditionNames), ...exprs.flatMap(testedNames)])) {
    const known = vocabulary.names.get(name);
    if (known?.kind === 'text' && !known.choices) values.set(name, (values.get(name) ?? new Set<Plain>()).add(''));
  }
  const usualEnv: Env = (name) => {
    const plain = usual(vocabulary, name);
    return plain === undefined ? undefined : plainValue(plain);
  };
  for (const [name, value] of zeroValues(vocabulary, exprs, usualEnv))
    values.set(name, (values.get(name) ?? new Set<Plain>()).add(value));
  for (const { name } of lengths.length > 0 ? exprs.flatMap(namesIn) : []) {
    const known = vocabulary.names.get(name);
    if (known?.kind !== 'length' || known.fromMachine || !known.range) continue;
    const set = values.get(name) ?? new Set();
    values.set(name, set);
    for (const length of lengths) if (length > known.range.lo && length < known.range.hi) set.add(length);
  }
  return new Map([...values].map(([name, set]) => [name, [...set]]));
}

/** A text that is none of these: the usual one, or one that says what it is. */
export function anotherText(taken: ReadonlySet<Plain>, usual: Plain): Plain {
  let text = usual;
  for (let i = 1; taken.has(text); i++) text = i === 1 ? 'another' : `another ${i}`;
  return text;
}

/** The names that are themselves the truth of a condition: `a`, `!a`, `a && b`. */
function conditionNames(expr: Expr): string[] {
  if (expr.type === 'name') return [expr.name];
  if (expr.type === 'unary') return expr.op === '!' ? conditionNames(expr.arg) : [];
  if (expr.type !== 'binary' || (expr.op !== '&&' && expr.op !== '||')) return [];
  return [...conditionNames(expr.left), ...conditionNames(expr.right)];
}

/** The names whose truth an expression asks for anywhere in it. */
function testedNames(expr: Expr): string[] {
  switch (expr.type) {
    case 'unary':
      return [...(expr.op === '!' ? conditionNames(expr) : []), ...testedNames(expr.arg)];
    case 'binary':
      return [
        ...(expr.op === '&&' || expr.op === '||' ? conditionNames(expr.left) : []),
        ...testedNames(expr.left),
        ...testedNames(expr.right),
      ];
    case 'choice':
      return [...conditionNames(expr.test), ...[expr.test, expr.yes, expr.no].flatMap(testedNames)];
    case 'call':
      return expr.args.flatMap(testedNames);
    default:
      return [];
  }
}

const COMPARE: ReadonlySet<string> = new Set(['<', '<=', '>', '>=', '==', '!=', '===', '!==']);

type Binary = Extract<Expr, { type: 'binary' }>;

/** Every operation with two sides in an expression. */
export function comparisonsIn(expr: Expr): Binary[] {
  switch (expr.type) {
    case 'unary':
      return comparisonsIn(expr.arg);
    case 'binary':
      return [expr, ...comparisonsIn(expr.left), ...comparisonsIn(expr.right)];
    case 'choice':
      return [...comparisonsIn(expr.test), ...comparisonsIn(expr.yes), ...comparisonsIn(expr.no)];
    case 'call':
      return expr.args.flatMap(comparisonsIn);
    default:
      return [];
  }
}
