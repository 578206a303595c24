import { type Data, isGroup } from '../placeholders/data.ts';
import { elementKey } from '../placeholders/elements.ts';
import { elementValue } from '../placeholders/environment.ts';
import { type Filled, type FillProblem, filling, sourceOf } from '../placeholders/fill.ts';
import { jobsOver, related } from '../placeholders/jobs.ts';
import { languageFor } from '../placeholders/languageFor.ts';
import type { Job, Name, Vocabulary } from '../placeholders/vocabulary.ts';
import type { Prepared } from '../simulate/context.ts';
import { lineIndex } from '../text/lines.ts';
import { nearest } from '../text/nearest.ts';
import { finish, type Pieces } from '../text/pieces.ts';
import { span } from '../text/span.ts';
import { unknownNames, unknownNameText } from './jobNames.ts';

/** A sequence as one job would run it. */
export interface FilledIn extends Filled {
  /** For each row of the filled text the row of the sequence that it comes from; both counted from 0. */
  readonly rows: readonly number[];
}

/**
 * Fills a sequence in. `given`: the job's values, names nested or dotted; of a list its elements, or just how many. The
 * machine's own values are known without; `usual` fills what else is missing with usual values, moved where the given
 * ones ask for it. The witness of a finding (`Finding.when`) is such a job.
 */
export const fillIn = (
  prepared: Pick<Prepared, 'tree' | 'expressions' | 'role'>,
  vocabulary: Vocabulary,
  given: Data,
  usual: boolean,
): FilledIn => finish(fillingIn(prepared, vocabulary, given, usual));

/** The same in pieces. */
export function* fillingIn(
  { tree, expressions, role }: Pick<Prepared, 'tree' | 'expressions' | 'role'>,
  vocabulary: Vocabulary,
  given: Data,
  usual: boolean,
): Pieces<FilledIn> {
  const own = flat(given);
  const values = new Map<string, Data>();
  const job = usual ? usualJob(vocabulary, own) : new Map<string, Plain>();
  for (const name of vocabulary.names.values()) {
    const exact = name.range && name.range.lo === name.range.hi ? name.range.lo : undefined;
    if (name.fromMachine) {
      // Without the machine it is missing: no figure is usual among machines.
      if (exact !== undefined) values.set(name.name, exact);
    } else if (!name.hidden && (!name.roles || name.roles.includes(role))) {
      const value = job.get(name.name);
      if (value !== undefined) values.set(name.name, value);
    }
  }
  for (const [name, value] of own) if (value !== undefined) values.set(name, value);
  for (const name of vocabulary.names.values()) {
    if (name.kind !== 'list' || name.hidden || !values.has(name.name)) continue;
    values.set(name.name, elementsOf(values.get(name.name), name, name.name, name.name, { job, own, usual }));
  }
  const language = languageFor(vocabulary);
  const filled = yield* filling(tree, Object.fromEntries(values), {
    expressions,
    ...(language ? { language } : {}),
  });
  const unread = unknownNames(own, vocabulary, expressions).map(
    (one): FillProblem => ({ kind: 'unread', span: span(0, 0), message: unknownNameText(one, 'The job') }),
  );
  const problems = [...unread, ...filled.problems.map((problem) => explained(problem, vocabulary))];
  return { ...filled, problems, rows: rowsOf(filled, tree.text) };
}

type Plain = number | string | boolean;

/** Groups in groups further down than this are taken as they are. */
const DEEPEST = 50;

/** The values by dotted name. Lists stay whole, and so do groups without a name in them. */
export function flat(given: Data): Map<string, Data> {
  const values = new Map<string, Data>();
  const collect = (value: Data, path: string, depth: number): void => {
    const entries = isGroup(value) ? Object.entries(value) : [];
    if (entries.length === 0 || depth > DEEPEST) {
      if (path !== '') values.set(path, value);
    } else for (const [key, inner] of entries) collect(inner, path === '' ? key : `${path}.${key}`, depth + 1);
  };
  collect(given, '', 0);
  return values;
}

/** The usual job, in which values that were not given make room for those that were. */
function usualJob(vocabulary: Vocabulary, own: ReadonlyMap<string, Data>): Job {
  const [first] = jobsOver(vocabulary, [], 0);
  const chosen = new Map<string, Plain>();
  for (const [name, value] of own) if (isPlain(value)) chosen.set(name, value);
  return related(vocabulary, new Map([...(first ?? []), ...chosen]), chosen);
}

const isPlain = (value: Data): value is Plain =>
  typeof value === 'number' || typeof value === 'string' || typeof value === 'boolean';

/** More elements are not made of a bare number. */
const MOST_ELEMENTS = 10_000;

interface Given {
  readonly job: Job;
  readonly own: ReadonlyMap<string, Data>;
  readonly usual: boolean;
}

/** A list's elements, each with its own names; of a bare number as many. `key` and `place` as in a job. */
function elementsOf(value: Data, list: Name, key: string, place: string, given: Given): Data {
  const { items = [] } = list;
  const bare =
    typeof value === 'number' && value >= 0
      ? Array.from({ length: Math.min(MOST_ELEMENTS, Math.round(value)) }, () => ({}))
      : value;
  if (!Array.isArray(bare)) return value;
  return bare.map((element: Data, i) => {
    if (!isGroup(element) || items.length === 0) return element;
    const values: Record<string, Data> = Object.fromEntries(flat(element));
    for (const item of items) {
      const at = `${place}[${i}].${item.name}`;
      const each = elementKey(key, item.name);
      const said = given.own.get(at) ?? values[item.name];
      const usual = given.own.has(each) || given.usual ? elementValue(plainOf(given, each), item, i) : undefined;
      const own = said ?? usual;
      if (own !== undefined) values[item.name] = item.kind === 'list' ? elementsOf(own, item, each, at, given) : own;
    }
    return values;
  });
}

function plainOf({ own, job }: Given, key: string): Plain | undefined {
  const value = own.get(key);
  return isPlain(value) ? value : job.get(key);
}

/** Says of a missing name where its value would come from. */
function explained(problem: FillProblem, { names }: Vocabulary): FillProblem {
  const { name } = problem;
  if (problem.kind !== 'missing' || name === undefined) return problem;
  const known = names.get(name);
  if (known?.fromMachine)
    return { ...problem, message: `${problem.message} It is the machine’s: choose a machine that states it.` };
  if (known) return problem;
  const near = nearest(
    name,
    [...names.values()].filter((one) => !one.hidden).map((one) => one.name),
  );
  const hint = near.length > 0 ? ` Did you mean ${near.join(' or ')}?` : '';
  return { ...problem, message: `${problem.message}${hint}` };
}

function rowsOf({ text, map }: Filled, source: string): number[] {
  const lines = lineIndex(text);
  const places = lineIndex(source);
  return Array.from({ length: lines.count }, (_, row) => places.position(sourceOf(map, lines.start(row))).line);
}
