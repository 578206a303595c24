import fc from 'fast-check';
import { expect, test } from 'vitest';
import { boundsEnv } from '../../../server/src/placeholders/environment.ts';
import { prepare } from '../../../server/src/service/analyze.ts';
import { Keeper } from '../../../server/src/simulate/keeper.ts';
import { runMotion } from '../../../server/src/simulate/motion.ts';
import { initialState } from '../../../server/src/simulate/start.ts';
import type { Move, State } from '../../../server/src/simulate/state.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { PLOVER } from './support.ts';

// A step that is kept in a row of numbers says the same as the objects that it was made of.

const number = fc.oneof(
  fc.integer({ min: -300, max: 300 }),
  fc.integer({ min: -99999, max: 99999 }).map((n) => n / 1000),
);
const value = fc.oneof(
  { weight: 40, arbitrary: number.map(String) },
  { weight: 1, arbitrary: fc.constant('{{ part.top }}') },
);
const word = fc.tuple(fc.constantFrom(...'XYZEF'), value).map(([letter, n]) => letter + n);
const line = fc
  .tuple(fc.constantFrom('G0', 'G1'), fc.uniqueArray(word, { selector: (w) => w.charAt(0) }))
  .map(([code, words]) => [code, ...words].join(' '));

const placesOf = ({ x, y, z }: Move['from']) => ({ x, y, z });
const factsOf = ({ kind, rapid, from, to, extent, arc, arcFault, length, e, pushed, feed, seconds, moves }: Move) => ({
  ...{ kind, rapid, arc, arcFault, length, e, pushed, feed, seconds, moves },
  ...{ from: placesOf(from), to: placesOf(to), extent: placesOf(extent) },
});
const stateOf = (state: State) => {
  const { at, offset, homed, motion, feed, retracted, tool } = state;
  return { at: { ...placesOf(at), e: at.e }, offset, homed, motion, feed, retracted, tool };
};

test('what is kept says what was said', () => {
  const env = boundsEnv(vocabularyFor(PLOVER));
  let inRows = 0;
  fc.assert(
    fc.property(
      fc.array(line, { minLength: 20, maxLength: 60 }),
      fc.boolean(),
      fc.constantFrom(0, 7.5),
      (lines, relative, shift) => {
        const prepared = prepare(lines.join('\n'), 'program', PLOVER);
        const keeper = new Keeper();
        const within = { prepared, env, guard: null };
        const given = initialState('program', PLOVER, env);
        const zero = { lo: 0, hi: 0 };
        let state: State = {
          ...given,
          relative,
          relativeE: relative,
          offset: { ...given.offset, x: { lo: shift, hi: shift } },
        };
        if (lines.length % 2 === 0) state = { ...state, at: { x: zero, y: zero, z: zero, e: zero } };
        for (const command of prepared.bound.all) {
          const reader = { prepared, env, words: command.words };
          const motion = { kind: 'line', rapid: command.code === 'G0', clockwise: false } as const;
          const { state: after, move } = runMotion(reader, state, motion, false, command.code);
          const step = keeper.keep(command, command.words, within, state, after, move, true, move.seconds);
          expect(step.command).toBe(command);
          expect([step.move && factsOf(step.move), step.seconds, stateOf(step.before), stateOf(step.after)]).toEqual([
            ...[factsOf(move), move.seconds, stateOf(state), stateOf(after)],
          ]);
          if (step.after !== after) inRows++;
          state = after;
        }
      },
    ),
    { seed: 4711, numRuns: 60 },
  );
  // Most of them are kept so, whatever stands between.
  expect(inRows).toBeGreaterThan(500);
});
