import { isReadInPart } from '../../../server/src/check/verdict.ts';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { jobEnv } from '../../../server/src/placeholders/environment.ts';
import { related, usualValue } from '../../../server/src/placeholders/jobs.ts';
import type { Job, Vocabulary } from '../../../server/src/placeholders/vocabulary.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import type { Finding, View } from '../../../server/src/rules/rule.ts';
import { type Analysis, analyze } from '../../../server/src/service/analyze.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';
import type { Move } from '../../../server/src/simulate/state.ts';
import type { Step, Trace } from '../../../server/src/simulate/trace.ts';
import { ROLES, type Role } from '../../../server/src/syntax/role.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { NOT_COMPARED, OF_THE_TEXT, plainText } from './filledIn.ts';
import { insideOf } from './inside.ts';
import { MACHINES } from './machines.ts';
import { isPath } from './path.ts';
import { type Random, randomOf } from './random.ts';
import { sequence } from './sequences.ts';

// What is said of all jobs against what single jobs show: exact runs, and some of them filled in and read anew.

/** A sequence with all that it is checked against. */
export interface Case {
  readonly text: string;
  readonly role: Role;
  readonly machine: Machine | null;
  readonly vocabulary: Vocabulary;
}

/** The random case of a seed, and what its jobs are drawn from. */
export function caseOf(seed: number, random = randomOf(seed)): Case & { readonly random: Random } {
  const machine = random.pick([0, 1, 2, 3, 4].map((i) => ({ of: MACHINES[i] ?? null }))).of;
  const role = random.pick(ROLES);
  const vocabulary = vocabularyFor(machine);
  return { text: sequence(random, vocabulary, role, true), role, machine, vocabulary, random };
}

/** One job with every value within its range, at the ends more often than chance would have it. */
function anyJob(random: Random, vocabulary: Vocabulary): Job {
  const job = new Map<string, number | string | boolean>();
  for (const { name, range, kind, whole } of vocabulary.names.values()) {
    if (kind === 'text') job.set(name, random.pick(['PLA', 'ABS', 'odd']));
    if (!range) continue;
    const what = random.next();
    const value = what < 0.15 ? range.lo : what < 0.3 ? range.hi : range.lo + (range.hi - range.lo) * random.next();
    job.set(name, Math.min(range.hi, Math.max(range.lo, whole || kind === 'list' ? Math.round(value) : value)));
  }
  // A job keeps the orders that the vocabulary declares between names (`part.left` is never right of `part.right`).
  return related(vocabulary, job, job);
}

/** Rules that tell of a state once, where it first matters: in a job that may be another line. */
const TOLD_ONCE = new Set([
  'drag-over-part',
  'not-homed',
  'cold-extrusion',
  'not-awaited',
  'modes-left',
  'after-end',
  'flow-too-high',
  'unstated-habit',
]);

/** The lines on which each rule certainly has something to tell in one run. */
function happening(view: View, trace: Trace): Map<string, Set<number>> {
  const found = new Map<string, Set<number>>();
  for (const rule of RULES) {
    const lines = new Set<number>();
    rule.check({ ...view, trace }, ({ span, certain, step }) => {
      if ((certain ?? true) && (step?.certain ?? true)) lines.add(lineOf(view, span.start));
    });
    found.set(rule.id, lines);
  }
  return found;
}

function lineOf(view: View, offset: number): number {
  return view.tree.lines.findIndex((line) => offset <= line.span.end);
}

function happens(view: View, trace: Trace, here: Map<string, Set<number>>, { rule, span }: Finding): boolean {
  const line = lineOf(view, span.start);
  const lines = here.get(rule) ?? new Set();
  if (lines.has(line) || (TOLD_ONCE.has(rule) && lines.size > 0)) return true;
  // A number that in this job is the very place where the axis stands already makes no move to tell of. Within a list
  // that is so for one turn alone, and what the next turn does may be another matter: each is compared with its own.
  const movesOf = (of: Trace): (Move['moves'] | undefined)[] =>
    of.steps.flatMap((s) => (s.command.line.index === line && s.move ? [s.move.moves] : []));
  const one = movesOf(trace);
  return movesOf(view.trace).some((all, i) =>
    (['x', 'y', 'z'] as const).some((axis) => all?.[axis] && !one[i]?.[axis]),
  );
}

/** The axes of which a run does not know the place during some move that goes anywhere. */
function openAxes({ steps }: Trace): Record<'x' | 'y' | 'z', boolean> {
  const isOpen = (axis: 'x' | 'y' | 'z'): boolean =>
    steps.some(({ move }) => move && move.kind !== 'home' && move.extent[axis] === null);
  return { x: isOpen('x'), y: isOpen('y'), z: isOpen('z') };
}

/** The steps of a run by the command that each is of. */
function stepsByCommand({ steps }: Trace): ReadonlyMap<object, readonly Step[]> {
  const byCommand = new Map<object, Step[]>();
  for (const step of steps) {
    const list = byCommand.get(step.command);
    if (list) list.push(step);
    else byCommand.set(step.command, [step]);
  }
  return byCommand;
}

function outside(
  all: Trace,
  byCommand: ReturnType<typeof stepsByCommand>,
  one: Trace,
  job: Job,
  open: Record<'x' | 'y' | 'z', boolean>,
): string | null {
  const inside = insideOf(job);
  const ran = new Set(one.steps.map((step) => step.command));
  for (const step of all.steps)
    if (step.certain && !ran.has(step.command)) return `${step.command.code} was certain and did not run`;
  for (const step of one.steps) {
    const candidates = byCommand.get(step.command) ?? [];
    if (candidates.some((each) => inside.step(each, step) === null)) continue;
    const why = candidates[0] && inside.step(candidates[0], step);
    return `${step.command.code} (${step.command.node.span.start}): ${why ?? 'no such step'}`;
  }
  return inside.state(all.end, one.end) ?? inside.totals(all.totals, one.totals, open);
}

/** A promise that one job breaks. */
export interface Broken {
  /** Which promise, in few words. */
  readonly what: string;
  /** The rule that is wrong; '' where it is the run. */
  readonly rule: string;
  /** All that is known of it. */
  readonly more: string;
  readonly job: Job;
}

/** What was gone through. */
export interface Counts {
  /** Steps of exact runs. */
  steps: number;
  /** Findings of every job, findings of some with the job that shows them, and texts filled in and compared. */
  findings: number;
  witnesses: number;
  texts: number;
  readonly verdicts: { hold: number; fail: number; undecided: number };
}

export const nothingYet = (): Counts => ({
  ...{ steps: 0, findings: 0, witnesses: 0, texts: 0 },
  verdicts: { hold: 0, fail: 0, undecided: 0 },
});

type Found = Omit<Broken, 'job'>;

/** Where the verdict and the filled-in text of one job disagree; null where they agree, or the job cannot be filled in. */
function disagrees(
  analysis: Analysis,
  job: Job,
  here: ReadonlyMap<string, ReadonlySet<number>>,
  holding: readonly string[],
  findings: readonly Finding[],
  counts: Counts,
): Found | null {
  const plain = plainText(analysis, job);
  if (!plain) return null;
  counts.texts++;
  const filled = `filled in:\n${plain.text}\n`;
  for (const rule of holding)
    if (!NOT_COMPARED.has(rule) && plain.firesInTheJob(rule))
      return { what: 'said to hold, and the text has it', rule, more: filled };
  // What the run reads otherwise than the machine, it may tell at another place.
  if (isReadInPart(analysis)) return null;
  // Where no rule fires in the exact run either, the move of the finding is none in this job (`happens`).
  for (const f of findings) {
    if (NOT_COMPARED.has(f.rule) || (f.rule === 'wait-without-target' && f.about === 'zero')) continue;
    if (!OF_THE_TEXT.has(f.rule) && !here.get(f.rule)?.size) continue;
    if (plain.isThere(f) && !plain.fires(f.rule))
      return { what: 'the text does not have it', rule: f.rule, more: `${placed(f)}, ${filled}` };
  }
  return null;
}

const placed = ({ span, message }: Finding): string => `at ${span.start}: ${message}`;

/**
 * The promises about a case that these jobs break, job by job. Its findings' own jobs come last.
 * @param every How many jobs there are for each whose rules are looked at: rules are slower than runs, and a few of the
 * jobs tell as much. Of 100 jobs at most.
 */
export function* broken(of: Case, jobs: Iterable<Job>, counts: Counts, every = 20): Generator<Broken> {
  const { text, role, machine, vocabulary } = of;
  const analysis = analyze(text, role, machine, vocabulary);
  const everywhere = analysis.findings.filter((f) => f.when === null);
  counts.findings += everywhere.length;
  const notHolding = new Set(
    [...analysis.findings, ...analysis.verdict.undecided, ...analysis.verdict.unasked].map((f) => f.rule),
  );
  const holding = RULES.map((r) => r.id).filter((id) => !notHolding.has(id));
  const { holds, fails, undecided, unasked } = analysis.verdict;
  counts.verdicts.hold += holds;
  counts.verdicts.fail += fails;
  counts.verdicts.undecided += undecided.length + unasked.length;
  const none: Job = new Map();
  if (holds !== holding.length) yield { what: `${holds} rules are counted as holding`, rule: '', more: '', job: none };
  for (const { rule, message } of analysis.findings)
    if (rule === 'rule-failed') yield { what: 'a rule failed', rule, more: message, job: none };
  const open = openAxes(analysis.trace);
  const byCommand = stepsByCommand(analysis.trace);
  let i = -1;
  for (const job of jobs) {
    i++;
    const trace = simulate(analysis, jobEnv(vocabulary, job));
    counts.steps += trace.steps.length;
    const found = outside(analysis.trace, byCommand, trace, job, open);
    if (found) yield { what: 'outside of the run over all jobs', rule: '', more: found, job };
    if (i % every > 0 || i >= 100) continue;
    // A job in which a condition has no value (a division by zero) cannot be filled in, and goes no way of its own.
    const goesOneWay = !trace.cut && trace.steps.every(({ certain }) => certain);
    if (goesOneWay && !analysis.trace.cut && !isPath(analysis.trace.tree, trace.steps))
      yield { what: 'no path through the tree, or a reading outside of it', rule: '', more: '', job };
    const here = happening(analysis, trace);
    const other = disagrees(analysis, job, here, holding, everywhere, counts);
    if (other) yield { ...other, job };
    for (const rule of holding)
      if (here.get(rule)?.size) yield { what: 'said to hold for every job, and fires', rule, more: '', job };
    for (const f of everywhere)
      if (f.rule !== 'rule-failed' && !happens(analysis, trace, here, f))
        yield { what: 'said to happen in every job, and does not', rule: f.rule, more: placed(f), job };
  }
  for (const f of analysis.findings) {
    if (!f.when) continue;
    counts.witnesses++;
    const usual = [...vocabulary.names.values()].map((n) => [n.name, usualValue(n)] as const);
    const job = new Map([...usual, ...Object.entries(f.when)]);
    const trace = simulate(analysis, jobEnv(vocabulary, job));
    const found = happening(analysis, trace);
    const other = disagrees(analysis, job, found, [], [f], counts);
    if (other) yield { ...other, what: `in its own job: ${other.what}`, job };
    if (!happens(analysis, trace, found, f))
      yield { what: 'does not happen in its own job', rule: f.rule, more: placed(f), job };
  }
}

/** So many random jobs, one after another. */
export function* anyJobs(random: Random, vocabulary: Vocabulary, many: number): Generator<Job> {
  for (let i = 0; i < many; i++) yield anyJob(random, vocabulary);
}
