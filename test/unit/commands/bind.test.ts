import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bindLine, groupConflicts } from '../../../server/src/commands/bind.ts';
import { catalogFor } from '../../../server/src/commands/catalog.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { BASK, bound, firstLine, heron } from './support.ts';

const MANY = heron({ commandsPerLine: 'many' });

describe('one command', () => {
  test.each([
    ['G1 X5 F600', 'G1(X5 F600)'],
    ['T1', 'T(T1)'],
    ['M117 X5 F3', 'M117()'],
    // A word that it does not take stays with it, so that it can be told.
    ['G90 X5', 'G90(X5)'],
    ['G1 Q5', 'G1(Q5)'],
    ['G999 X5 F3', 'G999?(X5 F3)'],
    ['{{a}} X5', '?(X5)'],
    ['G{{a}} X5', '?(X5)'],
  ])('%s', (text, expected) => expect(bound(text, 'G1')).toBe(expected));

  test('nothing for a line without commands', () => expect(bound('; only a comment')).toBe(''));

  test('a named command keeps its words by KEY', () => {
    expect(bound('STEEP_BED MINUTES=5 BED=60', 'G1', heron({}, [BASK]))).toBe('STEEP_BED(MINUTES=5 BED=60)');
    expect(bound('STEEP_BED MINUTES=5 F=6', 'G1')).toBe('STEEP_BED?(MINUTES=5 F=6)');
  });
});

describe('words go to the command that takes them, in the order of NISTIR 6556 Table 8', () => {
  test.each([
    ['G1 G91 X5', 'G91(); G1(X5)'], // distance mode (17) before motion (20)
    ['G17 G2 X10 Y16 I3 J4', 'G17(); G2(X10 Y16 I3 J4)'], // plane (11) before motion
    ['G2 X10 Y16 I3 J4 G17', 'G17(); G2(X10 Y16 I3 J4)'],
    ['G2 G17 X10 Y16 I3 J4', 'G17(); G2(X10 Y16 I3 J4)'],
    ['G54 G0 X1 Y1', 'G54(); G0(X1 Y1)'], // work offset (15) before motion
    ['G53 G0 X1', 'G53(); G0(X1)'],
    ['G0 G53 X1', 'G53(); G0(X1)'],
    ['G0 X1 G4 P100', 'G4(P100); G0(X1)'], // dwell (10) before motion
    ['G1 G92 G91 X5', 'G91(); G92(); G1(X5)'], // the line's motion comes before the nearest
    ['G1 X5 M2', 'G1(X5); M2()'], // stop (21) last
    ['M2 G1 X5', 'G1(X5); M2()'],
    ['G1 X1 F100 G20 G93 G91 G18', 'G93(); G18(); G20(); G91(); G1(X1 F100)'], // 2, 11, 12, 17, 20
    ['M3 S100 G0 X1', 'M3(S100); G0(X1)'], // spindle (7)
    ['G0 X1 G92 E0', 'G92(E0); G0(X1)'], // offsets (19)
    // Common practice, no source: switches with step 9, what releases the motors last.
    ['G1 M106 X5 S255', 'M106(S255); G1(X5)'],
    ['M84 G1 X5', 'G1(X5); M84()'],
    ['G1 X5 M400', 'G1(X5); M400()'],
    ['M104 S200 M140 S60', 'M104(S200); M140(S60)'],
  ])('%s', (text, expected) => expect(bound(text)).toBe(expected));
});

describe('more commands than are written', () => {
  test.each([
    ['G21 F100', 'G1', 'G21(); F(F100)'],
    ['F600', null, 'F(F600)'],
    ['X5 F100', 'G1', 'G1(X5 F100)'],
    ['F100 X5', 'G2', 'G2(F100 X5)'],
    ['X5 G91', 'G1', 'G91(); G1(X5)'],
    ['X5 G1', 'G0', 'G1(X5)'],
    ['X5 G91 F3', 'G1', 'G91(); G1(X5 F3)'],
    ['G53 X1', 'G0', 'G53(); G0(X1)'],
    // No motion yet: nobody knows what the words do.
    ['X5 F100', null, '?(X5 F100)'],
    ['S5', 'G1', '?(S5)'],
  ])('%s after %s', (text, motion, expected) => expect(bound(text, motion)).toBe(expected));

  test('left-over axis words run the motion in force where the controller takes several commands a line', () => {
    expect(bound('G90 X5', 'G1', MANY)).toBe('G90(); G1(X5)');
    expect(bound('G90 F3 X5', 'G1', MANY)).toBe('G90(); G1(F3 X5)');
    expect(bound('G90 T1', 'G1', MANY)).toBe('T(T1); G90()');
    expect(bound('G90 X5', null, MANY)).toBe('G90(X5)');
    // G28 and G92 take the axis words of their line, so that the motion in force does not run (NISTIR 6556 3.4).
    expect(bound('G28 X0 E5', 'G1', MANY)).toBe('G28(X0 E5)');
  });
});

describe('every word is given once', () => {
  const piece = fc.oneof(
    fc.constantFrom(
      'G0',
      'G1',
      'G2',
      'G28',
      'G53',
      'G54',
      'G90',
      'G91',
      'G92',
      'M104',
      'M106',
      'M117',
      'M2',
      'T1',
      'G999',
      'BASK',
    ),
    fc.tuple(fc.constantFrom(...'XYZEFIJKRSPTLNQ'), fc.integer({ min: -9, max: 99 })).map(([k, n]) => k + n),
    fc.constantFrom('{{a}}', '{{#a}}', '{{/a}}', 'X{{a}}', '"text"', 'KEY=5', '(c)', 'X', '%', '1e3', 'N5', '*7'),
  );
  const text = fc.oneof(
    fc.array(piece, { maxLength: 12 }).map((parts) => parts.join(' ')),
    fc.string({ unit: 'binary', maxLength: 60 }),
  );
  const motions = fc.constantFrom(null, 'G0', 'G1', 'G2', 'G80', 'G999');

  test.each([
    ['no machine', null],
    ['one command a line', heron({}, [BASK])],
    ['several', MANY],
  ])('%s', (_name, machine) => {
    const catalog = catalogFor(machine);
    fc.assert(
      fc.property(text, motions, (source, motion) => {
        for (const line of parse(source, { freeText: catalog.freeText }).lines) {
          const given = bindLine(line, catalog, motion).flatMap((b) => b.words);
          const written = line.commands.flatMap((c) => c.words);
          expect(given.length).toBe(written.length);
          expect(new Set(given)).toEqual(new Set(written));
          groupConflicts(line, catalog);
        }
      }),
      { seed: 6556, numRuns: 2000 },
    );
  });

  test('work grows with the line, not with its square', () => {
    const catalog = catalogFor(MANY);
    let asked = 0;
    const takes: typeof catalog.takes = (record, key) => {
      asked++;
      return catalog.takes(record, key);
    };
    const counted = { ...catalog, takes };
    const workFor = (times: number): number => {
      asked = 0;
      const line = firstLine('G1 X5 Q3 G91 '.repeat(times));
      bindLine(line, counted, 'G1');
      groupConflicts(line, counted);
      return asked;
    };
    expect(workFor(4000)).toBeLessThan(2.2 * workFor(2000));
  });
});

describe('commands that may not share a line', () => {
  const conflicts = (text: string) =>
    groupConflicts(firstLine(text), catalogFor(null)).map(
      (c) => `${c.first.code} ${c.second.code}: ${c.group ?? c.why}`,
    );

  test.each([
    // NISTIR 6556 3.3.5 and Table 4.
    ['G0 G1 X1', ['G0 G1: motion']],
    ['G90 G91 X1', ['G90 G91: distance']],
    ['M3 M4 S100', ['M3 M4: spindle']],
    ['G20 G21', ['G20 G21: units']],
    ['G54 G59.3', ['G54 G59.3: work offset']],
    ['M2 M30', ['M2 M30: stopping']],
    // Table 4: mist and flood may be on together.
    ['M7 M8', []],
    ['M8 M9', ['M8 M9: coolant']],
    // NISTIR 6556 3.4: group 0 and motion, both with axis words.
    ['G0 G92 X1', ['G0 G92: axis words']],
    ['G0 G4 P1', []],
    // NISTIR 6556 3.5.12.
    ['G53 G2 X1 I1', ['G53 G2: machine positions']],
    ['G53 G1 X1', []],
    // Common practice, no source.
    ['M82 M83', ['M82 M83: E distance']],
    ['G21 G90 M82', []],
    ['G17 G2 X10 Y15 R20', []],
    ['G1 X1', []],
  ])('%s', (text, expected) => expect(conflicts(text)).toEqual(expected));

  test('two branches of a section never run together', () => {
    expect(conflicts('{{#a}}G90{{/a}}{{^a}}G91{{/a}}')).toEqual([]);
    expect(conflicts('G90 {{#a}}G91{{/a}}')).toEqual(['G90 G91: distance']);
  });
});
