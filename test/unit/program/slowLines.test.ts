import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { checkProgram, type ProgramOptions } from '../../../server/src/program/checkProgram.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { some } from '../../quick/share.ts';

// Lines off the fast path: of what has been told already no more is made than a count, and nothing goes through the
// parser twice. What it takes is counted in lines that the parser is given, never in seconds.

const { machine } = readMachine(`{
  "name": "Siskin",
  "bed": { "shape": "rectangle", "left": 0, "right": 204, "front": 0, "back": 188 },
  "reach": { "shape": "rectangle", "left": -3, "right": 221, "front": -5, "back": 199, "bottom": 0, "top": 226 },
  "heat": { "nozzle": { "max": 285, "minExtrude": 165 }, "bed": { "max": 105 } },
  "controller": { "upperCase": true }
}`);
// Nothing is extruded, so that nothing here is the end of a print, which is looked at by itself.
const BEGIN = 'G21\nG90\nM82\nG28\nM190 S60\nM109 S210\nG92 E0\nG1 Z0.3 F3000\nG1 X20 Y20 F6000\n';
const LINES = 20_000;
/** What is read before a finding is only counted, and what is kept of the beginning and of the end for the whole. */
const SOME = 7500;
const PART = 100;

const sum = (line: string): string => `${line}*${[...line].reduce((x, char) => x ^ char.charCodeAt(0), 0)}`;
const place = (i: number): number => 20 + (i % 100);

function parsedOf(line: (i: number) => string, begin = BEGIN, options: ProgramOptions = {}) {
  let parsed = 0;
  const check = checkProgram(machine, vocabularyFor(machine), {
    part: PART,
    ...options,
    parsed: (lines) => {
      parsed += lines;
    },
  });
  check.push(new TextEncoder().encode(begin + Array.from({ length: LINES }, (_, i) => `${line(i)}\n`).join('')));
  const { lines, counts } = check.end();
  expect(lines).toBe(begin.split('\n').length - 1 + LINES);
  return { parsed, counts };
}

describe('lines of a kind that is known do not go through the parser', () => {
  const KNOWN: readonly [string, (i: number) => string, Record<string, number>][] = [
    ['a command that is not known', () => 'M9777 S1', { 'unknown-command': LINES }],
    ['a word that lacks its number', () => 'M73 P', { 'missing-word': LINES }],
    ['a message', () => 'M117 Printing', {}],
    ['a setting of two that come by turns', (i) => `M204 S${1000 + (i % 2) * 500}`, {}],
    ['E set to zero', () => 'G92 E0', {}],
    ['one word', () => 'G1 X1', {}],
    ['words alone', (i) => `X${place(i)} Y30`, {}],
    ['lower case', (i) => `g1 x${place(i)} y30`, { 'lower-case': LINES }],
    ['no blanks', (i) => `G1X${place(i)}Y30`, {}],
    ['codes with a zero in front', (i) => `G01 X${place(i)} Y30`, {}],
    ['tabs', (i) => `G1\tX${place(i)}\tY30`, {}],
    ['blanks in front', (i) => `  G1 X${place(i)} Y30`, {}],
    ['plus signs', (i) => `G1 X+${place(i)} Y30`, {}],
    ['more digits than a double holds', (i) => `G1 X${place(i)}.12345678901234567`, {}],
    ['numbered lines with checksums', (i) => sum(`N${i} G1 X${place(i)} Y30`), { 'numbered-text': 9 }],
    ['comments that speak of this program', (i) => `G1 X${place(i)} ; bookend has seen it`, {}],
    ['the tool in use again', () => 'T0', {}],
    ['the same heat again', () => 'M104 S210', {}],
    ['a mode that holds', () => 'G90', {}],
    ['homing upon homing', () => 'G28', { 'hot-homing': LINES }],
    ['a named command that could be anything', () => 'STEEP_BED MINUTES=5', { 'unknown-command': LINES }],
    ['commands that are not known, each with another number', (i) => `M9777 S${i}`, { 'unknown-command': LINES }],
    ['named commands', (i) => `STEEP_BED MINUTES=${i}`, { 'unknown-command': LINES }],
    ['messages', (i) => `M117 Layer ${i}`, {}],
    ['how far it has come', (i) => `M73 P${i % 100} R${i % 777}`, {}],
    ['a word that lacks its number, behind one that has it', (i) => `M73 P${i % 100} R`, { 'missing-word': LINES }],
    ['arcs by their radius', (i) => `G2 X${i % 2 ? 40 : 60} Y${40 + (i % 7) / 10} R30`, {}],
    ['arcs that are none', (i) => `G2 X40 Y${30 + (i % 40)} I10 J3`, { 'bad-arc': LINES }],
    ['two commands on a line', (i) => `G90 G1 X${place(i)}`, { 'two-commands': LINES }],
    ['a word twice', (i) => `G1 X20 X${place(i)}`, { 'duplicate-word': LINES }],
    ['exponents', (i) => `G1 X2e${i % 2} Y30`, { 'bad-number': LINES, 'lower-case': LINES }],
    ['remarks in front', (i) => `(wall ${i}) G1 X${place(i)}`, {}],
    ['lines that are too long', (i) => `G1 X${place(i)} ; ${'a long wall '.repeat(22)}`, { 'long-line': LINES }],
    ['tags in comments', (i) => `G1 X${place(i)} ; {{ part.top }}`, {}],
    ['comments that ignore a rule', (i) => `G1 X${place(i)} ; bookend-ignore off-bed: meant`, {}],
    ['comments that ignore what is so', (i) => `G1 X${700 + place(i)} ; bookend-ignore beyond-reach: meant`, {}],
    ['out of reach, in lower case', (i) => `g1 x${700 + place(i)}`, { 'lower-case': LINES, 'beyond-reach': LINES }],
  ];

  it.each(some(KNOWN))('%s', (_, line, counts) => {
    const seen = parsedOf(line);
    expect(seen.counts).toEqual(counts);
    expect(seen.parsed).toBeLessThan(SOME);
  });

  it.each(['M9777 S1', 'G1 X1', 'G1 X1 Y1 E1', 'M104 S300'])('where nothing has been said before: %s', (line) => {
    const seen = parsedOf(() => line, '');
    expect(seen.parsed).toBeLessThan(SOME);
    expect(seen.counts).toEqual(
      line === 'M9777 S1'
        ? { 'unknown-command': LINES }
        : line === 'M104 S300'
          ? { 'too-hot': LINES }
          : expect.not.objectContaining({ 'unknown-command': expect.anything() }),
    );
  });

  it('a checksum that is wrong is told each time', () => {
    // Only the whole text tells of checksums, of which the first and the last lines are kept here.
    const right = sum('N5 G1 X30');
    const wrong = right.replace(/\d+$/, (digits) => String(Number(digits) ^ 1));
    const seen = parsedOf((i) => (i % 1000 === 999 ? wrong : right), '', { part: LINES + 100, confirm: 0 });
    expect(seen.counts['numbered-text']).toBeGreaterThanOrEqual(LINES / 1000);
  });
});

describe('all others go through it once', () => {
  it.each<[string, (i: number) => string, string?]>([
    ['places of E', (i) => `G92 E${i % 5000}`],
    ['heat', (i) => `M104 S${200 + (i % 9)}`],
    ['tools by turns', (i) => (i % 2 ? 'T0' : 'G28')],
    ['waits', (i) => `G4 P${i % 500}`],
    ['numbers that are out of range', (i) => `M73 P${101 + i}`],
    ['new codes that nobody knows', (i) => `M${9777 + i}`],
    ['prose', (i) => `this is line ${i} of a letter`],
    ['moves of which no place is known', (i) => `G1 X${place(i)}`, ''],
  ])('%s', (_, line, begin) => {
    expect(parsedOf(line, begin).parsed).toBeLessThan(LINES + SOME);
  });

  it('and so do plain ones that stand between them', () => {
    // Every other line is odd: taken together they are read as fast as odd lines alone.
    const { parsed } = parsedOf((i) => (i % 2 ? `G1 X${place(i)} Y30` : `M106 S${i % 255}`));
    expect(parsed).toBeLessThan(LINES + SOME);
  });
});
