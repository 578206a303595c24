import { describe, expect, it } from 'vitest';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { jobEnv } from '../../../server/src/placeholders/environment.ts';
import { related, usualValue } from '../../../server/src/placeholders/jobs.ts';
import type { Job } from '../../../server/src/placeholders/vocabulary.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import type { Edit, Finding } from '../../../server/src/rules/rule.ts';
import { type Analysis, analyze } from '../../../server/src/service/analyze.ts';
import { fixesOf } from '../../../server/src/service/fixes.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { share } from '../../quick/share.ts';
import { type Random, randomOf } from '../analyze/random.ts';
import { fixtureMachine } from './support.ts';

// Rules about the order of heating, homing and measuring, on random sequences made of the commands that they are about:
// a rule that is said to hold fires in no job, what is said of every job happens in each, and a fix that may be applied
// without being looked at takes its finding away and adds none.

const IDS = [
  'level-before-home',
  'level-lost',
  'cold-probing',
  'hot-homing',
  'nozzle-hot-while-bed-warms',
  'fan-while-heating',
  'fan-left-on',
  'tool-not-picked',
  'wait-without-target',
  'endless-wait',
  'material-range',
  'heat-left-on',
  'not-awaited',
  'cold-extrusion',
  'too-hot',
];
/** Told once, where it first matters: in a job that may be another line. */
const TOLD_ONCE = ['cold-extrusion', 'not-awaited'];
const MINE = RULES.filter(({ id }) => IDS.includes(id));
const MACHINES = [null, ...['egret', 'lens', 'twin'].map(fixtureMachine)];
const SEQUENCES = Number(process.env.BOOKEND_SEQUENCES ?? share(200));
const FIRST = Number(process.env.BOOKEND_FIRST ?? 0);

const LINES = [
  ['G28', 'G28', 'G28 X', 'G28 Z', 'G29', 'G29', 'M420 S1', 'M420 S0', 'M420 S{{ tool.number }}', 'G34'],
  [
    'M104 S210',
    'M104 S150',
    'M104 S{{ heat.nozzle.first }}',
    'M104 S0',
    'M104 S300',
    'M104 S240 T1',
    'M104 S{{ min(290, heat.nozzle.first) }}',
  ],
  [
    'M109 S210',
    'M109 S{{ heat.nozzle.first }}',
    'M109',
    'M109 R100',
    'M109 S0',
    'M109 T1',
    'M109 R{{ heat.bed.later }}',
  ],
  ['M140 S60', 'M140 S{{ heat.bed.first }}', 'M140 S0', 'M140 S{{ heat.bed.later }}'],
  ['M190 S60', 'M190 S{{ heat.bed.first }}', 'M190', 'M190 R15', 'M190 R40', 'M116'],
  ['M141 S40', 'M191 S40', 'M191 S{{ heat.chamber }}', 'M141 S0', 'M141 S{{ heat.chamber }}'],
  ['M106', 'M106 S0', 'M107', 'M106 S{{ heat.bed.later }}', 'M106 P1', 'M106 S128'],
  ['G1 E5', 'G1 X20 E2', 'G1 E-2', 'G1 E{{ heat.bed.later }}', 'T0', 'T1', 'T{{ tool.number }}', 'WHATEVER', 'M302 P1'],
  [
    'M104 S{{ filament.kind == "PLA" ? 260 : 210 }}',
    'M2',
    'M84',
    'G92 E0',
    'M83',
    'M104 {{# heat.bed.first > 50 }}S250{{/}}',
  ],
] as const;
const CONDITIONS = [
  'heat.bed.first > 50',
  'filament.kind == "PLA"',
  'filament.kind != "ABS"',
  'part.top > 20',
  'heat.bed.later > 0',
  'tools',
];

function lines(random: Random, count: number, depth = 0): string[] {
  return Array.from({ length: count }, () => {
    if (depth < 2 && random.chance(0.2)) {
      const condition = random.pick(CONDITIONS);
      const body = lines(random, 1 + Math.floor(random.next() * 3), depth + 1);
      const rest = random.chance(0.4) ? ['{{/}}', `{{^ ${condition} }}`, ...lines(random, 2, depth + 1)] : [];
      return [`{{# ${condition} }}`, ...body, ...rest, '{{/}}'].join('\n');
    }
    return random.pick(random.pick(LINES));
  });
}

function anyJob(random: Random, machine: Machine | null): Job {
  const job = new Map<string, number | string | boolean>();
  const vocabulary = vocabularyFor(machine);
  for (const name of vocabulary.names.values()) {
    const { range } = name;
    if (name.kind === 'text') job.set(name.name, random.pick(['PLA', 'ABS', 'PETG']));
    else if (!range || name.fromMachine) job.set(name.name, usualValue(name));
    else if (name.whole || name.kind === 'list') job.set(name.name, random.pick([range.lo, range.hi]));
    else
      job.set(
        name.name,
        random.pick([range.lo, range.hi, range.lo + (range.hi - range.lo) * random.next(), usualValue(name) as number]),
      );
  }
  // Beds are off or at 35 degrees or more, and stay below their nozzle.
  return related(vocabulary, job, job);
}

const lineOf = (text: string, offset: number): number => text.slice(0, offset).split('\n').length;

/** The lines on which each rule certainly tells something in one job. */
function happening(a: Analysis, job: Job): Map<string, Set<number>> {
  const trace = simulate(a, jobEnv(a.vocabulary, job));
  return new Map(
    MINE.map((rule) => {
      const found = new Set<number>();
      rule.check({ ...a, trace }, ({ span, certain, step }) => {
        if ((certain ?? true) && (step?.certain ?? true)) found.add(lineOf(a.tree.text, span.start));
      });
      return [rule.id, found];
    }),
  );
}

const applied = (text: string, edits: readonly Edit[]): string =>
  [...edits]
    .sort((a, b) => b.span.start - a.span.start)
    .reduce((t, { span, text: put }) => t.slice(0, span.start) + put + t.slice(span.end), text);

const counted = (findings: readonly Finding[]): Map<string, number> => {
  const counts = new Map<string, number>();
  for (const { rule } of findings) counts.set(rule, (counts.get(rule) ?? 0) + 1);
  return counts;
};

describe(`order and heat on ${SEQUENCES} random sequences`, () => {
  it('say what is so in every job', () => {
    let [certain, withJob, held] = [0, 0, 0];
    for (let seed = FIRST; seed < FIRST + SEQUENCES; seed++) {
      const random = randomOf(seed);
      const machine = random.pick([0, 1, 2, 3].map((i) => ({ of: MACHINES[i] ?? null }))).of;
      const role: Role = random.pick(['start', 'start', 'end', 'layer', 'program']);
      const text = lines(random, 4 + Math.floor(random.next() * 10)).join('\n');
      const a = analyze(text, role, machine, vocabularyFor(machine));
      const where = `seed ${seed}, ${role} on ${machine?.name}\n${text}`;
      expect(
        a.findings.map((f) => f.rule),
        where,
      ).not.toContain('rule-failed');
      const notHolding = new Set([...a.findings, ...a.verdict.undecided].map((f) => f.rule));
      const everywhere = a.findings.filter((f) => f.when === null && IDS.includes(f.rule));
      certain += everywhere.length;
      withJob += a.findings.filter((f) => f.when !== null && IDS.includes(f.rule)).length;
      held += IDS.length - notHolding.size;
      for (const f of a.findings) {
        if (f.when === null || !IDS.includes(f.rule)) continue;
        const usual = [...a.vocabulary.names.values()].map((n) => [n.name, usualValue(n)] as const);
        const here = happening(a, new Map([...usual, ...Object.entries(f.when)]));
        if (!here.get(f.rule)?.has(lineOf(text, f.span.start)))
          throw new Error(`${f.rule} does not happen in its own job: ${f.message}\n${where}`);
      }
      for (let i = 0; i < 12; i++) {
        const job = anyJob(random, machine);
        const here = happening(a, job);
        const said = `${where}\n${JSON.stringify(Object.fromEntries(job))}`;
        for (const id of IDS)
          if (!notHolding.has(id) && here.get(id)?.size) throw new Error(`${id} is said to hold, and fires\n${said}`);
        for (const f of everywhere) {
          const found = here.get(f.rule);
          if (!found?.has(lineOf(text, f.span.start)) && !(TOLD_ONCE.includes(f.rule) && found?.size))
            throw new Error(`${f.rule} is said of every job, and does not happen (${f.message})\n${said}`);
        }
      }
    }
    expect(certain).toBeGreaterThan(SEQUENCES / 2);
    expect(withJob).toBeGreaterThan(SEQUENCES / 10);
    expect(held).toBeGreaterThan(SEQUENCES);
  });

  it('offer fixes that take the finding away; the ones that need no look add none', () => {
    let [safe, others] = [0, 0];
    for (let seed = FIRST; seed < FIRST + SEQUENCES; seed++) {
      const random = randomOf(seed + 1e6);
      const machine = random.pick([0, 1, 2, 3].map((i) => ({ of: MACHINES[i] ?? null }))).of;
      const role: Role = random.pick(['start', 'start', 'end', 'end', 'layer']);
      const head = random.chance(0.5) ? ['G21', 'G90', 'M83', 'G28'] : [];
      const text = [...head, ...lines(random, 2 + Math.floor(random.next() * 7))].join(random.pick(['\n', '\r\n']));
      const vocabulary = vocabularyFor(machine);
      const a = analyze(text, role, machine, vocabulary);
      const before = counted(a.findings);
      for (const finding of a.findings) {
        if (!IDS.includes(finding.rule)) continue;
        for (const fix of fixesOf(a, finding)) {
          const b = analyze(applied(text, fix.edits), role, machine, vocabulary);
          const after = counted(b.findings);
          const said = `${finding.rule}: ${fix.title}\n${role} on ${machine?.name}, seed ${seed}\n${text}\n-->\n${b.tree.text}`;
          if (fix.safe) safe++;
          else others++;
          expect(fix.edits.length, said).toBeGreaterThan(0);
          if (!fix.safe) continue;
          if ((after.get(finding.rule) ?? 0) >= (before.get(finding.rule) ?? 0)) throw new Error(`stays: ${said}`);
          // What was undecided may find its job in the other text: the search tries other values there.
          const open = new Set(a.open.map(({ rule }) => rule));
          for (const [rule, count] of after)
            if (!open.has(rule) && count > (before.get(rule) ?? 0))
              throw new Error(`adds ${rule} (${b.findings.find((f) => f.rule === rule)?.message}): ${said}`);
        }
      }
    }
    expect(safe).toBeGreaterThan(SEQUENCES / 4);
    expect(others).toBeGreaterThan(SEQUENCES / 4);
  });
});
