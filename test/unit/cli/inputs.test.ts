import { expect, test } from 'vitest';
import type { Io } from '../../../server/src/cli/io.ts';
import { IN_ONE_PIECE } from '../../../server/src/cli/programText.ts';
import { utf8, zip } from '../../program/packages.ts';
import { type Files, runCli } from './run.ts';
import { GOOD, heron, wall } from './shop.ts';

const files: Files = {
  '/shop/heron.machine.json': heron,
  '/shop/jobs/a.start.gcode': GOOD,
  '/shop/jobs/b.end.gcode': 'M104 S0\nM140 S0\nM84\n',
  '/shop/jobs/deep/c.gcode': wall(5),
  '/shop/jobs/deep/tray.box': zip([{ name: 'batches/one', bytes: utf8(wall(5)) }]),
  '/shop/jobs/letters.zip': zip([{ name: 'letter.txt', bytes: utf8('Dear Sir or Madam,\n') }]),
  '/shop/jobs/photo.png': Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10, 0, 0),
  '/shop/jobs/.hidden/d.gcode': wall(5),
};
const pathsOf = async (...args: string[]): Promise<string[]> => {
  const { out } = await runCli(['check', '--format', 'json', ...args], files);
  return JSON.parse(out).files.map(({ path, entry }: { path: string; entry?: string }) =>
    entry === undefined ? path : `${path}(${entry})`,
  );
};

test('of a folder: what is ours by name, and packages with a program by content', async () => {
  const ours = ['jobs/a.start.gcode', 'jobs/b.end.gcode', 'jobs/deep/c.gcode', 'jobs/deep/tray.box(batches/one)'];
  expect(await pathsOf('jobs')).toEqual(ours);
  expect(await pathsOf('jobs/')).toEqual(ours);
  expect(await pathsOf('.')).toEqual(['heron.machine.json', ...ours]);
});

test('patterns, each file once, in the order in which they were named', async () => {
  expect(await pathsOf('jobs/*.gcode')).toEqual(['jobs/a.start.gcode', 'jobs/b.end.gcode']);
  expect(await pathsOf('jobs/**/*.gcode')).toEqual(['jobs/a.start.gcode', 'jobs/b.end.gcode', 'jobs/deep/c.gcode']);
  expect(await pathsOf('jobs/{deep/c,b.end}.gcode')).toEqual(['jobs/deep/c.gcode', 'jobs/b.end.gcode']);
  expect(await pathsOf('/shop/jobs/[ab].*.gcode')).toEqual(['/shop/jobs/a.start.gcode', '/shop/jobs/b.end.gcode']);
  expect(await pathsOf('jobs/deep/c.gcode', 'jobs/*.gcode', 'jobs/a.start.gcode')).toEqual([
    'jobs/deep/c.gcode',
    'jobs/a.start.gcode',
    'jobs/b.end.gcode',
  ]);
});

test('a file whose name looks like a pattern is that file', async () => {
  const { out } = await runCli(['check', '--format', 'json', 'a[1].gcode'], { '/shop/a[1].gcode': wall(3) });
  expect(JSON.parse(out).files[0].path).toBe('a[1].gcode');
});

test('what cannot be used is told, and the others are checked all the same', async () => {
  const odd: Files = {
    ...files,
    '/shop/empty.gcode': '',
    '/shop/noise.gcode': Uint8Array.from({ length: 4000 }, (_, i) => (i * 7919) % 256),
    '/shop/locked.gcode': null,
    '/shop/none/notes.txt': 'hello\n',
  };
  const args = ['*.gco', 'none', 'empty.gcode', 'noise.gcode', 'locked.gcode', 'gone.gcode', 'jobs/letters.zip'];
  const { code, out, err } = await runCli(['check', ...args, 'jobs/a.start.gcode'], odd);
  expect(code).toBe(2);
  expect(out).toBe('0 errors, 0 warnings in 1 file.\n');
  expect(err.trimEnd().split('\n').sort()).toEqual([
    'bookend: cannot check *.gco: no file fits this pattern.',
    expect.stringMatching(/^bookend: cannot check empty\.gcode: it is empty/),
    'bookend: cannot check gone.gcode: there is no such file.',
    expect.stringMatching(/^bookend: cannot check jobs\/letters\.zip: there is no program in this zip package/),
    'bookend: cannot check locked.gcode: you may not read it.',
    expect.stringMatching(/^bookend: cannot check noise\.gcode: it is neither a text nor a package/),
    expect.stringMatching(/^bookend: cannot check none: this folder holds no/),
  ]);
});

test('a folder that may not be looked into', async () => {
  const readFolder = async () => ({ reason: 'you may not read it' });
  const { code, err } = await runCli(['check', 'jobs'], files, { readFolder });
  expect([code, err]).toEqual([2, 'bookend: cannot check jobs: you may not read it.\n']);
});

test('of a folder: links, pipes and a folder in it that is locked', async () => {
  const more: Partial<Io> = {
    async look(path) {
      if (path.endsWith('pipe.gcode')) return { reason: 'it is a pipe' };
      if (path.endsWith('back')) return { kind: 'folder', size: 0 };
      return { kind: path === '/shop/x' ? 'folder' : 'file', size: 4 };
    },
    async readFolder(path) {
      if (path === '/shop/x/deep') return { reason: 'you may not read it' };
      const file = (name: string) => ({ name, folder: false });
      return [file('pipe.gcode'), file('back'), file('a.start.gcode'), { name: 'deep', folder: true }];
    },
  };
  const { code, out, err } = await runCli(['check', 'x'], { '/shop/x/a.start.gcode': GOOD }, more);
  expect([code, err]).toEqual([2, 'bookend: cannot check x/deep: you may not read it.\n']);
  expect(out).toMatch(/^0 errors.* in 1 file\.$/m);
});

test('a file that changed while it was read gives no findings', async () => {
  const told: Files = { '/shop/heron.machine.json': heron, '/shop/a.gcode': wall(3), '/shop/b.gcode': wall(3) };
  const { out: usual } = await runCli(['check', 'a.gcode'], told);
  expect(usual).toContain('a.gcode:12:4: error');
  const { code, out, err } = await runCli(['check', '--format', 'json', 'a.gcode', 'b.gcode'], told, {
    async open(path) {
      const bytes = new TextEncoder().encode(String(told[path]));
      const changed = async () => (path.includes('a.') ? 'it grew from 1 to 2 bytes while it was read' : null);
      const read = async (offset: number, length: number) => bytes.subarray(offset, offset + length);
      return { size: bytes.length, read, changed, close: async () => {} };
    },
  });
  expect(code).toBe(2);
  expect(err).toContain('cannot check a.gcode: it grew from 1 to 2 bytes while it was read.');
  expect(JSON.parse(out).files.map(({ path }: { path: string }) => path)).toEqual(['b.gcode']);
});

test('a file that ends early, or whose disk fails', async () => {
  for (const [read, words] of [
    [async () => new Uint8Array(0), 'it became shorter while it was read'],
    [() => Promise.reject(new Error('the disk reports a fault')), 'the disk reports a fault'],
  ] as const) {
    let reads = 0;
    const head = new TextEncoder().encode(wall(3));
    const { code, err } = await runCli(
      ['check', 'a.gcode'],
      { '/shop/a.gcode': wall(3) },
      {
        open: async () => ({
          size: 5_000_000,
          read: () => (reads++ === 0 ? Promise.resolve(head) : read()),
          changed: async () => null,
          close: async () => {},
        }),
      },
    );
    expect(code).toBe(2);
    expect(err).toContain(words);
  }
});

test('standard input: by its name or role, long or short', async () => {
  const at = { '/shop/heron.machine.json': heron };
  const start = await runCli(['check', '--name', 'a.start.gcode', '-'], at, {}, ['G1 X1,', '5\n']);
  expect(start.out).toContain('a.start.gcode:1:5: error bad-number');
  const role = await runCli(['check', '--role', 'end', '--format', 'json', '-'], at, {}, ['M84\n']);
  expect(JSON.parse(role.out).files[0]).toMatchObject({ path: '-', role: 'end' });
  const long = wall(40_000);
  expect(long.length).toBeGreaterThan(1_000_000);
  const lengths = long.split('\n').map((row) => row.length);
  const longestLine = { length: Math.max(...lengths), line: lengths.indexOf(Math.max(...lengths)) + 1 };
  const program = await runCli(['check', '--format', 'json', '-'], at, {}, [long.slice(0, 12_345), long.slice(12_345)]);
  const [file] = JSON.parse(program.out).files;
  expect(file.program).toMatchObject({ bytes: long.length, lines: 40_011, totals: { longestLine } });
  expect(file.findings.map(({ rule }: { rule: string }) => rule)).toContain('beyond-reach');
  expect((await runCli(['check', '-'], at, {}, [])).err).toContain('cannot check -: there is nothing in it.');
  const box = await runCli(['check', '-'], at, {}, [files['/shop/jobs/deep/tray.box'] as Uint8Array]);
  expect(box.err).toContain('a package is read from its end');
});

test('a long sequence is no program, and says so', async () => {
  const long = '; remark\n'.repeat(8_000_000);
  const { code, err } = await runCli(['check', '--name', 'a.end.gcode', '-'], {}, {}, [long]);
  expect(code).toBe(2);
  expect(err).toContain('it is longer than the 64 MB that a sequence may have');
});

test('a streamed program tells the same errors as one in one piece', async () => {
  const rules = async (moves: number) => {
    const at = { '/shop/heron.machine.json': heron, '/shop/a.gcode': wall(moves) };
    const { out, code } = await runCli(['check', '--severity', 'error', 'a.gcode'], at);
    return { code, rules: [...out.matchAll(/ error ([\w-]+):/g)].map(([, rule]) => rule) };
  };
  const short = await rules(50);
  expect(short.rules).toContain('beyond-reach');
  expect(await rules(40_000)).toEqual(short);
});

test.each([
  ['short', 1, ''],
  ['long', 500, `; ${'-'.repeat(230)}`],
])('a %s text that is no program is told first, as text and as JSON', async (_, times, remark) => {
  const lines = ['Dear Ms Heron,', 'I thank you', 'G20 and all.', ''].map((row) => `${row}${remark}\n`).join('');
  const letter = { '/shop/x.gcode': lines.repeat(times) };
  expect(letter['/shop/x.gcode'].length > IN_ONE_PIECE).toBe(times > 1);
  const { code, out } = await runCli(['check', 'x.gcode'], letter);
  expect(code).toBe(1);
  const words = `This does not read like a program: 0 of ${3 * times} lines hold a command`;
  const rows = out.split('\n').filter((row) => /^x\.gcode:\d/.test(row));
  expect(rows[0]).toContain(`x.gcode:1:1: error no-program: ${words}`);
  expect(rows[1]).toContain('Dear is not known');
  expect(rows.filter((row) => row.includes('no-program'))).toHaveLength(1);
  const { findings, program } = JSON.parse((await runCli(['check', '--format=json', 'x.gcode'], letter)).out).files[0];
  expect(findings[0]).toMatchObject({ rule: 'no-program', severity: 'error', line: 1, column: 1, count: 1 });
  expect(program.counts['no-program']).toBe(1);
});

test('packages: every program in it, by its name; a damaged one is told, others are checked', async () => {
  const box = zip([
    { name: 'batches/one', bytes: utf8(wall(5)) },
    { name: 'two.gcode', bytes: utf8(wall(400)), lies: { crc: 1 } },
    { name: 'readme.txt', bytes: utf8('Two batches.\n') },
  ]);
  const { code, out, err } = await runCli(['check', 'tray.gcode'], { '/shop/tray.gcode': box });
  expect(code).toBe(2);
  expect(out).toContain('tray.gcode(batches/one):');
  expect(out).not.toContain('two.gcode):');
  expect(err).toMatch(/^bookend: cannot check tray\.gcode\(two\.gcode\): .*damaged.*CRC-32/);
  const fix = await runCli(['check', '--fix', 'tray.gcode'], { '/shop/tray.gcode': box });
  expect([fix.code, fix.err]).toEqual([2, expect.stringContaining('cannot fix tray.gcode: it is a package')]);
});
