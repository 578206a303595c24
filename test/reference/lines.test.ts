import { describe, expect, it } from 'vitest';
import { prepare } from '../../server/src/service/analyze.ts';
import { found, RS274 } from './support.ts';

// One line with several commands, against NISTIR 6556: Table 4 says which may share a line, Table 8 in which order they
// run, whatever the order in which they are written.

/** NISTIR 6556 Table 4: the modal groups, whole. */
const GROUPS: readonly (readonly [string, readonly string[]])[] = [
  ['1, motion', 'G0 G1 G2 G3 G38.2 G80 G81 G82 G83 G84 G85 G86 G87 G88 G89'.split(' ')],
  ['2, plane', ['G17', 'G18', 'G19']],
  ['3, distance', ['G90', 'G91']],
  ['5, feed rate mode', ['G93', 'G94']],
  ['6, units', ['G20', 'G21']],
  ['7, cutter radius compensation', ['G40', 'G41', 'G42']],
  ['8, tool length offset', ['G43', 'G49']],
  ['10, return mode in canned cycles', ['G98', 'G99']],
  ['12, coordinate system', ['G54', 'G55', 'G56', 'G57', 'G58', 'G59', 'G59.1', 'G59.2', 'G59.3']],
  ['13, path control', ['G61', 'G61.1', 'G64']],
  ['M 4, stopping', ['M0', 'M1', 'M2', 'M30', 'M60']],
  ['M 7, spindle', ['M3', 'M4', 'M5']],
  ['M 8, coolant', ['M7', 'M8', 'M9']],
  ['M 9, overrides', ['M48', 'M49']],
];
const pairs = (codes: readonly string[]): [string, string][] =>
  codes.flatMap((a) => codes.filter((b) => b !== a).map((b): [string, string] => [a, b]));
const twice = (line: string): boolean => found([line]).some(({ rule }) => rule === 'two-commands');

describe('NISTIR 6556 Table 4 and 3.3.5: two of one group on a line are an error', () => {
  it.each(GROUPS)('group %s: every pair, in either order', (_, codes) => {
    for (const [a, b] of pairs(codes)) {
      // "M7 and M8 may be active at the same time" (Table 4, group 8).
      const allowed = [a, b].every((code) => code === 'M7' || code === 'M8');
      expect([`${a} ${b}`, twice(`${a} ${b}`)]).toEqual([`${a} ${b}`, !allowed]);
    }
  });

  it('one of each group may share a line', () => {
    for (const pick of [0, 1, 2]) {
      const line = GROUPS.map(([, codes]) => codes[pick % codes.length]).join(' ');
      expect([line, twice(`${line} F100`)]).toEqual([line, false]);
    }
  });

  it('G4 of group 0 goes with all of them; two that take the axis words do not go together (3.4)', () => {
    for (const [, codes] of GROUPS) for (const code of codes) expect(twice(`G4 P1 ${code}`)).toBe(false);
    for (const zero of ['G10 L2 P1', 'G28', 'G30', 'G92'])
      for (const motion of ['G0', 'G1', 'G2', 'G3', 'G81']) expect(twice(`${zero} ${motion} X1`)).toBe(true);
  });
});

/** NISTIR 6556 Table 8: the steps in which a line runs, with commands of each. F and S are set in 3 and 4. */
const STEPS: readonly (readonly [number, readonly string[]])[] = [
  [2, ['G93', 'G94']],
  [5, ['T1']],
  [6, ['M6']],
  [7, ['M3', 'M4', 'M5']],
  [8, ['M7', 'M8', 'M9']],
  [9, ['M48', 'M49']],
  [10, ['G4 P1']],
  [11, ['G17', 'G18', 'G19']],
  [12, ['G20', 'G21']],
  [13, ['G40', 'G41', 'G42']],
  [14, ['G43', 'G49']],
  [15, ['G54', 'G59', 'G59.3']],
  [16, ['G61', 'G61.1', 'G64']],
  [17, ['G90', 'G91']],
  [18, ['G98', 'G99']],
  [19, ['G28', 'G30', 'G10 L2', 'G92', 'G92.1', 'G92.2', 'G92.3']],
  [20, ['G0', 'G1', 'G2', 'G3', 'G38.2', 'G80', 'G81', 'G89']],
  [21, ['M0', 'M1', 'M2', 'M30', 'M60']],
];
const order = (line: string): string[] => prepare(line, 'program', RS274).bound.all.map(({ code }) => code);

describe('NISTIR 6556 Table 8: the order in which a line runs', () => {
  it.each(STEPS.slice(0, -1))('step %i comes before all later ones, however they are written', (step, commands) => {
    for (const first of commands) {
      for (const [later, others] of STEPS) {
        if (later <= step) continue;
        for (const second of others) {
          const codes = [first, second].map((one) => one.replace(/ .*/, '').replace('T1', 'T'));
          expect(order(`${first} ${second}`)).toEqual(codes);
          // Behind M6 a T is that command's own word, which comes to the same.
          if (first !== 'T1' || second !== 'M6') expect(order(`${second} ${first}`)).toEqual(codes);
        }
      }
    }
  });

  it('a line with one of each runs in the order of the table', () => {
    // Not G28 beside G0: both take axis words.
    const one = STEPS.map(([, commands]) => commands[0] ?? '').filter((code) => code !== 'G28' && code !== 'T1');
    const codes = one.map((code) => code.replace(/ .*/, '').replace('T1', 'T'));
    expect(order([...one].reverse().join(' '))).toEqual(codes);
  });
});
