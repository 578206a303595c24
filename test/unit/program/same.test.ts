import { describe, expect, it } from 'vitest';
import type { Machine } from '../../../server/src/machine/machine.ts';
import type { Known } from '../../../server/src/placeholders/bounds.ts';
import { checkProgram, type ProgramOptions, type ProgramReport } from '../../../server/src/program/checkProgram.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import type { State } from '../../../server/src/simulate/state.ts';
import { lineIndex } from '../../../server/src/text/lines.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { type Mistake, PLACES, wholeProgram } from '../../program/programs.ts';
import { share } from '../../quick/share.ts';
import { type Random, randomOf } from '../analyze/random.ts';
import { fixtureMachine } from '../rules/support.ts';

// The streaming check and the engine are two ways to the same answer: findings by rule and line, totals, extents.
// `BOOKEND_PROGRAMS=n` for more, `BOOKEND_FIRST=n` for others.

const PROGRAMS = Number(process.env.BOOKEND_PROGRAMS ?? share(120));
const FIRST = Number(process.env.BOOKEND_FIRST ?? 0);
const CLOSE = 1e-6;

const MACHINES = ['egret', 'lens', 'twin', 'tern', 'wedge', 'none'] as const;
const machines = new Map<string, Machine | null>(
  MACHINES.map((name) => [name, name === 'none' ? null : fixtureMachine(name)]),
);
const placeFor = (name: string) => (name === 'lens' ? PLACES.centre : name === 'twin' ? PLACES.twin : PLACES.corner);

/** What is judged by all lines together: of a program that is too long to be kept some of it goes untold. */
const OF_THE_WHOLE = new Set(RULES.filter(({ scope }) => scope === 'whole').map(({ id }) => id));

const ALL: readonly Mistake[] = [
  'off-bed',
  'beyond-reach',
  'too-hot',
  'cold',
  'not-homed',
  'bad-number',
  'unknown-command',
  'bad-arc',
  'flow',
  'keep-out',
];

/** Lines that change a mode, are no plain motion, or only look like it. */
const ODD = [
  'G91',
  'G90',
  'G20',
  'G21',
  'M82',
  'M83',
  'G92 E0',
  'G92 X20 Y20',
  'G92.1',
  'G54',
  'G10 L2 P2 X5',
  'G55',
  'T0',
  'T1',
  'M104 S0',
  'M104 S230',
  'M109 S225',
  'M106 S99',
  'M220 S80',
  'M221 S92',
  'G4 P200',
  'G28 X',
  'M84 X',
  'M302 P1',
  'M117 Now printing wall 3',
  'M23 größe.gcode',
  'G1 X20 Y30 E-15 F2400',
  'G1 X20 X30',
  'G1',
  'G1 F1200',
  'g1 x33 y44 f3000',
  'G1X40Y40',
  'X50 Y50',
  'G1 X+50 Y050.50 Z.8',
  'G1 X60.123456789 Y60',
  'G1 X60.12345678901234567 Y60',
  'G1 X70 Y70 F200',
  'G1 X75 Y10 F0',
  'G1 E14 F300',
  'G0 X5 Y5 Z-0.2',
  'G0 Z5',
  'N5 G1 X44*90',
  '(in brackets) G1 X12',
  'G1 X90 ; {{ part.top }}',
  '; bookend-ignore-next-line off-bed, beyond-reach: meant',
  'G1 X800 F6000 ; bookend-ignore beyond-reach: meant',
  'G1 X30 Y30 I5 J5',
  'G2 X40 Y40 R30',
  'G18',
  'G17',
  'G93',
  'G94',
  'G1 X55 Y55 F2',
  '%',
  '',
  '   ',
  ';',
  `; ${'a long comment '.repeat(20)}`,
  'STEEP_BED MINUTES=5',
  'G1 X1e2',
  'G29',
  'M204 S870',
  'M204 S870',
  'M73 P10',
  'G1\tX20 Y20',
];

const summed = (line: string): string => `${line}*${[...line].reduce((sum, char) => sum ^ char.charCodeAt(0), 0)}`;

/** Lines of one kind that come again and again, each with numbers of its own or always the same. */
const AGAIN: readonly ((n: number, m: number) => string)[] = [
  () => 'M9777 S1',
  (n) => `M9777 S${n}`,
  () => 'STEEP_BED MINUTES=5',
  (n) => `STEEP_BED MINUTES=${n}`,
  () => 'G1 X31',
  (n, m) => `g1 x${n} y${m}`,
  (n, m) => `G1X${n}Y${m}`,
  (n, m) => `G01 X${n} Y${m}.5`,
  (n, m) => `  G1 X${n}  Y${m} `,
  (n, m) => `G1\tX${n}\tY.${m}`,
  (n, m) => `G1 X+${n} Y0${m} F3000`,
  (n, m) => `X${n} Y${m}`,
  (n) => `Z${n / 10}`,
  (n, m) => `G1 X${n}.123456789012345678 Y${m}`,
  (n, m) => `G1 X${n} X${m}`,
  (n, m) => `G1 X${n}e1 Y${m}`,
  (n, m) => `G1 X${n} Y${m} F0`,
  (n, m) => `g1 x${n} y${m} e${n}`,
  (n, m) => `G1 Y${m} X${n}; wall ${n}`,
  (n) => `G38.2 Z${n}`,
  () => 'G80',
  (n) => `G93\nG1 X${n} F2`,
  (n) => `g1 x${500 + n}`,
  (n) => `G1 X${n} ; bookend-ignore beyond-reach: meant`,
  (n) => `G1 X${n} ; bookended`,
  (n) => `G1 X${n} ; {{ part.top }}`,
  (n) => `(wall) G1 X${n}`,
  (n, m) => `G2 X${n} Y${n} I${m} J5`,
  (n, m) => `g3 x${n} y${m} r60`,
  (n) => `M117 Layer ${n}`,
  () => 'M117 still printing',
  (n, m) => `G2 X${n} Y${m} R${n}`,
  (n, m) => `G3 X${n} Y${m} I${n} R5`,
  (n) => `G2 X${n}`,
  (n, m) => `G90 G1 X${n} Y${m}`,
  (n) => `G91 G1 X${n / 10}`,
  (n) => `M83 G1 X${n}`,
  (n) => `G21 G90 G1 X${n} F1500`,
  (n, m) => `G1 X${n} Y${m}e1`,
  (n, m) => `G1X${n}E0.${m}F3000`,
  (n, m) => `G1 X${n}E${m}`,
  (n, m) => `(wall ${n}) G1 X${m}`,
  (n, m) => `G1 (to ${n}) X${m} (bed)`,
  (n) => `G1 X${n} ; ${'long '.repeat(60)}`,
  (n) => `G1 X${n} ; ${'größe '.repeat(41)}`,
  (n) => `G1 X${n * 20} ; bookend-ignore beyond-reach: meant`,
  (n) => `G1 X${n * 20} ; bookend-ignore beyond-reach, in-keep-out: meant`,
  (n) => `G1 X${n} ; {{ partt.top }}`,
  (n) => `G1 X${n} ; {{! a remark }} of ${n}`,
  () => 'M9777 P1 ; {{ part.top }}',
  (n, m) => `M73 P${n * 3} R${m}`,
  (n) => `M73 P${n} R`,
  (n) => `M73 P${n} P${n}`,
  (n, m) => `M9777 S${n}, ${m}`,
  (n, m) => `M9777 S${n} .${m}`,
  (n, m) => `M9777 S${n}.5 .${m}`,
  (n) => `M204 S${n}`,
  (n) => `M204 S-${n}`,
  (n) => `M${9000 + n} S1`,
  (n) => `STEEP_BED${n} MINUTES=${n}`,
  (n) => `steep_bed ${n} of`,
  (n) => `this is line ${n} of a letter`,
  (n) => `(${n})`,
  () => 'G92 E0',
  (n) => `G92 E${n}`,
  () => 'M104 S210',
  (n) => `M104 S${200 + n}`,
  (n) => `M106 S${n * 4}`,
  () => 'T0',
  (n) => `M73 P${n}`,
  () => 'M73 P5',
  (n) => `G4 P${n}`,
  () => 'M204 S1000',
  () => 'm204 s900',
  () => 'M220 S90',
  () => 'G1',
  () => 'G1 F1800',
  (n) => `G90 G1 X${n}`,
  () => 'M104 S',
  () => 'stray text',
  () => 'G91',
  () => 'G90',
  () => 'G20',
  () => 'G21',
];

/** Puts a run of such lines in, alone or with plain ones between. */
function withRuns(random: Random, lines: string[]): void {
  for (let run = random.whole(1, 4); run > 0; run--) {
    const kinds = [random.pick(AGAIN), random.chance(0.2) ? random.pick(AGAIN) : random.pick(AGAIN.slice(0, 12))];
    const apart = random.pick([1, 1, 1, 2, 5, 12]);
    let at = random.whole(0, lines.length - 1);
    for (let i = random.whole(2, random.pick([6, 40, 150])); i > 0; i--) {
      lines.splice(
        at,
        0,
        (kinds[random.chance(0.9) ? 0 : 1] as (typeof AGAIN)[0])(random.whole(1, 60), random.whole(5, 60)),
      );
      at = Math.min(lines.length - 1, at + apart);
    }
  }
}

/** Numbers the lines and adds checksums, of which a few are wrong. */
function number(random: Random, lines: string[]): void {
  lines.forEach((line, i) => {
    if (/^\s*(;|%|N|$)/.test(line)) return;
    const right = /[;*({]/.test(line) ? `N${i} ${line}` : summed(`N${i} ${line}`);
    lines[i] = random.chance(0.02) ? `${right}1` : right;
  });
}

function programFor(random: Random, name: string): string {
  const wishes = ALL.filter(() => random.chance(0.2));
  const text = wholeProgram({
    seed: random.whole(1, 1e9),
    bytes: random.whole(1500, 9000),
    place: placeFor(name),
    relativeE: random.chance(0.5),
    arcs: random.chance(0.6),
    spiral: random.chance(0.2),
    comments: random.chance(0.7),
    mistakes: wishes,
    rate: random.pick([0.01, 0.1, 0.6]),
  });
  const lines = text.split('\n');
  const odd = random.chance(0.3) ? 0 : random.whole(1, 8);
  for (let i = 0; i < odd; i++) lines.splice(random.whole(0, lines.length - 1), 0, random.pick(ODD));
  if (random.chance(0.5)) withRuns(random, lines);
  if (random.chance(0.05)) lines.splice(random.whole(10, lines.length - 1), 0, 'M2');
  if (random.chance(0.1)) number(random, lines);
  const joined = lines.join(random.pick(['\n', '\n', '\r\n', '\r']));
  return random.chance(0.2) ? joined.trimEnd() : joined;
}

const encoder = new TextEncoder();

function checked(
  text: string,
  machine: Machine | null,
  random: Random,
  options: ProgramOptions,
): ProgramReport & { state: State } {
  const check = checkProgram(machine, vocabularyFor(machine), { keep: 1e6, ...options });
  const bytes = encoder.encode(text);
  const size = random.pick([17, 300, 4096, 1 << 20]);
  for (let at = 0; at < bytes.length; at += size) check.push(bytes.subarray(at, at + size));
  const report = check.end();
  return { ...report, state: check.state() };
}

/** The worst flow is one of several that are equal but for rounding, so that only the rule counts. */
const inOrder = (found: readonly { rule: string; line: number; column: number; message: string; severity: string }[]) =>
  found
    .map(({ rule, severity, line, column, message }) =>
      rule === 'flow-too-high' ? rule : `${line}:${column} ${severity} ${rule}: ${message}`,
    )
    .sort();

const known = (b: Known): number | null => (b && b.lo === b.hi ? b.lo : null);
const close = (what: string, a: number | null, b: number | null): void => {
  if (a === null || b === null) expect(a, what).toBe(b);
  else expect(Math.abs(a - b), `${what}: ${a} and ${b}`).toBeLessThan(CLOSE * Math.max(1, Math.abs(b)));
};

/** Totals and the state at the end are the engine's. */
function sameTotals(report: ReturnType<typeof checked>, { trace }: ReturnType<typeof analyze>, text: string): void {
  const { totals } = report;
  const { totals: sums, end } = trace;
  expect(totals.moves).toBe(sums.moves);
  expect(totals.unplaced).toBe(sums.unplaced);
  for (const what of ['travel', 'extruding', 'filament', 'seconds'] as const)
    close(what, totals[what], known(sums[what]));
  // Of a tool that is not known the highest that it may be.
  close('nozzle', totals.hottest.nozzle, sums.hottest.nozzle?.hi ?? null);
  close('bed', totals.hottest.bed, sums.hottest.bed?.hi ?? null);
  for (const axis of ['x', 'y', 'z'] as const) {
    close(`${axis} lo`, totals.extent[axis]?.[0] ?? null, sums.extent[axis]?.lo ?? null);
    close(`${axis} hi`, totals.extent[axis]?.[1] ?? null, sums.extent[axis]?.hi ?? null);
    close(`extruded ${axis} lo`, totals.extruded[axis]?.[0] ?? null, sums.extruded[axis]?.lo ?? null);
    close(`extruded ${axis} hi`, totals.extruded[axis]?.[1] ?? null, sums.extruded[axis]?.hi ?? null);
    close(`end ${axis}`, known(report.state.at[axis]), known(end.at[axis]));
  }
  close('end e', known(report.state.at.e), known(end.at.e));
  close('end feed', known(report.state.feed), known(end.feed));
  close('end retracted', known(report.state.retracted), known(end.retracted));
  expect(report.state.motion).toBe(end.motion);
  expect(report.state.nozzles).toEqual(end.nozzles);
  expect(report.lines).toBe(text.split(/\r\n|\r|\n/).length - (/[\r\n]$/.test(text) ? 1 : 0));
}

describe('the streaming check says what the engine says', () => {
  it.each(Array.from({ length: PROGRAMS }, (_, i) => FIRST + i))('program %i', (seed) => {
    const random = randomOf(seed);
    const name = random.pick(MACHINES);
    const machine = machines.get(name) ?? null;
    const text = programFor(random, name);
    const wanted = analyze(text, 'program', machine, vocabularyFor(machine));
    const index = lineIndex(text);
    const theirs = wanted.findings.map((f) => {
      const { line, character } = index.position(f.span.start);
      return { ...f, line: line + 1, column: character + 1 };
    });
    const report = checked(text, machine, random, { confirm: 1e9 });
    expect(inOrder(report.findings)).toEqual(inOrder(theirs));

    sameTotals(report, wanted, text);

    // Counting alone gives the same numbers.
    const counted = checked(text, machine, random, { confirm: random.pick([0, 0, 3]) });
    const { 'flow-too-high': _, ...counts } = counted.counts;
    const { 'flow-too-high': __, ...own } = report.counts;
    expect(counts).toEqual(own);

    // Of a program that is too long to be kept, all but what only the whole of it tells.
    const part = random.pick([1, 10, 70]);
    const long = checked(text, machine, random, { confirm: 1e9, part });
    const ofLines = (found: ProgramReport['findings']) => inOrder(found.filter(({ rule }) => !OF_THE_WHOLE.has(rule)));
    expect(ofLines(long.findings)).toEqual(ofLines(report.findings));
    sameTotals(long, wanted, text);
    const both = checked(text, machine, random, { confirm: 0, part });
    const byLine = (all: ProgramReport['counts']) => Object.entries(all).filter(([rule]) => !OF_THE_WHOLE.has(rule));
    expect(byLine(both.counts).sort()).toEqual(byLine(report.counts).sort());
  });
});
