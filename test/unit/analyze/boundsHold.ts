import { describe, expect, it } from 'vitest';
import { fewest, share } from '../../quick/share.ts';
import { anyJobs, broken, caseOf, nothingYet } from './promises.ts';

// What Bookend promises: what a run over all jobs says holds in each of them. Random sequences, random jobs; the jobs
// are run exactly, by the same simulator, and must stay inside. Some are also filled in and read anew as plain texts.

// `npm run fuzz` asks for more of both.
const SEQUENCES = Number(process.env.BOOKEND_SEQUENCES ?? share(300));
const JOBS = Number(process.env.BOOKEND_JOBS ?? share(1000));
const FIRST = Number(process.env.BOOKEND_FIRST ?? 0);

/** The tests of some of the ten parts: they stand in several files, so that all cores have work. */
export const boundsHold = (parts: readonly number[]): void => {
  describe(`bounds hold in every job: ${SEQUENCES} random sequences, ${JOBS} random jobs each`, () => {
    it.each(parts)('part %i', (part) => {
      const counts = nothingYet();
      for (let seed = FIRST + part; seed < FIRST + SEQUENCES; seed += 10) {
        const of = caseOf(seed);
        for (const { what, rule, more, job } of broken(of, anyJobs(of.random, of.vocabulary, JOBS), counts))
          throw new Error(
            `${what}: ${rule} ${more}\nseed ${seed}, ${of.role} on ${of.machine?.name}\n${of.text}\n${JSON.stringify(Object.fromEntries(job))}`,
          );
      }
      const { verdicts, texts, steps, findings, witnesses } = counts;
      if (process.env.BOOKEND_SEQUENCES)
        console.log(`part ${part}: rule verdicts ${JSON.stringify(verdicts)}; ${texts} texts filled in`);
      // Not a test of empty texts.
      expect(steps).toBeGreaterThan(fewest(5000));
      expect(findings).toBeGreaterThan(fewest(20));
      expect(witnesses).toBeGreaterThan(fewest(2));
      expect(texts).toBeGreaterThan(fewest(20));
    });
  });
};
