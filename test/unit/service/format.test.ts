import { readdirSync, readFileSync } from 'node:fs';
import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { boundsEnv, jobEnv } from '../../../server/src/placeholders/environment.ts';
import { usualValue } from '../../../server/src/placeholders/jobs.ts';
import type { Env } from '../../../server/src/placeholders/value.ts';
import { analyze, prepare } from '../../../server/src/service/analyze.ts';
import { format } from '../../../server/src/service/format.ts';
import { minimal } from '../../../server/src/service/formatLine.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';
import { ROLES, type Role } from '../../../server/src/syntax/role.ts';
import { languageOf } from '../../../server/src/syntax/tagLanguage.ts';
import { applyEdits } from '../../../server/src/text/edit.ts';
import type { Span } from '../../../server/src/text/span.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { fewest, share } from '../../quick/share.ts';
import { MACHINES, machineOf } from '../analyze/machines.ts';
import { type Random, randomOf } from '../analyze/random.ts';
import { sequence } from '../analyze/sequences.ts';
import { HERON, PLOVER } from './support.ts';

const formatted = (text: string, machine: Machine | null = HERON, within?: Span): string =>
  applyEdits(text, format(prepare(text, 'start', machine), within));

describe('formatting', () => {
  test.each([
    ['one blank between words', 'G1   X1\tY2', 'G1 X1 Y2'],
    ['words without blanks', 'G1X10Y20E.5F300', 'G1 X10 Y20 E0.5 F300'],
    ['upper case', 'g1 x1 y', 'G1 X1 Y'],
    ['codes without zeros', 'G01 X1', 'G1 X1'],
    ['codes with a part behind the point', 'g92.10', 'G92.1'],
    ['blanks within a word', 'G 1 X 10 S {{ layer.first }}', 'G1 X10 S{{ layer.first }}'],
    ['minimal numbers', 'G1 X+01.500 Y.5 Z-0 E5. F-00.0', 'G1 X1.5 Y0.5 Z0 E5 F0'],
    ['tools', 't01', 'T1'],
    ['a tool without a number', 't', 'T'],
    ['trailing blanks', 'G28 \t \nM84  ', 'G28\nM84'],
    ['a row of blanks', 'G28\n  \t\nM84', 'G28\n\nM84'],
    ['a comment', 'G28;home', 'G28 ;home'],
    ['a comment within', 'G1(left)X1   (a)  Y2', 'G1 (left) X1 (a) Y2'],
    ['indentation stays', '  G28   X', '  G28 X'],
    ['words before a command', 'x1y2', 'X1 Y2'],
    ['a byte order mark stays', '\ufeffg28', '\ufeffG28'],
    ['a mark of a tape stays', '%  \ng28\n%', '%\nG28\n%'],
    ['a named command of the machine', 'dust_the_tip  strokes=03.0', 'DUST_THE_TIP STROKES=3'],
    ['blanks beside a section', 'G1   {{# part.top > 5 }}x1   y2{{/}}   z3', 'G1 {{# part.top > 5 }}X1 Y2{{/}} Z3'],
  ])('%s', (_, text, want) => {
    expect(formatted(text)).toBe(want);
  });

  test.each([
    ['messages', 'M117 g1  x01.0   done'],
    ['blanks in front of a message', 'M117   hello'],
    ['strings', 'M118 "x01  g01"'],
    ['tags', 'G1 X{{  part.left+01.0  }}'],
    ['comments', '; g1   x01.0'],
    ['comments in parentheses', 'G1 (g1   x01.0) X1'],
    ['values of commands that nobody knows', 'some_macro file=job01.50 n=007 kEy'],
    ['text values of named commands', 'DUST_THE_TIP STROKES=fast'],
    ['tags that stand beside one another', 'M104 S{{# part.top > 9 }}210{{/}}{{^ part.top > 9 }}200{{/}}'],
    ['numbered lines', 'n10   g01  x1.0*71'],
    ['lines with a checksum', 'g28   *18'],
    ['lines with a problem', 'g1   x1,5'],
    ['numbers with a blank inside', 'g1   x1 5'],
    ['tags over several rows', 'g1   x{{ part.left\n + 1 }}'],
    ['a letter O that may be a zero', 'g1xog1'],
    ['unclosed sections', 'g28   {{# part.top > 5 }}'],
  ])('stay as they are: %s', (_, text) => {
    expect(formatted(text)).toBe(text);
  });

  test('trailing comments of lines that follow one another stand in one column', () => {
    const text = 'G28 ; home\nM104 S200 ; heat\nG1 X1\nG90 ; a\n\nG91 X10 ; b\n; c\nM83;d\nM82  (e)\n';
    const want = 'G28       ; home\nM104 S200 ; heat\nG1 X1\nG90 ; a\n\nG91 X10 ; b\n; c\nM83 ;d\nM82 (e)\n';
    expect(formatted(text)).toBe(want);
  });

  test('comments that stand in one column already stay there, as far as there is room', () => {
    const even = 'G28         ; home\nG1 X1 Y2    ; go\nG1 X1\nM84         ; off\n';
    expect(formatted(even)).toBe(even);
    expect(formatted('G28      ;a\ng1x1y2   ;b')).toBe('G28      ;a\nG1 X1 Y2 ;b');
    expect(formatted('G28   ;a\ng1x1y2;b')).toBe('G28      ;a\nG1 X1 Y2 ;b');
    expect(formatted('G28   ;a\ng1x1y2z3  ;b')).toBe('G28         ;a\nG1 X1 Y2 Z3 ;b');
  });

  test('the demo is written evenly', () => {
    const demo = new URL('../../../demo/', import.meta.url);
    const names = readdirSync(demo, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.gcode'));
    expect(names.length).toBeGreaterThan(5);
    for (const name of names) {
      const text = readFileSync(new URL(name, demo), 'utf8');
      const tags = languageOf(name.includes('otter') ? { delimiters: [['«', '»']] } : {});
      expect(format(prepare(text, 'start', HERON, tags)), name).toEqual([]);
    }
  });

  test('a long line does not push the comments of its neighbours away', () => {
    const long = `G1 ${'X{{ part.left }} '.repeat(6).trim()}`;
    expect(formatted(`G28 ;a\n${long}   ;b\nM84 X ;c`)).toBe(`G28   ;a\n${long} ;b\nM84 X ;c`);
  });

  test('no line becomes longer than the controller reads', () => {
    const short = machineOf({
      name: 'Curlew',
      bed: { shape: 'rectangle', left: 0, right: 99, front: 0, back: 99 },
      controller: { longestLine: 20 },
    });
    expect(formatted('G1X10Y20E1F300;ab', short)).toBe('G1X10Y20E1F300;ab');
    expect(formatted('G1X10Y20E1F300', short)).toBe('G1 X10 Y20 E1 F300');
    // The column would need more room than the second line has.
    expect(formatted('G1 X10 Y20 F300 ;a\nG28 ;home all\nG4  P1 ;', short)).toBe(
      'G1 X10 Y20 F300 ;a\nG28 ;home all\nG4 P1           ;',
    );
    // Too long already, and shorter afterwards.
    expect(formatted('G1  X10  Y20  E1  F300  ;abc', short)).toBe('G1 X10 Y20 E1 F300 ;abc');
  });

  test('ends of line stay', () => {
    expect(formatted('g28 \r\ng90 \rg91 \nm84 ')).toBe('G28\r\nG90\rG91\nM84');
    // Without its blank the second row would no longer be one.
    expect(formatted('G28\r \nG90')).toBe('G28\r \nG90');
  });

  test('a range changes its own lines only, as the whole text would have them', () => {
    const text = 'g28 ;a\ng1x1y2 ;b\ng90 ;c';
    expect(formatted(text, HERON, { start: 9, end: 9 })).toBe('g28 ;a\nG1 X1 Y2 ;b\ng90 ;c');
    expect(formatted(text, HERON, { start: 18, end: text.length })).toBe('g28 ;a\ng1x1y2 ;b\nG90      ;c');
  });

  test('an even text needs no edit', () => {
    expect(format(prepare('G28 ; home\nG1 X1.5 Y-0.25\n', 'start', HERON))).toEqual([]);
  });
});

// Decimal digits say the same number, however many there are: checked against exact fractions (BigInt), not floats.
test('minimal numbers have the same value to the last digit, and no digit too many', () => {
  const exact = (text: string): [bigint, bigint] => {
    const [, sign, whole = '', , behind = ''] = /^([+-]?)(\d*)(\.(\d*))?$/.exec(text) ?? [];
    const digits = BigInt(`${whole}${behind}` || '0');
    return [sign === '-' ? -digits : digits, 10n ** BigInt(behind.length)];
  };
  const digits = fc.string({ unit: fc.constantFrom(...'00001259'), maxLength: 26 });
  const numbers = fc.tuple(fc.constantFrom('', '+', '-'), digits, fc.constantFrom('', '.'), digits);
  fc.assert(
    fc.property(numbers, ([sign, whole, point, behind]) => {
      const text = sign + whole + (point === '' ? '' : point + behind);
      fc.pre(/\d/.test(text));
      const [n, d] = exact(text);
      const [m, e] = exact(minimal(text));
      expect(n * e).toBe(m * d);
      expect(minimal(text)).toMatch(/^(0|-?[1-9]\d*|-?(0|[1-9]\d*)\.\d*[1-9])$/);
      expect(minimal(minimal(text))).toBe(minimal(text));
    }),
    { seed: 4, numRuns: 3000 },
  );
  for (const odd of ['', '-', '.', '+.', '1e5', '1 2', 'abc', '1.2.3']) expect(minimal(odd)).toBe(odd);
});

/** What a text does: every step with the state around it, and what it comes to. Places in the text are no part of it. */
function doing(text: string, role: Role, machine: Machine | null, env: Env) {
  const { steps, end, totals, cut } = simulate(prepare(text, role, machine), env);
  const done = steps.map(({ command, before, after, move, certain, seconds }) => {
    const words = command.words.map(({ key }) => key);
    return { code: command.code, words, before, after, move, certain, seconds };
  });
  return inRanges({ done, end, totals, cut });
}

/** The same with each number as the range in which it lies. How it came about is kept as sums that share their parts. */
const inRanges = <T>(what: T): T =>
  JSON.parse(
    JSON.stringify(what, (key, value) =>
      key === 'form' || key === 'here' ? undefined : value === Infinity ? '∞' : value === -Infinity ? '-∞' : value,
    ),
  );

const ends = (text: string) => text.match(/\r\n|\r|\n/g) ?? [];

/** Checks all that formatting promises of one text; returns the formatted text. */
function check(text: string, role: Role, machine: Machine | null, envs: readonly Env[]): string {
  const read = prepare(text, role, machine);
  const edits = format(read);
  let at = 0;
  for (const { span, text: written } of edits) {
    expect(span.start).toBeGreaterThanOrEqual(at);
    expect(text.slice(span.start, span.end) + written).not.toMatch(/[\r\n]/);
    at = span.end;
  }
  const after = applyEdits(text, edits);
  const again = prepare(after, role, machine);
  expect(applyEdits(after, format(again)), 'idempotent').toBe(after);
  expect(ends(after)).toEqual(ends(text));
  const most = machine?.controller.longestLine ?? 256;
  read.tree.lines.forEach((line, i) => {
    const now = again.tree.lines[i];
    const length = (now?.span.end ?? 0) - (now?.span.start ?? 0);
    expect(length <= most || length <= line.span.end - line.span.start, 'longest line').toBe(true);
    const bad = read.tree.problems.some(({ span }) => span.start <= line.span.end && span.end >= line.span.start);
    const left = bad || line.number !== null || line.checksum !== null;
    const row = ({ tree }: typeof read, of = line) => tree.text.slice(of.span.start, of.span.end);
    if (left && now) expect(row(again, now)).toBe(row(read));
  });
  expect(again.tree.problems.map(({ kind }) => kind)).toEqual(read.tree.problems.map(({ kind }) => kind));
  for (const env of envs) {
    const [one, other] = [doing(text, role, machine, env), doing(after, role, machine, env)];
    if (!isDeepStrictEqual(one, other)) throw new Error(`it does something else\n${text}\n---\n${after}`);
  }
  return after;
}

/** The same text as somebody careless would have written it: case, blanks, digits, comments. Tags stay. */
function careless(random: Random, text: string): string {
  const eol = random.pick(['\n', '\r\n', '\r']);
  return text
    .split('\n')
    .map((row) => {
      const isMessage = /M11[78]/.test(row);
      const parts = row.split(/(\{\{.*?\}\}|;.*$)/).map((part) => {
        if (isMessage || part.startsWith('{{') || part.startsWith(';')) return part;
        return part.replace(/[A-Z_]+|\d+(\.\d+)?| +/g, (found, behind, place) => {
          if (found.startsWith(' ')) return random.pick([' ', '  ', '\t', ' \t ']);
          if (/[A-Z_]/.test(found)) return random.chance(0.3) ? found.toLowerCase() : found;
          // What stands beside a tag may go on behind it.
          if (place === 0 || place + found.length === part.length) return found;
          const front = random.chance(0.15) ? `0${found}` : found;
          return behind && random.chance(0.5) ? `${front}00` : front;
        });
      });
      const comment = random.chance(0.25) && !row.includes('{{#') ? random.pick([';note', '  ; a note  ', ' (b)']) : '';
      return parts.join('') + comment + random.pick(['', '', ' ', '\t']);
    })
    .join(eol);
}

test('random sequences do the same before and after, in all jobs and in the usual one', () => {
  let changed = 0;
  let steps = 0;
  for (let seed = 0; seed < share(250); seed++) {
    const random = randomOf(seed);
    const machine = random.pick(MACHINES.map((of) => ({ of }))).of;
    const role = random.pick(ROLES);
    const vocabulary = vocabularyFor(machine);
    const text = careless(random, sequence(random, vocabulary, role));
    const usual = new Map([...vocabulary.names.values()].map((n) => [n.name, usualValue(n)] as const));
    const after = check(text, role, machine, [boundsEnv(vocabulary), jobEnv(vocabulary, usual)]);
    if (after !== text) changed++;
    steps += doing(after, role, machine, boundsEnv(vocabulary)).done.length;
  }
  // Not a test of texts that stay as they are.
  expect(changed).toBeGreaterThan(fewest(220));
  expect(steps).toBeGreaterThan(fewest(2500));
});

test('random sequences have the same findings before and after', () => {
  let findings = 0;
  for (let seed = 0; seed < share(25); seed++) {
    const random = randomOf(seed);
    const machine = random.pick(MACHINES.map((of) => ({ of }))).of;
    const role = random.pick(ROLES);
    const vocabulary = vocabularyFor(machine);
    const found = (text: string): string[] =>
      analyze(text, role, machine, vocabulary).findings.map(
        ({ rule, span }) => `${text.slice(0, span.start).split('\n').length} ${rule}`,
      );
    const text = sequence(random, vocabulary, role)
      .replace(/^G1 /gm, 'g01   ')
      .replace(/ X(\d+) /g, ' X0$1.0\t');
    const after = applyEdits(text, format(prepare(text, role, machine)));
    expect(after).not.toBe(text);
    const before = found(text);
    expect(found(after)).toEqual(before);
    findings += before.length;
  }
  expect(findings).toBeGreaterThan(fewest(100));
});

// Pieces that mean something, and any characters at all.
const PIECES =
  'G1|g01|G28|G92.10|m104|M117|M118 "a  b"|T0|t|T|n10|*71|X|x01.50|Y10|Y-0|Z{{|E-1|e5|f1 |S2|S{{heat.bed.first}}|I.5|R-3.|{{|}}|{{#tools}}|{{^|{{/|{{/}}|{{!a}}|{{=<% %>=}}|<%|%>|"|;|; note  |(a)|(|)| |  |\t|\n|\r\n|\r|dust_the_tip|STROKES=|strokes=03|foo=|=|.|1e3|O|\u2212|\u00a0|😀|\ufeff|%'.split(
    '|',
  );
const texts = fc.oneof(
  fc.array(fc.constantFrom(...PIECES), { maxLength: 40 }).map((pieces) => pieces.join('')),
  fc.array(fc.constantFrom(...PIECES), { maxLength: 40 }).map((pieces) => pieces.join(' ')),
  fc.array(fc.constantFrom(...PIECES), { maxLength: 30 }).map((pieces) => pieces.join('\n')),
  fc.string({ unit: 'binary', maxLength: 60 }),
);

test('whatever the text: it does the same, ends of line stay, and a second time changes nothing', () => {
  let changed = 0;
  fc.assert(
    fc.property(texts, fc.constantFrom(HERON, PLOVER, null), (text, machine) => {
      if (check(text, 'start', machine, [boundsEnv(vocabularyFor(machine))]) !== text) changed++;
    }),
    { seed: 11, numRuns: 2500 },
  );
  expect(changed).toBeGreaterThan(fewest(500));
});
