import { expect, it } from 'vitest';
import { boundsEnv, jobEnv } from '../../../server/src/placeholders/environment.ts';
import { jobsOver } from '../../../server/src/placeholders/jobs.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import type { Report, Rule, View } from '../../../server/src/rules/rule.ts';
import { analyze, prepare } from '../../../server/src/service/analyze.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';
import { isUnplaced } from '../../../server/src/simulate/totals.ts';
import { fewest, share } from '../../quick/share.ts';
import { type Case, caseOf } from './promises.ts';

// What is left out to save time changes nothing that is said.

const SEQUENCES = share(90);
const JOBS = 12;

const reportsOf = (rule: Rule, view: View): Report[] => {
  const reports: Report[] = [];
  rule.check(view, (report) => reports.push(report));
  return reports;
};

const HEATS = { nozzle: ['heat.nozzle.first', 'heat.nozzle.later'], bed: ['heat.bed.first'] };
const NAMES = [...HEATS.nozzle, ...HEATS.bed];

/** What a job certainly shows of a finding at a place; the run's own objects left out. */
const shownAt = (reports: readonly Report[], { span, about }: Report): string[] =>
  reports
    .filter((r) => r.span.start === span.start && r.span.end === span.end && r.about === about)
    .filter((r) => (r.certain ?? true) && (r.step?.certain ?? true))
    .map(({ message }) => message);

/** A heater's commands in sections, above and below what waits: where later lines count most. */
const heated = (seed: number): Case => {
  const { random, machine, vocabulary } = caseOf(seed);
  const rows = Array.from({ length: random.whole(4, 14) }, () => {
    const what = random.pick(['M104', 'M109', 'M140', 'M190', 'G28', 'G29']);
    const row = what.startsWith('G')
      ? what
      : `${what} S{{ ${random.pick(HEATS[what === 'M104' || what === 'M109' ? 'nozzle' : 'bed'])} - ${random.pick([0, 17, 36])} }}`;
    return random.chance(0.3)
      ? `{{# ${random.pick(NAMES)} > ${random.whole(30, 220)} }}\n${row}\n{{/}}`
      : random.chance(0.1)
        ? `{{# tools }}\n${row}\n{{/}}`
        : row;
  });
  return { text: `G21\nG90\nM83\n${rows.join('\n')}\n`, role: 'start', machine, vocabulary };
};

it('a job that is run no further than a finding needs shows what the whole run shows', () => {
  let compared = 0;
  let shown = 0;
  for (let seed = 0; seed < SEQUENCES; seed++) {
    const { text, role, machine, vocabulary } = seed % 3 === 0 ? caseOf(seed) : heated(seed);
    const view = analyze(text, role, machine, vocabulary);
    for (const rule of RULES) {
      for (const report of reportsOf(rule, view)) {
        const { until } = report;
        if (until === undefined) continue;
        const end = view.items.findIndex((item) => item.type === 'line' && item.index > until);
        const items = end < 0 ? view.items : view.items.slice(0, end);
        for (const job of [...jobsOver(vocabulary, NAMES)].slice(0, JOBS)) {
          const env = jobEnv(vocabulary, job);
          const whole = shownAt(reportsOf(rule, { ...view, trace: simulate(view, env) }), report);
          const part = shownAt(reportsOf(rule, { ...view, trace: simulate({ ...view, items }, env) }), report);
          expect(part, `${rule.id}, seed ${seed}\n${text}`).toEqual(whole);
          compared++;
          shown += whole.length;
        }
      }
    }
  }
  expect(compared).toBeGreaterThan(fewest(500));
  expect(shown).toBeGreaterThan(fewest(100));
});

it('whether each move has a known place is seen without the sums as with them', () => {
  const seen = { placed: 0, unplaced: 0 };
  for (let seed = 0; seed < SEQUENCES; seed++) {
    const { text, role, machine, vocabulary } = caseOf(seed);
    const { steps, cut, totals } = simulate(prepare(text, role, machine), boundsEnv(vocabulary));
    expect(cut || steps.some(isUnplaced), text).toBe(totals.unplaced > 0);
    seen[totals.unplaced > 0 ? 'unplaced' : 'placed']++;
  }
  expect(seen.placed).toBeGreaterThan(fewest(10));
  expect(seen.unplaced).toBeGreaterThan(fewest(10));
});
