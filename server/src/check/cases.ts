import { ofName } from '../placeholders/bounds.ts';
import { boundsEnv } from '../placeholders/environment.ts';
import { plainValue } from '../placeholders/evaluate.ts';
import { type Expr, namesIn } from '../placeholders/expression.ts';
import { toolCases } from '../placeholders/toolsOfJob.ts';
import type { Env, Value } from '../placeholders/value.ts';
import type { Name, Vocabulary } from '../placeholders/vocabulary.ts';
import { anotherText, comparisonsIn } from './witness.ts';

/** More cases than this of one name are not gone through. */
const MOST_CASES = 8;

/** Every job is in one of these; each stands for all jobs that have such a value for the name. */
export interface Cases {
  readonly name: string;
  readonly envs: readonly Env[];
}

/**
 * The names on which sections hang with the cases that matter for them: each state of a flag, each choice, each text
 * compared with and any other, each whole number of a short range, each length of a list, the parts beside a gap, else those between the numbers compared with. One run
 * over all jobs joins what sections do; one run for each case keeps `tool.number == 0` and `tool.number == 1` apart.
 * @param more Names that matter wherever they stand; they come first.
 */
export function casesOf(
  vocabulary: Vocabulary,
  exprs: readonly Expr[],
  conditions: readonly Expr[],
  more: readonly string[] = [],
): Cases[] {
  const all = boundsEnv(vocabulary);
  const inSections = conditions.flatMap(namesIn).map(({ name }) => vocabulary.standIns?.get(name) ?? name);
  const names = new Set([...more, ...inSections]);
  const tools = toolCases(vocabulary, all);
  return [...names].flatMap((name) => {
    // Which tools a job uses says which of them may be in use.
    if (name === tools?.name) return [tools];
    const known = vocabulary.names.get(name);
    const isIt = (used: string): boolean => (vocabulary.standIns?.get(used) ?? used) === name;
    const values = known ? valuesOf(known, all(name), exprs, isIt) : [];
    if (values.length < 2 || values.length > MOST_CASES) return [];
    return [
      {
        name,
        envs: values.map(
          (value): Env =>
            (used) =>
              isIt(used) ? value : all(used),
        ),
      },
    ];
  });
}

function valuesOf(
  name: Name,
  any: Value | undefined,
  exprs: readonly Expr[],
  isIt: (used: string) => boolean,
): Value[] {
  switch (name.kind) {
    case 'flag':
      return [plainValue(false), plainValue(true)];
    case 'text':
      return name.choices ? name.choices.map(plainValue) : textsOf(name, exprs, isIt);
    case 'list':
      return any?.type === 'list' ? lengthsOf(any) : [];
    default:
      return numbersOf(name, exprs, isIt);
  }
}

/** A list of each length that it may have; of many lengths the least ones, and one that may be any of the others. */
function lengthsOf(list: Extract<Value, { type: 'list' }>): Value[] {
  const { lo, hi } = list.length;
  const single = Math.min(hi - lo + 1, hi - lo < MOST_CASES ? MOST_CASES : MOST_CASES - 1);
  const lengths = Array.from({ length: single }, (_, i) => ({ lo: lo + i, hi: lo + i }));
  const others = lo + single <= hi ? [{ lo: lo + single, hi }] : [];
  return [...lengths, ...others].map((length): Value => ({ ...list, length }));
}

/** What a name is compared with by these operators. */
function comparedWith(exprs: readonly Expr[], isIt: (used: string) => boolean, ops: RegExp): Expr[] {
  return exprs.flatMap(comparisonsIn).flatMap(({ op, left, right }) => {
    if (!ops.test(op)) return [];
    if (left.type === 'name' && isIt(left.name)) return [right];
    return right.type === 'name' && isIt(right.name) ? [left] : [];
  });
}

/**
 * Only where all that is asked of a text is whether it is one of some: then any other text does the same. No rule asks
 * the run for the value of a text.
 */
function textsOf({ sample }: Name, exprs: readonly Expr[], isIt: (used: string) => boolean): Value[] {
  const others = comparedWith(exprs, isIt, /^[!=]==?$/);
  const uses = exprs.flatMap(namesIn).filter(({ name }) => isIt(name));
  const texts = new Set(others.flatMap((other) => (other.type === 'text' ? [other.value] : [])));
  if (uses.length !== others.length || others.some(({ type }) => type !== 'text')) return [];
  return [...texts, anotherText(texts, sample)].map(plainValue);
}

function numbersOf({ range, ...name }: Name, exprs: readonly Expr[], isIt: (used: string) => boolean): Value[] {
  if (!range || !Number.isFinite(range.hi - range.lo)) return [];
  const between = (lo: number, hi: number): Value[] =>
    lo > hi ? [] : lo === hi ? [plainValue(lo)] : [{ type: 'number', ...ofName({ ...name, range: { lo, hi } }) }];
  const { gap } = name;
  if (gap) return [...between(range.lo, gap.lo), ...between(gap.hi, range.hi)];
  if (!name.whole) return [];
  if (range.hi - range.lo < MOST_CASES)
    return Array.from({ length: range.hi - range.lo + 1 }, (_, i) => plainValue(range.lo + i));
  const marks = comparedWith(exprs, isIt, /^([!=]==?|[<>]=?)$/).flatMap((other) =>
    other.type === 'number' && Number.isInteger(other.value) && other.value >= range.lo && other.value <= range.hi
      ? [other.value]
      : [],
  );
  let lo = range.lo;
  const values: Value[] = [];
  for (const mark of [...new Set(marks)].sort((a, b) => a - b)) {
    values.push(...between(lo, mark - 1), ...between(mark, mark));
    lo = mark + 1;
  }
  return values.length > 0 ? [...values, ...between(lo, range.hi)] : [];
}
