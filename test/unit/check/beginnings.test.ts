import { expect, it } from 'vitest';
import { runsOf } from '../../../server/src/check/beginnings.ts';
import { countingIn, keyedNames } from '../../../server/src/check/needed.ts';
import { jobEnv } from '../../../server/src/placeholders/environment.ts';
import { jobsOver } from '../../../server/src/placeholders/jobs.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';
import type { Trace } from '../../../server/src/simulate/trace.ts';
import { finish } from '../../../server/src/text/pieces.ts';
import { caseOf } from '../analyze/promises.ts';

// A job that is taken up where an earlier one stood runs as it does from the first line on.

const SEQUENCES = 40;
const JOBS = 25;

/** A place as its numbers, however it is kept. */
const place = ({ x, y, z }: { readonly x: unknown; readonly y: unknown; readonly z: unknown }) => [x, y, z];

/** All of a run but the objects that it is made of: what each step did, and the shape of it. */
const told = ({ steps, settings, dependent, end, cut, totals, tree }: Trace) => ({
  steps: steps.map(({ command, words, before, after, move, certain, seconds, guards, readings }) => [
    ...[
      command.line.index,
      words.length,
      place(before.at),
      [...place(after.at), after.at.e],
      after.nozzles,
      after.bed,
      after.tool,
    ],
    ...[
      after.feed,
      after.retracted,
      after.relativeE,
      move && [place(move.from), place(move.to), move.e],
      certain,
      seconds,
    ],
    ...[guards.map(({ condition, holds }) => [condition.span.start, holds]), readings.map(({ machine }) => machine)],
  ]),
  settings: settings.map((step) => steps.indexOf(step)),
  dependent: dependent.map((step) => steps.indexOf(step)),
  shape: JSON.stringify(tree, (key, value) =>
    key === 'nodes' || key === 'branches' || Number(key) >= 0 ? value : typeof value === 'object' ? undefined : value,
  ),
  ...{ at: place(end.at), homed: end.homed, stopped: end.stopped, cut, totals },
});

it('a job that shares its beginning with an earlier one runs as it does by itself', () => {
  let [shared, whole] = [0, 0];
  for (let seed = 0; seed < SEQUENCES; seed++) {
    const { text, role, machine, vocabulary } = caseOf(seed);
    const view = analyze(text, role, machine, vocabulary);
    const always = ['last.x', 'last.y', 'part.top', 'layer.top', 'heat.nozzle.later', 'heat.bed.later', 'heat.chamber'];
    const counting = countingIn(view, { items: view.items, end: text.length }, [...always, 'tool.number', 'tool.next']);
    const names = new Set(always);
    for (const [tag, { expr }] of view.expressions)
      if (expr) for (const name of keyedNames(view, tag, expr)) names.add(name);
    const telling = [...names].filter((name) => counting.has(name));
    const runOf = runsOf(view, telling, counting);
    let tried = 0;
    for (const job of jobsOver(vocabulary, telling)) {
      if (++tried > JOBS) break;
      const { trace, own } = finish(runOf(job));
      expect(told(trace), `seed ${seed}`).toEqual(told(simulate(view, jobEnv(vocabulary, job))));
      shared += trace.steps.length - own;
      whole += trace.steps.length;
    }
  }
  // Not a test of runs that share nothing.
  expect(shared).toBeGreaterThan(whole / 10);
});
