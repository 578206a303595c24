import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { COMMANDS } from '../../../server/src/cli/commandTable.ts';
import { MOST_FIX_WORK } from '../../../server/src/cli/report.ts';
import { summaryOf } from '../../../server/src/cli/summaryOf.ts';
import { lineIndex } from '../../../server/src/text/lines.ts';
import { utf8, zip } from '../../program/packages.ts';
import { runCli } from './run.ts';

const heron = JSON.stringify({
  name: 'Heron 228',
  bed: { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 },
  reach: { shape: 'rectangle', left: 0, right: 234, front: 0, back: 217, bottom: 0, top: 232 },
  home: { x: 0, y: 0, z: 0 },
  heat: { nozzle: { max: 268, minExtrude: 173 }, bed: { max: 98 } },
  speed: { x: 215, y: 185, z: 11, e: 38 },
});
/** Homed and hot, in known modes: nothing to find. */
const GOOD = 'G21\nG90\nM82\nG28\nM109 S200\nG92 E0\n';
const shop = (more: Record<string, string | Uint8Array | null> = {}) => ({
  '/shop/heron.machine.json': heron,
  ...more,
});

describe('text', () => {
  test('findings as compilers print them, with the source line, a caret and a closing count', async () => {
    const { code, out, err } = await runCli(
      ['check', 'warm.start.gcode'],
      shop({ '/shop/warm.start.gcode': `${GOOD}G1 X260 F6000\n\tG1 Y1,5 ; \u{1f525}\n` }),
    );
    expect(code).toBe(1);
    expect(err).toBe('');
    await expect(out).toMatchFileSnapshot('golden/text.txt');
  });

  test('nothing to find is said, too', async () => {
    const { code, out } = await runCli(['check', 'a.start.gcode'], shop({ '/shop/a.start.gcode': GOOD }));
    expect(out).toBe('0 errors, 0 warnings in 1 file.\n');
    expect(code).toBe(0);
  });

  test('colours on a terminal only, and never with --no-color', async () => {
    const files = shop({ '/shop/a.start.gcode': 'G1 X1e3\n' });
    const plain = await runCli(['check', 'a.start.gcode'], files);
    const colored = await runCli(['check', 'a.start.gcode'], files, { color: true });
    const refused = await runCli(['check', '--no-color', 'a.start.gcode'], files, { color: true });
    expect(plain.out).not.toContain('\u001b');
    expect(colored.out).toContain('\u001b[31merror\u001b[0m');
    expect(colored.out.replaceAll(/[^ -~\n…]\[\d+m/g, '')).toBe(plain.out);
    expect(refused.out).toBe(plain.out);
  });

  test('control characters of a text never reach the terminal', async () => {
    const files = shop({ '/shop/a.start.gcode': 'G1 X1e3 ; \u001b[2J\u0007\u009b1m\n' });
    const { out } = await runCli(['check', 'a.start.gcode'], files);
    expect(out).toContain('G1 X1e3 ; \ufffd[2J\ufffd\ufffd1m');
  });

  test('of a very long line a piece around the finding is shown', async () => {
    const files = shop({ '/shop/a.start.gcode': `${'G4 P1 '.repeat(2000)}X1e3 ${'G4 P1 '.repeat(2000)}\n` });
    const { out } = await runCli(['check', 'a.start.gcode'], files);
    const rows = out.split('\n');
    const at = rows.findIndex((row) => row.includes('bad-number'));
    expect(rows[at]).toContain('a.start.gcode:1:12002: error');
    const [source = '', caret = ''] = rows.slice(at + 1, at + 3);
    expect(source.length).toBeLessThan(140);
    expect(source.slice(caret.indexOf('^'), caret.lastIndexOf('^') + 1)).toBe('1e3');
  });

  test('rows end at CRLF and at a lone CR, columns count UTF-16 code units', async () => {
    const files = shop({ '/shop/a.start.gcode': 'G21\r\nG90\rM117 \u{1f525}{{nope}}\n' });
    const { out } = await runCli(['check', 'a.start.gcode'], files);
    expect(out).toContain('a.start.gcode:3:10: error unknown-placeholder');
  });

  test('UTF-16 is read', async () => {
    const bytes = new Uint8Array(Buffer.from('\ufeffG1 X1e3\n', 'utf16le'));
    const { out } = await runCli(['check', 'a.start.gcode'], shop({ '/shop/a.start.gcode': bytes }));
    expect(out).toContain('a.start.gcode:1:5: error bad-number');
  });
});

describe('JSON', () => {
  test('one object, as documented', async () => {
    const text = `${GOOD}G1 Z5 F600\nG1 X10 Y10 F6000\nG1 X60 E5 F1200\nG1 X260 F6000\n`;
    const { code, out, err } = await runCli(
      ['check', '--format', 'json', 'warm.start.gcode'],
      shop({ '/shop/warm.start.gcode': text }),
    );
    expect(code).toBe(1);
    expect(err).toBe('');
    const { version, files } = JSON.parse(out);
    expect(version).toBe(5);
    const [file] = files;
    expect(Object.keys(file)).toEqual(['path', 'role', 'machine', 'findings', 'summary']);
    expect(file).toMatchObject({ path: 'warm.start.gcode', role: 'start', machine: 'Heron 228' });
    const found = file.findings.find(({ rule }: { rule: string }) => rule === 'beyond-reach');
    expect(found).toEqual({
      rule: 'beyond-reach',
      severity: 'error',
      line: 10,
      column: 4,
      endLine: 10,
      endColumn: 8,
      message: expect.stringContaining('Heron 228'),
      when: null,
      related: [],
      fixes: [],
    });
    // By hand: home (0,0,0), up 5, to (10,10), 50 along X with 5 mm of filament, 200 further to 260.
    expect(file.summary).toMatchObject({
      lines: 10,
      end: { x: 260, y: 10, z: 5 },
      extent: { x: [0, 260], y: [0, 10], z: [0, 5] },
      extruded: { x: [10, 60], y: [10, 10], z: [5, 5] },
      length: { extruding: 50 },
      filament: 5,
      hottest: { nozzle: 200 },
    });
    expect(Object.keys(file.summary)).toEqual([
      'lines',
      'moves',
      'end',
      'extent',
      'extruded',
      'length',
      'filament',
      'seconds',
      'hottest',
      'verdict',
    ]);
  });

  test('related places and fixes of a finding', async () => {
    const text = 'G28\n{{# tools }}\n{{# heat.bed.first }}\n{{/ tools }}\n{{/ heat.bed.first }}\nG1 X1,5\n';
    const { out } = await runCli(['check', '--format=json', 'a.start.gcode'], shop({ '/shop/a.start.gcode': text }));
    const found: { rule: string }[] = JSON.parse(out).files[0].findings;
    expect(found.find(({ rule }) => rule === 'unclosed-placeholder')).toMatchObject({
      line: 5,
      related: [
        { line: 3, column: 1, endLine: 3, endColumn: 22, message: 'The inner section is opened here.' },
        { line: 4, column: 1, endLine: 4, endColumn: 13, message: 'The section around it is closed here.' },
      ],
    });
    const fixes = [{ title: 'Write 1.5', automatic: false }];
    expect(found.find(({ rule }) => rule === 'bad-number')).toMatchObject({ related: [], fixes });
  });

  test('fixes are worked out within a bound on the work, and say where they were left out', async () => {
    // Each line has two findings with a fix; more commands than the bound allows for all of them together.
    const rows = 3000;
    const text = `G28\n${'G1 X1,5 Y1 F600\n'.repeat(rows)}`;
    const { out } = await runCli(['check', '--format=json', 'a.start.gcode'], shop({ '/shop/a.start.gcode': text }));
    const found: { rule: string; fixes: object[]; fixesLeftOut?: boolean }[] = JSON.parse(out).files[0].findings;
    const worked = Math.ceil(MOST_FIX_WORK / (1 + rows + 1));
    expect(found.length).toBeGreaterThan(worked);
    expect(found.findIndex(({ fixesLeftOut }) => fixesLeftOut === true)).toBe(worked);
    for (const { fixes } of found.slice(worked)) expect(fixes).toEqual([]);
    const [first] = found.filter(({ rule }) => rule === 'bad-number');
    expect(first).toMatchObject({ fixes: [{ title: 'Write 1.5', automatic: false }] });
    expect(first).not.toHaveProperty('fixesLeftOut');
  });

  test('every property is in docs/json-report.md', async () => {
    const text = `${GOOD}G1 Z{{part.top + 10}} F600\n{{# tools }}\n{{# layer.first }}\n{{/ tools }}\nG1 X1,5\n`;
    const args = ['check', '--fix', '--format=json', 'a.start.gcode'];
    const { out } = await runCli(args, shop({ '/shop/a.start.gcode': text }));
    const page = readFileSync(new URL('../../../docs/json-report.md', import.meta.url), 'utf8');
    const told = new Set([...page.matchAll(/`(\w+)`/g)].map(([, name]) => name));
    const names = new Set<string>();
    JSON.parse(out, (name, value) => {
      if (!/^\d*$|\./.test(name)) names.add(name);
      return value;
    });
    const tray = zip([{ name: 'one', bytes: utf8('G28\nG1 X10 Y10 Z0.2 E1 F600\nG1 X900\n') }]);
    const at = { ...shop(), '/shop/tray': tray };
    const program = await runCli(['check', '--max-findings=1', '--format=json', 'tray'], at);
    JSON.parse(program.out, (name, value) => {
      if (!/^\d*$|-/.test(name)) names.add(name); // `counts` has rules for names
      return value;
    });
    expect(names).toContain('longestLine');
    expect(names.size).toBeGreaterThan(50);
    for (const name of names) expect(told, name).toContain(name);
  });

  test('bounds stand as [lo, hi], the witness as an object, nothing extruded as null', async () => {
    const text = `${GOOD}G1 Z{{part.top + 10}} F600\n`;
    const { out } = await runCli(['check', '--format=json', 'a.start.gcode'], shop({ '/shop/a.start.gcode': text }));
    const [file] = JSON.parse(out).files;
    expect(file.summary.end.z).toEqual([expect.any(Number), 242]);
    expect(file.summary.extruded).toBeNull();
    const { when } = file.findings.find(({ rule }: { rule: string }) => rule === 'beyond-reach');
    expect(when['part.top']).toBeGreaterThan(222);
    expect(when['part.top']).toBeLessThanOrEqual(232);
  });

  test('what is not known is null, and numbers are rounded to a millionth', () => {
    const known = { lo: 0.1 + 0.2, hi: 0.1 + 0.2 };
    const trace = {
      end: { at: { x: known, y: null, z: null, e: null }, offset: { x: { lo: 0, hi: 0 }, y: null, z: null, e: null } },
      totals: {
        moves: 1,
        extent: { x: { lo: Number.NEGATIVE_INFINITY, hi: -1e-9 }, y: null, z: null },
        extruded: { x: null, y: null, z: null },
        travel: null,
        extruding: null,
        filament: null,
        seconds: null,
        hottest: { nozzle: null, bed: null },
        unplaced: 0,
      },
    };
    const summary = summaryOf(trace as never, { holds: 0, fails: 0, undecided: [], unasked: [] }, lineIndex(''));
    expect(summary.end).toEqual({ x: 0.3, y: null, z: null });
    expect(summary.extent.x).toEqual([null, 0]);
    expect(summary.lines).toBe(0);
  });

  test('a file that cannot be read leaves the others, and one line on standard error', async () => {
    const files = shop({ '/shop/a.start.gcode': GOOD, '/shop/locked.gcode': null });
    const { code, out, err } = await runCli(
      ['check', '--format', 'json', 'gone.gcode', 'a.start.gcode', 'locked.gcode'],
      files,
    );
    expect(code).toBe(2);
    expect(JSON.parse(out).files.map(({ path }: { path: string }) => path)).toEqual(['a.start.gcode']);
    expect(err).toBe(
      'bookend: cannot check gone.gcode: there is no such file.\nbookend: cannot check locked.gcode: you may not read it.\n',
    );
  });
});

describe('role and machine', () => {
  const roles = async (args: string[], name: string) => {
    const { out } = await runCli(['check', '--format', 'json', ...args, name], shop({ [`/shop/${name}`]: 'G28\n' }));
    return JSON.parse(out).files[0].role;
  };

  test('the role is the one that the name states, or the one that is asked for', async () => {
    expect(await roles([], 'a.end.gcode')).toBe('end');
    expect(await roles([], 'a.gcode')).toBe('program');
    expect(await roles(['--role', 'start'], 'a.gcode')).toBe('start');
  });

  const machineOf = async (args: string[], files: Record<string, string>, file = 'a.start.gcode') => {
    const { out } = await runCli(['check', '--format', 'json', ...args, file], files);
    return JSON.parse(out).files[0].machine;
  };
  const wren = heron.replace('Heron 228', 'Wren 120');

  test('found as in the editor', async () => {
    const a = { '/shop/a.start.gcode': GOOD };
    expect(await machineOf([], { ...a, '/heron.machine.json': heron })).toBe('Heron 228');
    expect(await machineOf([], { ...a, '/heron.machine.json': heron, '/shop/wren.machine.json': wren })).toBe(
      'Wren 120',
    );
    const lists = JSON.stringify({ ...JSON.parse(wren), sequences: { start: '../a.start.gcode' } });
    expect(await machineOf([], shop({ ...a, '/shop/machines/wren.machine.json': lists }))).toBe('Wren 120');
    expect(
      await machineOf(['--machine', 'far/wren.machine.json'], shop({ ...a, '/shop/far/wren.machine.json': wren })),
    ).toBe('Wren 120');
  });

  test('none, or more than one: a note says so and how to choose', async () => {
    const none = await runCli(['check', 'a.start.gcode'], { '/shop/a.start.gcode': GOOD });
    expect(none.out).toContain('a.start.gcode: note: no machine file was found: machine checks are off.');
    const two = await runCli(
      ['check', 'a.start.gcode'],
      shop({ '/shop/a.start.gcode': GOOD, '/shop/wren.machine.json': wren }),
    );
    expect(two.out).toContain('(heron.machine.json, wren.machine.json)');
    expect(two.out).toContain('--machine');
    expect(two.code).toBe(0);
  });

  test('a machine file that is wrong in a place is told at that place, once, and its other facts hold', async () => {
    const wrong = heron.replace('"max":268', '"max":"hot"');
    const files = {
      '/shop/heron.machine.json': wrong,
      '/shop/a.start.gcode': `${GOOD}G1 X260 F6000\n`,
      '/shop/b.start.gcode': GOOD,
    };
    const { code, out } = await runCli(['check', 'a.start.gcode', 'b.start.gcode'], files);
    expect(code).toBe(1);
    expect(out.match(/heron\.machine\.json:1:\d+: \w+ machine-file:/g)).toHaveLength(1);
    expect(out).toContain('beyond-reach');
  });

  test('a machine file can be checked itself', async () => {
    const good = await runCli(['check', 'heron.machine.json'], shop());
    expect(good).toMatchObject({ code: 0, out: '0 errors, 0 warnings in 1 file.\n', err: '' });
    const empty = await runCli(['check', '--format', 'json', 'x.machine.json'], { '/shop/x.machine.json': '' });
    expect(empty.code).toBe(1);
    const [file] = JSON.parse(empty.out).files;
    expect(file).toMatchObject({ role: null, machine: null, summary: null });
    expect(file.findings[0]).toMatchObject({ rule: 'machine-file', line: 1, column: 1 });
  });

  test('a machine file that was asked for and is not there: nothing is checked', async () => {
    const { code, out, err } = await runCli(['check', '--machine', 'no.machine.json', 'a.gcode'], {
      '/shop/a.gcode': '',
    });
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toBe('bookend: cannot check machine file no.machine.json: there is no such file.\n');
  });
});

describe('arguments', () => {
  test.each([
    [[], 'no command given'],
    [['chekc', 'a.gcode'], 'no command "chekc"'],
    [['check'], 'no file given'],
    [['check', '--bogus', 'a.gcode'], 'no option --bogus'],
    [['check', '--role', 'middle', 'a.gcode'], 'no role "middle"'],
    [['check', '--format=xml', 'a.gcode'], 'no format "xml"'],
    [['check', '--quiet=yes', 'a.gcode'], '--quiet takes no value'],
    [['check', '--severity', 'fatal', 'a.gcode'], 'no severity "fatal"'],
    [['check', '--max-findings', '-3', 'a.gcode'], '--max-findings -3 is no whole number'],
    [['check', '--role', 'end', '--role', 'start', 'a.gcode'], '--role is given twice'],
    [['check', '-', '-'], '"-" is given once'],
    [['check', '--fix', '-'], 'standard input cannot be fixed'],
    [['check', '--name', 'a.gcode', 'b.gcode'], '--name names standard input'],
    [['list'], 'no file given'],
    [['list', 'a.zip', 'b.zip'], 'list takes one file; b.zip is a second one'],
    [['list', '--format', 'sarif', 'a.zip'], 'it is text or json'],
    [['extract', '--fix', 'a.zip'], 'extract has no option --fix'],
    [['help', 'chekc'], 'no command "chekc"'],
    [['check', 'a.gcode', '--machine'], '--machine needs a value'],
  ])('%j is refused with one line', async (args, words) => {
    const { code, out, err } = await runCli(args, {});
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain(words);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
  });

  test('help of each command is a page of its own', async () => {
    const all = await runCli(['--help'], {});
    await expect(all.out).toMatchFileSnapshot('golden/help.txt');
    for (const { name } of COMMANDS) {
      const page = await runCli([name, '--help'], {});
      expect([page.code, page.err]).toEqual([0, '']);
      await expect(page.out).toMatchFileSnapshot(`golden/help-${name}.txt`);
      expect(await runCli(['help', name], {})).toEqual(page);
      expect(all.out).toContain(`\n       ${name} `);
      for (const part of ['NAME', 'SYNOPSIS', 'DESCRIPTION', 'OPTIONS', 'EXIT STATUS', 'EXAMPLES'])
        expect(page.out, name).toMatch(new RegExp(`^${part}$`, 'm'));
      for (const row of page.out.split('\n')) expect(row.length, row).toBeLessThanOrEqual(80);
    }
    for (const row of all.out.split('\n')) expect(row.length, row).toBeLessThanOrEqual(80);
  });

  test('version', async () => {
    expect(await runCli(['--version'], {})).toMatchObject({ code: 0, out: '1.2.3\n', err: '' });
    expect(await runCli(['check', '--version'], {})).toMatchObject({ code: 0, out: '1.2.3\n', err: '' });
  });

  test('behind -- everything is a file', async () => {
    const { code, err } = await runCli(['check', '--', '--role'], {});
    expect(code).toBe(2);
    expect(err).toBe('bookend: cannot check --role: there is no such file.\n');
  });
});

describe('vocabulary files', () => {
  const own = JSON.stringify({ delimiters: [['«', '»']], names: { west: { kind: 'length', range: [0, 300] } } });
  const start = `${GOOD}G1 X«west» F6000\n`;

  test('the one in the folder is used, and what is wrong in it is told', async () => {
    const good = await runCli(
      ['check', 'a.start.gcode'],
      shop({ '/shop/a.start.gcode': start, '/shop/own.placeholders.json': own }),
    );
    expect(good.out).toMatch(/beyond-reach/);
    expect(good.out).not.toMatch(/unknown-placeholder|stray-text/);
    const bad = await runCli(
      ['check', 'a.start.gcode'],
      shop({ '/shop/a.start.gcode': start, '/shop/own.placeholders.json': own.replace('[0,300]', '[300,0]') }),
    );
    expect(bad.out).toMatch(
      /own\.placeholders\.json:1:\d+: error vocabulary-file: .*begins at 300, above its end at 0/,
    );
    expect(bad.code).toBe(1);
  });

  test('one that the machine file names and that is missing is told there and in the sequence', async () => {
    const files = {
      '/shop/heron.machine.json': heron.replace('{', '{"placeholders":"./gone.placeholders.json",'),
      '/shop/a.start.gcode': GOOD,
    };
    const { out, code } = await runCli(['check', 'a.start.gcode'], files);
    expect(out).toMatch(/heron\.machine\.json:1:17: error vocabulary-file: .*gone\.placeholders\.json.*cannot be read/);
    expect(out).toMatch(/a\.start\.gcode:1:1: warning vocabulary-file/);
    expect(code).toBe(1);
    const alone = await runCli(['check', 'heron.machine.json'], files);
    expect(alone.out).toMatch(/vocabulary-file/);
  });

  test('a range that is upside down on a machine is told in its file', async () => {
    const files = {
      '/shop/heron.machine.json': heron.replace('{', '{"placeholders":"./own.placeholders.json",'),
      '/shop/own.placeholders.json': '{"names": {"a": {"range": [300, "reach.top"]}}}',
    };
    const { out } = await runCli(['check', 'heron.machine.json'], files);
    expect(out).toMatch(/vocabulary-file: On Heron 228 the range of “a” would begin at 300, above its end at 232/);
  });

  test('one can be checked by itself', async () => {
    const { out, code } = await runCli(
      ['check', 'own.placeholders.json'],
      shop({ '/shop/own.placeholders.json': '{"nams": {}}' }),
    );
    expect(out).toMatch(/warning vocabulary-file: .*A vocabulary file has no property “nams”/);
    expect(code).toBe(0);
  });

  test('draft-commands prints the part of a machine file that it lacks', async () => {
    const files = shop({ '/shop/a.start.gcode': 'BASK MINUTES=5\nG28\nDUST STROKES=3\n' });
    const { out, code, err } = await runCli(['draft-commands', 'a.start.gcode'], files);
    expect([code, err]).toEqual([0, '']);
    const { commands } = JSON.parse(out);
    expect(commands.map(({ name, words }: { name: string; words: unknown[] }) => [name, words.length])).toEqual([
      ['BASK', 1],
      ['DUST', 1],
    ]);
    const whole = JSON.stringify({ ...JSON.parse(heron as string), commands });
    const known = { ...files, '/shop/heron.machine.json': whole };
    expect(JSON.parse((await runCli(['draft-commands', 'a.start.gcode'], known)).out)).toEqual({ commands: [] });
    expect((await runCli(['draft-commands', 'b.start.gcode'], files)).code).toBe(2);
    expect((await runCli(['draft-commands', 'a.start.gcode', 'b'], files)).err).toMatch(/takes one file/);
  });

  test('draft-placeholders prints one', async () => {
    const files = shop({ '/shop/a.start.gcode': start });
    const { out, code, err } = await runCli(['draft-placeholders', 'a.start.gcode'], files);
    expect([code, err]).toEqual([0, '']);
    expect(out).toContain('"west": { "kind": "length", "range": ["reach.left", "reach.right"]');
    expect((await runCli(['draft-placeholders', 'b.start.gcode'], files)).code).toBe(2);
    expect((await runCli(['draft-placeholders', 'a.start.gcode', 'b.start.gcode'], files)).code).toBe(2);
    // Named twice it is still one.
    expect((await runCli(['draft-placeholders', 'a.start.gcode', 'a.start.gcode'], files)).out).toBe(out);
    expect((await runCli(['draft-placeholders'], files)).err).toMatch(/no file given/);
    expect((await runCli(['draft-placeholders', '--machine', 'x.machine.json', 'a.start.gcode'], files)).code).toBe(2);
  });

  test('from several sequences, with it they are checked and filled in by the language’s own names', async () => {
    const [start, end] = [
      'M140 S«slab heat»\nM104 S«tips[0]»\n«falls eilig»\nG4 S1\n«fertig»\n',
      'G1 Z«part up.z + 2»\n',
    ];
    const files = shop({ '/shop/a.start.gcode': start, '/shop/a.end.gcode': end });
    const { out, err } = await runCli(['draft-placeholders', 'a.start.gcode', 'a.end.gcode'], files);
    expect(err).toBe('');
    expect(out).toContain('first on line 1 of a.start.gcode');
    const machine = JSON.stringify({ ...JSON.parse(heron as string), placeholders: './own.placeholders.json' });
    const job = JSON.stringify({ 'slab heat': 58, tips: [211, 214], eilig: false, 'part up': { z: 31 } });
    const own = { ...files, '/shop/heron.machine.json': machine, '/shop/own.placeholders.json': out };
    expect((await runCli(['check', 'own.placeholders.json'], own)).out).toBe('0 errors, 0 warnings in 1 file.\n');
    const known = { ...own, '/shop/job.json': job };
    const filled = async (file: string) => runCli(['fill', '--job', 'job.json', file], known);
    expect(await filled('a.start.gcode')).toMatchObject({ code: 0, err: '', out: 'M140 S58\nM104 S211\n' });
    expect(await filled('a.end.gcode')).toMatchObject({ code: 0, err: '', out: 'G1 Z33\n' });
  });
});
