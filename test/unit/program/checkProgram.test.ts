import { describe, expect, it } from 'vitest';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { checkProgram, type ProgramOptions, type ProgramReport } from '../../../server/src/program/checkProgram.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { programText, wholeProgram } from '../../program/programs.ts';
import { fixtureMachine } from '../rules/support.ts';

const egret = fixtureMachine('egret');
const encoder = new TextEncoder();

function reportOf(
  what: string | Uint8Array | Iterable<string | Uint8Array>,
  machine: Machine | null = egret,
  options: ProgramOptions = {},
): ProgramReport {
  const check = checkProgram(machine, vocabularyFor(machine), options);
  const chunks = typeof what === 'string' || what instanceof Uint8Array ? [what] : what;
  for (const chunk of chunks) check.push(typeof chunk === 'string' ? encoder.encode(chunk) : chunk);
  return check.end();
}

const rulesOf = (report: ProgramReport): string[] => report.findings.map(({ rule }) => rule);

const GOOD = wholeProgram({ seed: 3, bytes: 40_000 });

describe('what is told of a program', () => {
  it('nothing, where nothing is wrong', () => {
    const report = reportOf(GOOD);
    expect(report.findings).toEqual([]);
    expect(report.counts).toEqual({});
    expect(report.fastLines).toBeGreaterThan(report.lines * 0.9);
  });

  it('counts and the first few places', () => {
    const text = wholeProgram({ seed: 4, bytes: 60_000, mistakes: ['off-bed'], rate: 1 });
    const report = reportOf(text, egret, { keep: 3, confirm: 20 });
    const shown = report.findings.filter(({ rule }) => rule === 'off-bed');
    expect(shown).toHaveLength(3);
    const count = report.counts['off-bed'] ?? 0;
    expect(count).toBeGreaterThan(500);
    for (const finding of shown) {
      expect(finding.count).toBe(count);
      const line = text.split('\n')[finding.line - 1] ?? '';
      expect(line.slice(finding.column - 1)).toMatch(/^[XYE]/);
      expect(text.slice(finding.offset)).toMatch(/^[XYE]/);
    }
  });

  it('layers, tools, temperatures and the longest line', () => {
    const text = `${wholeProgram({ seed: 5, bytes: 20_000, place: { left: 20, right: 200, front: 20, back: 190, tools: 2, filament: 1.75 }, layer: 0.25 })}; ${'x'.repeat(90)}\n`;
    const { totals, lines } = reportOf(text, fixtureMachine('twin'));
    const layers = text.match(/^; storey/gm)?.length ?? 0;
    expect(layers).toBeGreaterThan(3);
    // The purge line of the start lies at a height of its own.
    expect(totals.layers).toMatchObject({ count: layers + 1, typical: 0.25, top: layers * 0.25, rising: 0 });
    expect(totals.tools.map(({ tool }) => tool)).toEqual([0, 1]);
    expect(totals.hottest).toMatchObject({ nozzle: 208, bed: 57 });
    expect(totals.longestLine).toEqual({ length: 92, line: lines });
  });

  it('what the machine lacks', () => {
    const machine = fixtureMachine('egret');
    const poor = { ...machine, controller: { ...machine.controller, arcs: false, missing: ['M73'] } };
    const text = 'G28\nM73 P1\nM73 P2\nG1 X50 Y50 Z1 F900\nG2 X60 Y50 I5 J0\nLIGHTS ON=1\nM7777\n';
    expect(reportOf(text, poor).totals.lacking).toEqual([
      { feature: 'M73', line: 2, count: 2 },
      { feature: 'arcs', line: 5, count: 1 },
      { feature: 'command LIGHTS', line: 6, count: 1 },
      { feature: 'M7777', line: 7, count: 1 },
    ]);
  });

  it('the worst flow, once, with how many lines have it', () => {
    const text = wholeProgram({ seed: 6, bytes: 40_000, mistakes: ['flow'], rate: 0.05 });
    const report = reportOf(text);
    const flow = report.findings.filter(({ rule }) => rule === 'flow-too-high');
    expect(flow).toHaveLength(1);
    // One finding stands for all of these lines, as where the program is checked in one piece.
    expect(report.counts['flow-too-high']).toBe(1);
    expect(Number(/ (\d+) lines feed too fast/.exec(flow[0]?.message ?? '')?.[1])).toBeGreaterThan(10);
  });

  it('takes comments that switch a rule off for the whole program', () => {
    const text = `; bookend-ignore-file off-bed: a test\n${wholeProgram({ seed: 4, bytes: 20_000, mistakes: ['off-bed'], rate: 0.5 })}`;
    expect(rulesOf(reportOf(text))).not.toContain('off-bed');
    expect(reportOf(text).counts).not.toHaveProperty('off-bed');
  });
});

describe('a text that is no program', () => {
  const LETTER = 'Dear Ms Heron,\n\nI have seen the 3 parts.\nG20 summit and T5 were fine, too.\n\nYours\n';
  const told = (text: string, machine: Machine | null = egret): string | null => {
    const { findings, counts } = reportOf(text, machine);
    const [first, ...others] = findings;
    for (const { rule } of others) expect(rule).not.toBe('no-program');
    if (first?.rule !== 'no-program') return null;
    expect(first).toMatchObject({ severity: 'error', line: 1, column: 1, offset: 0, count: 1 });
    expect(counts['no-program']).toBe(1);
    return /: (\d+ of \d+ lines?) holds? a command/.exec(first.message)?.[1] ?? first.message;
  };

  it.each([
    ['a letter', LETTER, '0 of 4 lines'],
    ['a list', '; to buy\nMilk\nEggs 12\nM3 screws, 20\n- bread\n2 kg flour\n', '0 of 5 lines'],
    ['a word', 'hello', '0 of 1 line'],
    ['a page', '<!DOCTYPE html>\n<html>\n<p>Not found</p>\n</html>\n', '0 of 4 lines'],
    ['a table', '"name","count"\n"hook",3\n"plate",1\n', '0 of 3 lines'],
    ['a source', '# tool\nfor i in range(3):\n    print(i)\n', '0 of 3 lines'],
    ['a settings file', '[bed]\nwidth = 228\ndepth=206\n', '0 of 3 lines'],
    ['one with a line of a program', `${'A line of prose.\n'.repeat(15)}G28\n`, '1 of 16 lines'],
  ])('%s', (_, text, lines) => {
    expect(told(text)).toBe(lines);
    expect(told(text, null)).toBe(lines);
    expect(told(text.replaceAll('\n', '\r\n'))).toBe(lines);
  });

  it.each([
    ['nothing', ''],
    ['comments alone', '; a remark\n\n(another)\n%\n'],
    ['a program', GOOD],
    ['one command that is not known', 'G1049\n'],
    ['one that is misspelt', 'GO X10\n'],
    ['named commands that nobody declared', 'NEST\nSTEEP_BED 30\nwarm BED=60\n'],
    ['axes run together', 'G28 XY\n'],
    ['words for the motion in force', '%\nN1 X10 Y20\nN2 X20\n'],
    ['text on the display', 'M117 Dear Ms Heron\n'],
    ['lower case', 'g28\ng1 x20 y20 f3000\n'],
    ['values that are to be filled in', 'G1 X{{ bed.left }} F{{speed}}\nM104 S{{heat.nozzle}}\n'],
    ['a program with much that is none', `${'A line of prose.\n'.repeat(15)}G28\nG28\n`],
    ['a program in a letter', `${LETTER.repeat(40)}${GOOD}`],
    ['a program behind a page', `${GOOD}${LETTER.repeat(40)}`],
  ])('but not %s', (_, text) => {
    expect(told(text)).toBeNull();
  });

  it('what the machine file declares is a command', () => {
    const list = 'milk\nEggs\nbread\n';
    expect(told(list)).toBe('0 of 3 lines');
    const read = readMachine(
      '{ "name": "Own", "commands": [{ "name": "EGGS", "meaning": "Counts the eggs." }] }',
    ).machine;
    expect(read?.commands.map(({ name }) => name)).toEqual(['EGGS']);
    expect(told(list, read)).toBeNull();
  });

  it('a long one, in pieces, is counted whole; a comment may say that it is meant so', () => {
    const report = reportOf(Array.from({ length: 2500 }, () => 'Milk\n'));
    expect(report.findings[0]).toMatchObject({ rule: 'no-program', line: 1 });
    expect(report.findings[0]?.message).toContain('0 of 2500 lines hold a command');
    expect(rulesOf(reportOf(`; bookend-ignore-file no-program\n${LETTER}`))).not.toContain('no-program');
  });
});

describe('start and end inside a program', () => {
  const lineOf = (text: string, what: RegExp): number => text.split('\n').findIndex((line) => what.test(line)) + 1;

  it('are found by what the lines do', () => {
    const report = reportOf(GOOD);
    const lines = GOOD.split('\n');
    // Behind the purge line and its lift comes the first layer; its first line of plastic ends the start.
    const first = lines.findIndex((line, i) => i >= lineOf(GOOD, /^; rim|^; hatch/) && / X.* E/.test(line)) + 1;
    expect(report.start).toMatchObject({ from: 1, to: first - 1 });
    expect(report.start?.reason).toContain(`Line ${first} lays the first plastic of the print, at Z 0.19`);
    const last = lines.findLastIndex((line) => /^G1 X.* E/.test(line)) + 1;
    expect(report.end).toMatchObject({ from: last + 1, to: report.lines });
    expect(report.end?.findings?.map(({ rule }) => rule).filter((rule) => rule !== 'feed-too-fast')).toEqual([]);
  });

  it('are held against the rules of their roles', () => {
    const text = wholeProgram({ seed: 8, bytes: 30_000, mistakes: ['no-end'] });
    const { end } = reportOf(text);
    expect(end?.findings?.map(({ rule }) => rule)).toContain('heat-left-on');
    for (const finding of end?.findings ?? []) expect(finding.line).toBeGreaterThanOrEqual(end?.from ?? 0);
    const start = reportOf(GOOD.replace('M109 S208', 'M104 S208')).start;
    expect(start?.findings?.map(({ rule }) => rule)).toContain('not-awaited');
  });

  it('are not made up where nothing is extruded', () => {
    expect(reportOf('G28\nG1 X10 Y10 F600\n')).toMatchObject({ start: null, end: null });
  });
});

describe('any bytes at all', () => {
  it('the same report however the bytes are cut', () => {
    const text = wholeProgram({
      seed: 9,
      bytes: 8000,
      arcs: true,
      mistakes: ['off-bed', 'unknown-command'],
      rate: 0.1,
      eol: '\r\n',
    });
    const bytes = encoder.encode(text);
    const whole = reportOf(bytes);
    for (const size of [1, 2, 3, 31, 1000]) {
      const cut = Array.from({ length: Math.ceil(bytes.length / size) }, (_, i) =>
        bytes.subarray(i * size, (i + 1) * size),
      );
      const { fastLines: _, totals, ...rest } = reportOf(cut);
      const { fastLines: __, totals: sums, ...wanted } = whole;
      expect(rest).toEqual(wanted);
      expect(totals.seconds).toBeCloseTo(sums.seconds ?? Number.NaN, 6);
      expect(totals.layers).toEqual(sums.layers);
    }
  });

  it('nothing, and blank lines only', () => {
    expect(reportOf('')).toMatchObject({ lines: 0, bytes: 0, findings: [], start: null, end: null });
    expect(reportOf('\n\r\n\n')).toMatchObject({ lines: 3, findings: [] });
  });

  it('a line without an end, of any length, in bounded memory', () => {
    const piece = new Uint8Array(1 << 20).fill(65);
    function* endless(): Generator<Uint8Array> {
      yield encoder.encode('G28\n');
      for (let i = 0; i < 400; i++) yield piece;
      yield encoder.encode('\nG1 X400 F600\n');
    }
    const before = process.memoryUsage().arrayBuffers;
    const report = reportOf(endless());
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(64 << 20);
    expect(report.findings.map(({ rule, line }) => [rule, line])).toEqual([
      ['endless-line', 2],
      ['beyond-reach', 3],
    ]);
    expect(report.totals.longestLine).toEqual({ length: 400 << 20, line: 2 });
    expect(report.lines).toBe(3);
  });

  it.each([
    ['LF', '\n'],
    ['CR', '\r'],
    ['CRLF', '\r\n'],
  ])('a line that is too long ends at its %s, wherever the pieces are cut', (_, eol) => {
    const lines = ['G28', `;${'x'.repeat(299)}`, 'M117 short', `M117 ${'y'.repeat(500)}`, 'G1 X5', 'M117 last', ''];
    const text = lines.join(eol);
    const whole = reportOf(text, null, { longest: 300 });
    expect(whole).toMatchObject({ lines: 6, counts: { 'endless-line': 1, 'no-feed': 1 } });
    expect(whole.totals.longestLine).toEqual({ length: 505, line: 4 });
    for (const piece of [1, 2, 7, 306]) {
      const pieces = text.match(new RegExp(`[^]{1,${piece}}`, 'g')) ?? [];
      expect(reportOf(pieces, null, { longest: 300 }), `pieces of ${piece}`).toEqual(whole);
    }
    const ends = [...text.matchAll(/\r\n|\r|\n/g)].map(({ index }) => index);
    for (const at of ends.flatMap((end) => [end - 1, end, end + 1, end + 2]))
      expect(reportOf([text.slice(0, at), text.slice(at)], null, { longest: 300 }), `cut at ${at}`).toEqual(whole);
  });

  it('a long line inside one chunk', () => {
    const report = reportOf(`G28\n; ${'x'.repeat(3 << 20)}\nG1 X400 F600\n`);
    expect(rulesOf(report)).toEqual(['endless-line', 'beyond-reach']);
  });

  it.each(['utf-16le', 'utf-16be'] as const)('%s is read, and told', (encoding) => {
    const units = [...`G28\nG1 X400 F600\n`].map((char) => char.charCodeAt(0));
    const bytes = Uint8Array.from(
      [0xfeff, ...units].flatMap((unit) =>
        encoding === 'utf-16le' ? [unit & 255, unit >> 8] : [unit >> 8, unit & 255],
      ),
    );
    expect(rulesOf(reportOf(bytes))).toEqual(['utf-16', 'beyond-reach']);
    const odd = Array.from({ length: Math.ceil(bytes.length / 5) }, (_, i) => bytes.subarray(i * 5, i * 5 + 5));
    expect(rulesOf(reportOf(odd)).sort()).toEqual(['beyond-reach', 'utf-16']);
  });

  it('NUL bytes are told once, with how many', () => {
    const report = reportOf(`${GOOD.slice(0, 5000)}\n\0\0\0\0\n${GOOD.slice(5000, 9000)}`);
    expect(report.counts['nul-bytes']).toBe(4);
    expect(report.findings.filter(({ rule }) => rule === 'nul-bytes')).toHaveLength(1);
  });

  it('what is no text is told once and passed over', () => {
    let seed = 1;
    const noise = Uint8Array.from({ length: 1 << 20 }, () => {
      seed = (seed * 48271) % 2147483647;
      return seed & 255;
    });
    const report = reportOf(noise);
    expect(rulesOf(report)).toEqual(['not-text']);
    expect(report.bytes).toBe(1 << 20);
  });

  it('bytes that are no UTF-8 are read all the same', () => {
    const bytes = Uint8Array.from([...encoder.encode('G28\nM117 gr'), 0xfc, ...encoder.encode('n\nG1 X400 F600\n')]);
    expect(rulesOf(reportOf(bytes))).toEqual(['beyond-reach']);
  });

  it('a program of many settings keeps what it keeps within bounds, and counts all the same', () => {
    function* many(): Generator<string> {
      yield 'G21\nG90\nM83\nG28\nM109 S210\n';
      for (let i = 0; i < 6000; i++)
        yield `M106 S${i % 256}\nM104 S${i % 100 === 0 ? 300 : 210}\nG1 X${i % 200} F3000\n`;
    }
    const report = reportOf(many());
    expect(report.counts['too-hot']).toBe(60);
    expect(report.findings.filter(({ rule }) => rule === 'too-hot').map(({ line }) => line)[0]).toBe(7);
    expect(report.totals.moves).toBe(6000);
  });
});

describe('the writer of programs', () => {
  it('writes the same for the same wishes, and about as much as is asked for', () => {
    const wanted = { seed: 11, bytes: 300_000, arcs: true } as const;
    expect(wholeProgram(wanted)).toBe([...programText(wanted)].join(''));
    expect(wholeProgram(wanted).length).toBeGreaterThan(300_000);
    expect(wholeProgram(wanted).length).toBeLessThan(320_000);
    expect(wholeProgram({ ...wanted, seed: 12 })).not.toBe(wholeProgram(wanted));
  });
});
