import { describe, expect, it } from 'vitest';
import { vocabularyFor } from '../../../server/src/machine/vocabulary.ts';
import { jobEnv } from '../../../server/src/placeholders/environment.ts';
import { related, usualValue } from '../../../server/src/placeholders/jobs.ts';
import type { Job, Vocabulary } from '../../../server/src/placeholders/vocabulary.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import type { Finding, View } from '../../../server/src/rules/rule.ts';
import { type Analysis, analyze } from '../../../server/src/service/analyze.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';
import type { Trace } from '../../../server/src/simulate/trace.ts';
import { ROLES } from '../../../server/src/syntax/role.ts';
import { NOT_COMPARED, OF_THE_TEXT, plainText } from './filledIn.ts';
import { insideOf } from './inside.ts';
import { MACHINES } from './machines.ts';
import { type Random, randomOf } from './random.ts';
import { sequence } from './sequences.ts';

// What Bookend promises: what a run over all jobs says holds in each of them. Random sequences, random jobs; the jobs
// are run exactly, by the same simulator, and must stay inside. Some are also filled in and read anew as plain texts.

// `npm run fuzz` asks for more of both.
const SEQUENCES = Number(process.env.BOOKEND_SEQUENCES ?? 300);
const JOBS = Number(process.env.BOOKEND_JOBS ?? 1000);
const FIRST = Number(process.env.BOOKEND_FIRST ?? 0);

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
  // A number that in this job is the very place where the axis stands already makes no move to tell of.
  const moved = (of: Trace, axis: 'x' | 'y' | 'z'): boolean =>
    of.steps.some((s) => s.command.line.index === line && s.move?.moves[axis]);
  return (['x', 'y', 'z'] as const).some((axis) => moved(view.trace, axis) && !moved(trace, axis));
}

function outside(all: Trace, one: Trace, job: Job): string | null {
  const inside = insideOf(job);
  const byCommand = new Map<object, Trace['steps'][number][]>();
  for (const step of all.steps) {
    const list = byCommand.get(step.command);
    if (list) list.push(step);
    else byCommand.set(step.command, [step]);
  }
  const ran = new Set(one.steps.map((step) => step.command));
  for (const step of all.steps)
    if (step.certain && !ran.has(step.command)) return `${step.command.code} was certain and did not run`;
  for (const step of one.steps) {
    const candidates = byCommand.get(step.command) ?? [];
    if (candidates.some((each) => inside.step(each, step) === null)) continue;
    const why = candidates[0] && inside.step(candidates[0], step);
    return `${step.command.code} (${step.command.node.span.start}): ${why ?? 'no such step'}`;
  }
  return inside.state(all.end, one.end) ?? inside.totals(all.totals, one.totals);
}

/** How many texts were filled in and compared. */
const compared = { texts: 0 };

/** Where the verdict and the filled-in text of one job disagree; null where they agree, or the job cannot be filled in. */
function disagrees(
  analysis: Analysis,
  job: Job,
  here: ReadonlyMap<string, ReadonlySet<number>>,
  holding: readonly string[],
  findings: readonly Finding[],
): string | null {
  const plain = plainText(analysis, job);
  if (!plain) return null;
  compared.texts++;
  const shown = (what: string): string => `${what}, filled in:\n${plain.text}\n`;
  for (const rule of holding)
    if (!NOT_COMPARED.has(rule) && plain.firesInTheJob(rule))
      return shown(`said to hold, and the text has it: ${rule}`);
  // Where no rule fires in the exact run either, the move of the finding is none in this job (`happens`).
  for (const f of findings) {
    if (NOT_COMPARED.has(f.rule) || (f.rule === 'wait-without-target' && f.about === 'zero')) continue;
    if (!OF_THE_TEXT.has(f.rule) && !here.get(f.rule)?.size) continue;
    if (plain.isThere(f) && !plain.fires(f.rule))
      return shown(`the text does not have it: ${f.rule} at ${f.span.start}: ${f.message}`);
  }
  return null;
}

describe(`bounds hold in every job: ${SEQUENCES} random sequences, ${JOBS} random jobs each`, () => {
  it.each(Array.from({ length: 10 }, (_, i) => [i]))('part %i', { timeout: 600_000 }, (part) => {
    let steps = 0;
    let findings = 0;
    let witnesses = 0;
    const verdicts = { hold: 0, fail: 0, undecided: 0 };
    for (let seed = FIRST + part; seed < FIRST + SEQUENCES; seed += 10) {
      const random = randomOf(seed);
      const machine = random.pick([0, 1, 2, 3, 4].map((i) => ({ of: MACHINES[i] ?? null }))).of;
      const role = random.pick(ROLES);
      const vocabulary = vocabularyFor(machine);
      const text = sequence(random, vocabulary, role, true);
      const analysis = analyze(text, role, machine, vocabulary);
      const where = `seed ${seed}, ${role} on ${machine?.name}\n${text}`;
      const everywhere = analysis.findings.filter((f) => f.when === null);
      findings += everywhere.length;
      const notHolding = new Set([...analysis.findings, ...analysis.verdict.undecided].map((f) => f.rule));
      const holding = RULES.map((r) => r.id).filter((id) => !notHolding.has(id));
      const { holds, fails, undecided } = analysis.verdict;
      expect(holds).toBe(holding.length);
      verdicts.hold += holds;
      verdicts.fail += fails;
      verdicts.undecided += undecided.length;
      for (let i = 0; i < JOBS; i++) {
        const job = anyJob(random, vocabulary);
        const trace = simulate(analysis, jobEnv(vocabulary, job));
        steps += trace.steps.length;
        const found = outside(analysis.trace, trace, job);
        const said = (): string => `${where}\n${JSON.stringify(Object.fromEntries(job))}`;
        if (found) throw new Error(`${found}\n${said()}`);
        // Rules are slower than runs: a few of the jobs tell as much.
        if (i % 20 > 0 || i >= 100) continue;
        const here = happening(analysis, trace);
        const other = disagrees(analysis, job, here, holding, everywhere);
        if (other) throw new Error(`${other}\n${said()}`);
        for (const rule of holding)
          if (here.get(rule)?.size) throw new Error(`said to hold for every job, and fires: ${rule}\n${said()}`);
        for (const f of everywhere)
          if (f.rule !== 'rule-failed' && !happens(analysis, trace, here, f))
            throw new Error(
              `said to happen in every job, and does not: ${f.rule} at ${f.span.start}: ${f.message}\n${said()}`,
            );
      }
      for (const f of analysis.findings) {
        expect(f.rule, f.message).not.toBe('rule-failed');
        if (!f.when) continue;
        witnesses++;
        const usual = [...vocabulary.names.values()].map((n) => [n.name, usualValue(n)] as const);
        const job = new Map([...usual, ...Object.entries(f.when)]);
        const trace = simulate(analysis, jobEnv(vocabulary, job));
        const found = happening(analysis, trace);
        const other = disagrees(analysis, job, found, [], [f]);
        if (other) throw new Error(`${other}\n${JSON.stringify(f.when)}\n${where}`);
        if (!happens(analysis, trace, found, f))
          throw new Error(
            `does not happen in its own job: ${f.rule} at ${f.span.start}: ${f.message} ${JSON.stringify(f.when)}\n${where}`,
          );
      }
    }
    if (process.env.BOOKEND_SEQUENCES)
      console.log(`part ${part}: rule verdicts ${JSON.stringify(verdicts)}; ${compared.texts} texts filled in so far`);
    // Not a test of empty texts.
    expect(steps).toBeGreaterThan(5000);
    expect(findings).toBeGreaterThan(20);
    expect(witnesses).toBeGreaterThan(2);
    expect(compared.texts).toBeGreaterThan(20);
  });
});
