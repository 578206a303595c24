import { describe, expect, it } from 'vitest';
import { boundsEnv, jobEnv } from '../../../server/src/placeholders/environment.ts';
import { jobsOver, usualValue } from '../../../server/src/placeholders/jobs.ts';
import type { Job, Vocabulary } from '../../../server/src/placeholders/vocabulary.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { MACHINES } from '../analyze/machines.ts';

const all = (v: Vocabulary): string[] => [...v.names.keys()];

describe.each(MACHINES.map((m) => [m?.name ?? 'no machine', m] as const))('jobs for %s', (_, machine) => {
  const vocabulary = vocabularyFor(machine);
  const jobs = [...jobsOver(vocabulary, all(vocabulary), 50)];

  it('every value lies in its range, whole where it must be', () => {
    for (const job of jobs)
      for (const { name, range, whole, kind } of vocabulary.names.values()) {
        const value = job.get(name);
        expect(value, name).toBeDefined();
        if (!range) continue;
        expect(value as number, name).toBeGreaterThanOrEqual(range.lo);
        expect(value as number, name).toBeLessThanOrEqual(range.hi);
        if (whole || kind === 'list') expect(Number.isInteger(value), name).toBe(true);
      }
  });

  it('every declared order between names holds', () => {
    let orders = 0;
    for (const job of jobs)
      for (const { name, atLeast, atMost } of vocabulary.names.values()) {
        if (atLeast && job.has(atLeast)) {
          orders++;
          expect(job.get(name), `${name} at least ${atLeast}`).toBeGreaterThanOrEqual(job.get(atLeast) as number);
        }
        if (atMost && job.has(atMost))
          expect(job.get(name), `${name} at most ${atMost}`).toBeLessThanOrEqual(job.get(atMost) as number);
      }
    expect(orders).toBeGreaterThan(jobs.length);
  });

  it('the tool in use and the one that the job begins with are two of its tools', () => {
    for (const job of jobs) {
      const [from, length] = [job.get('tools[].number') as number, job.get('tools') as number];
      for (const name of ['tool.first', 'tool.number']) {
        expect(job.get(name), name).toBeGreaterThanOrEqual(from);
        expect(job.get(name), name).toBeLessThan(from + length);
      }
    }
  });

  it('the same arguments give the same jobs', () => {
    const again = [...jobsOver(vocabulary, all(vocabulary), 50)];
    expect(again.map((j) => [...j])).toEqual(jobs.map((j) => [...j]));
  });

  it('the usual job comes first, each name is tried at both ends', () => {
    const usual = [...vocabulary.names.values()].map((n) => [n.name, usualValue(n)]);
    expect([...(jobs[0] as Job)]).toEqual(usual);
    for (const { name, range } of vocabulary.names.values()) {
      if (!range || !Number.isFinite(range.hi) || range.lo === range.hi) continue;
      const values = jobs.map((j) => j.get(name) as number);
      expect(Math.min(...values), name).toBeCloseTo(range.lo, 3);
      expect(Math.max(...values), name).toBeCloseTo(range.hi, 3);
    }
  });

  it('each job is an environment in which every name is exact', () => {
    const env = jobEnv(vocabulary, jobs.at(-1) as Job);
    for (const { name, kind, range } of vocabulary.names.values()) {
      const value = env(name);
      if (kind === 'text') expect(value).toMatchObject({ type: 'text' });
      else if (kind === 'list') expect(value).toMatchObject({ type: 'list', length: { lo: jobs.at(-1)?.get(name) } });
      else if (range)
        expect(value).toMatchObject({ type: 'number', lo: jobs.at(-1)?.get(name), hi: jobs.at(-1)?.get(name) });
    }
    expect(env('no.such')).toBeUndefined();
    expect(boundsEnv(vocabulary)('no.such')).toBeUndefined();
  });
});

describe('which names vary', () => {
  const vocabulary = vocabularyFor(MACHINES[1] ?? null);
  it('names that are not asked for keep their usual value, but for orders that would break', () => {
    for (const job of jobsOver(vocabulary, ['heat.bed.first', 'part.left'])) {
      for (const name of vocabulary.names.values()) {
        if (/^(heat\.(bed|nozzle)\.first|(part|base)\.(left|right)|last\.x)$/.test(name.name)) continue;
        expect(job.get(name.name), name.name).toBe(usualValue(name));
      }
    }
  });

  it('unknown names are passed over, and no names give the usual job alone', () => {
    const jobs = [...jobsOver(vocabulary, ['no.such'], 0)];
    const usual = [...jobsOver(vocabulary, [], 0)][0] as Job;
    for (const job of jobs) expect([...job]).toEqual([...usual]);
  });
});
