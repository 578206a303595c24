import { describe, expect, it } from 'vitest';
import type { FoundMachine } from '../../../server/src/cli/machines.ts';
import { checkStream, IN_ONE_PIECE } from '../../../server/src/cli/programText.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import { pageOf } from '../../../server/src/rules/pages/all.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { some } from '../../quick/share.ts';

// A program below 300 kB is checked in one piece, a longer one is streamed. Two programs that differ in the length of their
// comments alone, one on either side, are told the same in the same words.

const { machine } = readMachine(`{
  "name": "Dunnock",
  "bed": { "shape": "rectangle", "left": 0, "right": 204, "front": 0, "back": 188 },
  "reach": { "shape": "rectangle", "left": -3, "right": 221, "front": -5, "back": 199, "bottom": 0, "top": 226 },
  "keepOut": [{ "name": "clip", "left": 181, "right": 197, "front": 3, "back": 17, "bottom": 0, "top": 9 }],
  "heat": { "nozzle": { "max": 285, "minExtrude": 165 }, "bed": { "max": 105 } },
  "speed": { "x": 240, "y": 240, "z": 11 },
  "mostFlow": 14,
  "controller": { "upperCase": true, "fanFull": 255 }
}`);
const BEGIN = 'G21\nG90\nM82\nG28\nM190 S60\nM109 S210\nG92 E0\nG1 Z0.31 F600\nG1 X20 Y20 F6000\n';
const END = 'G92 E0\nG1 E-2 F1800\nG1 Z40 F600\nM104 S0\nM140 S0\nM107\nM84\n';
const WALLS = 1500;
/** How many of a rule are told where a program is streamed. */
const KEEP = 10;

/** A program of so many bytes with these lines in its middle. */
function programOf(bytes: number, lines: string, begin: string): string {
  const whole = (room: number): string => {
    const wall = (i: number): string => {
      const n = i % (WALLS / 2);
      const comment = 'a'.repeat(Math.floor(room / WALLS) + (i < room % WALLS ? 1 : 0));
      return `G1 X${40 + (n % 100)} Y${40 + ((n * 7) % 90)} E${((n % 700) * 0.4 + 1).toFixed(1)} ; ${comment}\n`;
    };
    const walls = Array.from({ length: WALLS }, (_, i) => wall(i));
    const own = lines === '' || lines.endsWith('\n') ? lines : `${lines}\n`;
    const middle = `G92 E0\n${own}G90\nG92 E0\n`;
    return `${begin}${walls.slice(0, WALLS / 2).join('')}${middle}${walls.slice(WALLS / 2).join('')}${END}`;
  };
  const bytesIn = (text: string): number => new TextEncoder().encode(text).length;
  return whole(bytes - bytesIn(whole(0)));
}

async function* bytesOf(text: string): AsyncIterable<Uint8Array> {
  const bytes = new TextEncoder().encode(text);
  for (let at = 0; at < bytes.length; at += 65_536) yield bytes.subarray(at, at + 65_536);
}

/** What is told of a program: of each rule the first few with their places and words, and how many there are. */
async function toldOf(text: string, found: FoundMachine) {
  const stream = { path: 'part.gcode', entry: null, role: 'program' as const, withFixes: false, longest: 1e7 };
  const told = await checkStream(bytesOf(text), stream, found);
  // A text with placeholders in it is no finished program: what only some job shows is looked for where it is at hand whole.
  const findings = told.findings.filter(({ when }) => when === null);
  const rules = [...new Set(findings.map(({ rule }) => rule))].sort();
  return Object.fromEntries(
    rules.map((rule) => {
      const own = findings.filter((one) => one.rule === rule);
      const first = own
        .slice(0, KEEP)
        .map(({ severity, line, column, message }) => `${line}:${column} ${severity} ${message}`);
      // Where only the first few are told, each says how many there are.
      return [rule, { count: Math.max(own.length, ...own.map(({ count }) => count)), first }];
    }),
  );
}

/** The bad example of each rule (of some in `npm run quick`). */
const BAD = some(RULES).map((rule) => [rule.id, pageOf(rule).bad.text] as const);

const foundOf = (own: FoundMachine['machine']): FoundMachine => ({
  ...{ path: null, text: '', machine: own, vocabulary: vocabularyFor(own), names: null },
  ...{ fault: null, note: null, unread: null, faults: [] },
});

/** The tests on a machine, or on none: in files of their own, so that all cores have work. */
export const sameOnBothSides = (on: 'a machine' | 'no machine'): void => {
  describe(`on either side of 300 kB, with ${on}`, () => {
    const own = on === 'a machine' ? machine : null;
    const same = async (lines: string, begin = BEGIN): Promise<void> => {
      const below = programOf(IN_ONE_PIECE - 1000, lines, begin);
      const above = programOf(IN_ONE_PIECE + 1000, lines, begin);
      expect(Buffer.byteLength(below)).toBe(IN_ONE_PIECE - 1000);
      expect(Buffer.byteLength(above)).toBe(IN_ONE_PIECE + 1000);
      expect(await toldOf(above, foundOf(own))).toEqual(await toldOf(below, foundOf(own)));
    };

    it.each(BAD)('what %s is about, in the middle', async (_id, text) => {
      await same(text);
    });

    it.each(BAD)('what %s is about, many times', async (_id, text) => {
      await same((text.endsWith('\n') ? text : `${text}\n`).repeat(25));
    });

    it.each(BAD)('what %s is about, in front', async (_id, text) => {
      await same('', `${text}${text.endsWith('\n') ? '' : '\n'}${BEGIN}`);
    });
  });
};
