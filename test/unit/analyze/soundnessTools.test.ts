import { expect, it } from 'vitest';
import { ROLES } from '../../../server/src/syntax/role.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { fewest, share } from '../../quick/share.ts';
import { machineOf } from './machines.ts';
import { anyJobs, broken, type Case, nothingYet } from './promises.ts';
import { type Random, randomOf } from './random.ts';

// The promises of soundness.test.ts on machines with several tools, and on sequences that are about the tools of a job:
// lists are looked at length by length, and the tool in use is one of the job's tools.

const SEQUENCES = share(150);
const JOBS = share(120);

const machineWith = (tools: number) =>
  machineOf({
    name: `Dabchick ${tools}`,
    tools,
    bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    reach: { shape: 'rectangle', left: -3, right: 221, front: -5, back: 199, bottom: 0, top: 226 },
    home: { x: -3, y: -5, z: 0 },
    heat: { nozzle: { max: 283, minExtrude: 163 }, bed: { max: 107 } },
  });
const MACHINES = [2, 3, 4].map(machineWith);

const LINES = [
  'T{{ tool.number }}',
  'T0',
  'T1',
  'M104 S207',
  'M109 S{{ heat.nozzle.first }}',
  'M109 T{{ tool.number }} S207',
  'M104 T{{ tool.number }} S0',
  'G1 E-3 F1800',
  'G1 E3 F1800',
  'G1 X40 Y30 F4100',
  'G1 X61 E2 F1100',
  'M104 S0',
];
/** Lines within a section over the tools. */
const OF_A_TOOL = [
  'T{{ number }}',
  'M109 T{{ number }} S207',
  'M104 T{{ number }} S{{ temperature.first }}',
  'M104 T{{ number }} S0',
  'G1 E-2 F1800',
  'G1 E2 F1800',
  'G1 X{{ 20 + number * 9 }} Y30 F4100',
];
const CONDITIONS = ['tool.number == 0', 'tool.number != 1', 'tool.number > 0', 'tools.length > 1'];
const OF_A_TOOL_TOO = ['number == tool.number', 'number != tool.number', 'number == 0'];

function lines(random: Random, count: number, own: boolean): string[] {
  return Array.from({ length: count }, () => {
    const body = (inTools: boolean) => lines(random, random.whole(1, 3), inTools).join('\n');
    if (!own && random.chance(0.3)) return `{{# tools }}\n${body(true)}\n{{/ tools }}`;
    if (random.chance(0.15)) {
      const condition = random.pick(own && random.chance(0.7) ? OF_A_TOOL_TOO : CONDITIONS);
      return `{{# ${condition} }}\n${body(own)}\n{{/}}`;
    }
    return random.pick(own && random.chance(0.8) ? OF_A_TOOL : LINES);
  });
}

function toolCase(seed: number): Case & { readonly random: Random } {
  const random = randomOf(seed);
  const machine = random.pick(MACHINES);
  const head = random.chance(0.7) ? 'G21\nG90\nM83\nG28\n' : '';
  const text = `${head}${lines(random, random.whole(3, 9), false).join('\n')}\n`;
  return { text, role: random.pick(ROLES), machine, vocabulary: vocabularyFor(machine), random };
}

it(`what is said of all jobs holds in each: ${SEQUENCES} sequences about tools, ${JOBS} jobs each`, () => {
  const counts = nothingYet();
  for (let seed = 0; seed < SEQUENCES; seed++) {
    const of = toolCase(seed);
    for (const { what, rule, more, job } of broken(of, anyJobs(of.random, of.vocabulary, JOBS), counts))
      throw new Error(
        `${what}: ${rule} ${more}\nseed ${seed}, ${of.role} on ${of.machine?.name}\n${of.text}\n${JSON.stringify(Object.fromEntries(job))}`,
      );
  }
  expect(counts.findings).toBeGreaterThan(fewest(100));
  expect(counts.witnesses).toBeGreaterThan(fewest(50));
});
