import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { boundsEnv } from '../../../server/src/placeholders/environment.ts';
import { evaluate, truth } from '../../../server/src/placeholders/evaluate.ts';
import { type Expr, parseExpression } from '../../../server/src/placeholders/expression.ts';
import { jobsOver } from '../../../server/src/placeholders/jobs.ts';
import { narrow } from '../../../server/src/placeholders/narrow.ts';
import type { Job, Vocabulary } from '../../../server/src/placeholders/vocabulary.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { builtInNames, vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

const machineOf = (more: object = {}) =>
  readMachine(
    JSON.stringify({
      name: 'Wagtail 204',
      bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
      reach: { shape: 'rectangle', left: -3, right: 209, front: -3, back: 193, bottom: 0, top: 226 },
      heat: { nozzle: { max: 275, minExtrude: 172 }, bed: { max: 105 } },
      ...more,
    }),
  ).machine;
const machine = machineOf();
const vocabulary = vocabularyFor(machine);
const parsed = (source: string): Expr => {
  const { expr } = parseExpression(source, 0);
  if (!expr) throw new Error(source);
  return expr;
};
const NAMES = [...vocabulary.names.values()].filter(({ range }) => range).map(({ name }) => name);
const jobs = (of: Vocabulary = vocabulary, random = 200): Job[] => [...jobsOver(of, NAMES, random)];

/** Whether a job is one that a person prints: what is asserted of every job that is drawn. */
function isReal(of: Vocabulary, job: Job): string | null {
  for (const { name, range, gap, atLeast, atMost, atLeastBy = 0, atMostBy = 0 } of of.names.values()) {
    const value = job.get(name);
    if (typeof value !== 'number') continue;
    if (range && (value < range.lo || value > range.hi)) return `${name} = ${value} lies outside of its range`;
    if (gap && value > gap.lo && value < gap.hi) return `${name} = ${value} lies in its gap`;
    const [low, high] = [atLeast && job.get(atLeast), atMost && job.get(atMost)];
    if (typeof low === 'number' && value < low + atLeastBy - 1e-9) return `${name} = ${value} is too near ${atLeast}`;
    if (typeof high === 'number' && value > high - atMostBy + 1e-9) return `${name} = ${value} is too near ${atMost}`;
  }
  return null;
}

describe('jobs are ones that are printed', () => {
  it('beds are off or at least 35 degrees, parts have a width, and the heats go together (common practice, no source)', () => {
    for (const job of jobs()) {
      expect(isReal(vocabulary, job)).toBeNull();
      const [bed, nozzle] = [job.get('heat.bed.first'), job.get('heat.nozzle.first')] as [number, number];
      expect(bed === 0 || bed >= 35, String(bed)).toBe(true);
      expect(nozzle - bed).toBeGreaterThanOrEqual(115 - 1e-9);
      expect((job.get('part.right') as number) - (job.get('part.left') as number)).toBeGreaterThanOrEqual(3 - 1e-9);
    }
  });

  it('both sides of a gap are tried, off and just on', () => {
    const beds = new Set(jobs().map((job) => job.get('heat.bed.first')));
    expect([0, 35, 105].every((bed) => beds.has(bed))).toBe(true);
  });

  it('on any machine: cold nozzles, hot beds, narrow beds, round ones', () => {
    const temperature = fc.integer({ min: 40, max: 500 });
    fc.assert(
      fc.property(
        temperature,
        temperature,
        fc.integer({ min: 1, max: 300 }),
        fc.integer({ min: 1, max: 200 }),
        (hot, bedHot, wide, cold) => {
          const on = machineOf({
            bed: { shape: 'rectangle', left: 0, right: wide, front: 0, back: 188 },
            reach: undefined,
            heat: { nozzle: { max: hot, minExtrude: Math.min(hot, cold) }, bed: { max: Math.min(bedHot, 200) } },
          });
          const here = vocabularyFor(on);
          for (const job of jobs(here, 6)) expect(isReal(here, job)).toBeNull();
        },
      ),
      { seed: 11, numRuns: 60 },
    );
  });

  it('usual filaments are within reach: nozzle and bed of handbook rows (common practice, no source)', () => {
    const rows: [number, number][] = [
      [190, 0],
      [230, 65],
      [225, 65],
      [255, 90],
      [230, 90],
      [265, 105],
      [240, 60],
      [210, 60],
    ];
    for (const [nozzle, bed] of rows) {
      const job = new Map<string, number>([
        ['heat.nozzle.first', nozzle],
        ['heat.bed.first', bed],
      ]);
      expect(isReal(vocabulary, job), `${nozzle} and ${bed}`).toBeNull();
    }
  });
});

describe('bounds follow', () => {
  const inside = (condition: string, what: string, holds = true) =>
    evaluate(parsed(what), narrow(parsed(condition), holds, boundsEnv(vocabulary)));
  const rows: [string, boolean, string, number, number][] = [
    ['heat.bed.first', true, 'heat.bed.first', 35, 105],
    ['heat.bed.first', false, 'heat.bed.first', 0, 0],
    ['heat.bed.first > 0', true, 'heat.bed.first', 35, 105],
    ['heat.bed.first > 20', true, 'heat.bed.first', 35, 105],
    ['heat.bed.first >= 35', false, 'heat.bed.first', 0, 0],
    ['heat.bed.first < 35', true, 'heat.bed.first', 0, 0],
    ['heat.bed.first != 0', true, 'heat.bed.first', 35, 105],
    ['heat.bed.first == 0', true, 'heat.bed.first', 0, 0],
    ['heat.bed.first < 50', true, 'heat.bed.first', 0, 50],
    ['heat.bed.first > 50', true, 'heat.bed.first', 50, 105],
  ];
  it.each(rows)('where %s is %s, %s lies in %d to %d', (condition, holds, what, lo, hi) => {
    const value = inside(condition, what, holds);
    expect(value).toMatchObject({ type: 'number' });
    if (value.type === 'number') {
      expect(value.lo).toBeCloseTo(lo, 6);
      expect(value.hi).toBeCloseTo(hi, 6);
    }
  });

  it('a bed is never at 20 degrees', () => {
    expect(truth(evaluate(parsed('heat.bed.first == 20'), boundsEnv(vocabulary)))).toBe(false);
    expect(truth(evaluate(parsed('20 != heat.bed.first'), boundsEnv(vocabulary)))).toBe(true);
    expect(truth(evaluate(parsed('heat.bed.first == 35'), boundsEnv(vocabulary)))).toBeNull();
  });

  it('a width is at least 3 mm, and a nozzle 115 degrees above its bed', () => {
    expect(truth(evaluate(parsed('part.right - part.left >= 2.9'), boundsEnv(vocabulary)))).toBe(true);
    expect(truth(evaluate(parsed('heat.nozzle.first - heat.bed.first > 110'), boundsEnv(vocabulary)))).toBe(true);
    expect(truth(evaluate(parsed('part.right - part.left >= 4'), boundsEnv(vocabulary)))).toBeNull();
    expect(truth(evaluate(parsed('base.left >= part.left'), boundsEnv(vocabulary)))).toBe(true);
  });

  it('what holds by the bounds holds in each job', () => {
    const name = fc.constantFrom(
      'heat.bed.first',
      'heat.nozzle.first',
      'part.left',
      'part.right',
      'base.left',
      'part.back',
      'heat.bed.later',
    );
    const side = fc.oneof(
      fc.tuple(name, name, fc.constantFrom('+', '-')).map(([a, b, op]) => `${a} ${op} ${b}`),
      name,
      fc.integer({ min: -10, max: 250 }).map(String),
    );
    const condition = fc
      .tuple(side, fc.constantFrom('<', '<=', '>', '>=', '==', '!='), side)
      .map((parts) => parts.join(' '));
    const all = jobs();
    fc.assert(
      fc.property(condition, condition, (around, asked) => {
        const env = narrow(parsed(around), true, boundsEnv(vocabulary));
        const value = evaluate(parsed(asked), env);
        const known = truth(value);
        for (const job of all) {
          const at = (source: string) =>
            truth(
              evaluate(parsed(source), (n) => {
                const plain = job.get(n);
                return typeof plain === 'number' ? { type: 'number', lo: plain, hi: plain } : undefined;
              }),
            );
          if (at(around) !== true) continue;
          expect(env.facts?.impossible ?? false, around).toBe(false);
          if (known !== null) expect(at(asked), `${around} => ${asked}`).toBe(known);
        }
      }),
      { seed: 5, numRuns: 150 },
    );
  });
});

describe('a vocabulary file says it too', () => {
  const bound = (names: object) => vocabularyFor(machine, readVocabulary(JSON.stringify({ names })).vocabulary);

  it('by orZero, with a range above it', () => {
    const { names } = bound({ slab: { kind: 'temperature', range: [40, 'heat.bed.max'], orZero: true } });
    expect(names.get('slab')).toMatchObject({ range: { lo: 0, hi: 105 }, gap: { lo: 0, hi: 40 } });
  });

  it('a name that stands for a built-in one has its gap and its distance, unless it gives a range of its own', () => {
    const { names } = bound({
      slab: { standsFor: 'heat.bed.first' },
      quill: { standsFor: 'heat.nozzle.first' },
      other: { standsFor: 'heat.bed.later', range: [0, 80] },
    });
    expect(names.get('slab')).toMatchObject({ gap: { lo: 0, hi: 35 } });
    expect(names.get('quill')).toMatchObject({ atLeast: 'slab', atLeastBy: 115 });
    expect(names.get('other')).not.toHaveProperty('gap');
  });

  it('a list of plain values has an element, and one per tool as many as there are tools', () => {
    const on = machineOf({ tools: 3 });
    const { vocabulary: file, problems } = readVocabulary(
      JSON.stringify({
        names: {
          tips: {
            kind: 'list',
            items: 'temperature',
            itemRange: ['heat.nozzle.minExtrude', 'heat.nozzle.max'],
            perTool: true,
          },
        },
      }),
    );
    expect(problems).toEqual([]);
    expect(vocabularyFor(on, file).names.get('tips')).toMatchObject({
      kind: 'list',
      perTool: true,
      range: { lo: 3, hi: 3 },
      items: [{ name: '.', kind: 'temperature', range: { lo: 172, hi: 275 } }],
    });
  });
});

describe('the built-in names', () => {
  const NEEDED = [
    'job.name',
    'job.file',
    'job.date',
    'job.time',
    'job.duration',
    'job.objects',
    'filament.length',
    'filament.mass',
    'base.left',
    'base.right',
    'base.front',
    'base.back',
    'speed.first',
    'speed.travel',
    'acceleration.first',
    'acceleration.travel',
    'extrusion.width',
    'extrusion.relative',
    'extrusion.flow',
    'retraction.length',
    'tool.first',
    'heat.chamber',
  ];
  it('have what sequences need, each with kind, meaning and a sample in its range', () => {
    const names = builtInNames();
    for (const name of NEEDED) {
      const one = names.get(name);
      expect(one, name).toBeDefined();
      expect(one?.meaning.length, name).toBeGreaterThan(10);
      if (one?.kind !== 'text' && one?.kind !== 'flag') expect(one?.range, name).not.toBeNull();
      if (one?.range && typeof one.sample === 'number') {
        expect(one.sample, name).toBeGreaterThanOrEqual(one.range.lo);
        expect(one.sample, name).toBeLessThanOrEqual(one.range.hi);
      }
    }
    expect(names.get('tools')?.items?.map(({ name }) => name)).toEqual(
      expect.arrayContaining(['used.length', 'used.mass']),
    );
  });

  it('can be written where they belong without a finding of form', () => {
    const text = [
      '; {{ job.file }} of {{ job.date }} {{ job.time }}',
      'M117 {{ job.name }} {{ round(job.duration / 60) }} min {{ filament.mass }} g',
      'T{{ tool.first }}',
      'M204 S{{ acceleration.first }}',
      'G1 X{{ base.left }} F{{ speed.travel * 60 }}',
      'G1 E-{{ retraction.length }} F1800',
      '{{# extrusion.relative }}',
      'M83',
      '{{/}}',
      '',
    ].join('\n');
    const found = analyze(text, 'start', machine, vocabulary).findings.map(({ rule }) => rule);
    for (const rule of [
      'unknown-placeholder',
      'bad-expression',
      'unit-mismatch',
      'unknown-language',
      'feed-mm-s',
      'no-such-tool',
    ])
      expect(found).not.toContain(rule);
  });
});
