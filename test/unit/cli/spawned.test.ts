// The command line as a program of its own: threads, signals, pipes, a real disk. It is bundled here as esbuild.mjs does
// it, so that what runs is never older than the sources.

import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, watch, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { crc32 } from '../../../server/src/packages/crc32.ts';
import { utf8, zip } from '../../program/packages.ts';
import { bundleCli } from './bundled.ts';
import { GOOD, heron, wall } from './shop.ts';

const folder = mkdtempSync(join(tmpdir(), 'bookend-cli-'));
const cli = join(folder, 'cli.cjs');
const LONG = wall(20_000);

beforeAll(async () => {
  await bundleCli(cli);
  writeFileSync(join(folder, 'heron.machine.json'), heron);
  writeFileSync(join(folder, 'a.start.gcode'), GOOD);
  for (const name of ['b', 'c', 'd']) writeFileSync(join(folder, `${name}.gcode`), LONG);
  writeFileSync(join(folder, 'tray.box'), zip([{ name: 'batches/one.gcode', bytes: utf8(LONG) }]));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const run = (args: readonly string[], input = '') => {
  const { status, stdout, stderr } = spawnSync(process.execPath, [cli, ...args], {
    cwd: folder,
    input,
    encoding: 'utf8',
  });
  return { status, stdout, stderr };
};

test('exit codes', () => {
  expect(run(['check', 'a.start.gcode'])).toEqual({
    status: 0,
    stdout: '0 errors, 0 warnings in 1 file.\n',
    stderr: '',
  });
  expect(run(['check', 'b.gcode']).status).toBe(1);
  expect(run(['check', 'gone.gcode', 'a.start.gcode'])).toMatchObject({
    status: 2,
    stdout: '0 errors, 0 warnings in 1 file.\n',
    stderr: 'bookend: cannot check gone.gcode: there is no such file.\n',
  });
  expect(run(['chekc']).status).toBe(2);
});

test('several long files in threads print what each prints alone', () => {
  const names = ['d.gcode', 'tray.box', 'a.start.gcode', 'b.gcode', 'c.gcode'];
  const findings = (text: string): string => text.split('\n').slice(0, -2).join('\n');
  const alone = names.map((name) => findings(run(['check', name]).stdout)).filter((text) => text !== '');
  const { status, stdout, stderr } = run(['check', ...names, 'gone.gcode']);
  expect([status, stderr]).toEqual([2, 'bookend: cannot check gone.gcode: there is no such file.\n']);
  expect(findings(stdout)).toBe(alone.join('\n'));
  expect(stdout.trimEnd().endsWith(' in 5 files.')).toBe(true);
  expect(JSON.parse(run(['check', '--format', 'json', ...names]).stdout).files).toHaveLength(5);
});

test('standard input, and a reader that goes away', async () => {
  expect(run(['check', '--name', 'x.start.gcode', '-'], 'G1 X1,5\n').stdout).toContain('x.start.gcode:1:5: error');
  expect(JSON.parse(run(['summary', '--format', 'json', '-'], LONG).stdout).program.bytes).toBe(LONG.length);
  const child = spawn(process.execPath, [cli, 'explain'], { cwd: folder, stdio: ['ignore', 'pipe', 'pipe'] });
  child.stdout.destroy();
  expect((await ended(child)).code).toBe(0);
});

test('extract, then check: the program itself, and never over another', () => {
  const taken = run(['extract', 'tray.box']);
  expect(taken.status).toBe(1);
  expect(readFileSync(join(folder, 'one.gcode'), 'utf8')).toBe(LONG);
  expect(taken.stdout).toContain('one.gcode:20009:4: error beyond-reach');
  const again = run(['extract', 'tray.box']);
  expect([again.status, again.stdout]).toEqual([2, '']);
  expect(again.stderr).toMatch(
    /one\.gcode is there already\. Give another name with --out, or write over it with --force/,
  );
  writeFileSync(join(folder, 'one.gcode'), 'M84\n');
  expect(run(['extract', '--force', 'tray.box']).status).toBe(1);
  expect(readFileSync(join(folder, 'one.gcode'), 'utf8')).toBe(LONG);
  rmSync(join(folder, 'one.gcode'));
  expect(temporary()).toEqual([]);
});

test('a folder that is not there, a package that is damaged: nothing is left behind', () => {
  expect(run(['extract', '--out', join('nowhere', 'x.gcode'), 'tray.box']).stderr).toContain('there is no such folder');
  const bytes = readFileSync(join(folder, 'tray.box'));
  const at = bytes.length >> 1;
  bytes[at] = (bytes[at] ?? 0) ^ 0x55;
  writeFileSync(join(folder, 'damaged.zip'), bytes);
  const before = readdirSync(folder).sort();
  const { status, stdout, stderr } = run(['extract', 'damaged.zip']);
  expect([status, stdout]).toEqual([2, '']);
  expect(stderr).toMatch(/damaged|cut short/);
  expect(readdirSync(folder).sort()).toEqual(before);
});

// Windows knows no signals: there a process is ended without being told.
test.skipIf(process.platform === 'win32')('Ctrl+C stops at once and leaves nothing behind', async () => {
  const long = Buffer.from(LONG.repeat(90));
  writeFileSync(join(folder, 'huge.box'), zip([{ name: 'huge.gcode', bytes: long, lies: { crc: crc32(long) } }]));
  for (const signal of ['SIGINT', 'SIGTERM'] as const) {
    const child = spawn(process.execPath, [cli, 'extract', 'huge.box'], { cwd: folder, stdio: 'pipe' });
    const end = ended(child);
    while (temporary().length === 0 && child.exitCode === null) await new Promise((go) => setTimeout(go, 1));
    expect(child.kill(signal)).toBe(true);
    const { code, out } = await end;
    // Not 0, as after all of it.
    expect([code, out]).toEqual([signal === 'SIGINT' ? 130 : 143, '']);
    expect(readdirSync(folder).filter((name) => name.startsWith('huge'))).toEqual(['huge.box']);
  }
  writeFileSync(join(folder, 'huge1.gcode'), long);
  writeFileSync(join(folder, 'huge2.gcode'), long);
  const child = spawn(process.execPath, [cli, 'check', 'huge1.gcode', 'huge2.gcode'], { cwd: folder, stdio: 'pipe' });
  const end = ended(child);
  await new Promise((go) => setTimeout(go, 250));
  child.kill('SIGINT');
  // null where the signal came before there was anything to take away, and so ended it by itself.
  expect([130, null]).toContain((await end).code);
});

test('what a killed run left is taken away by the next, and nothing else is', async () => {
  // Far longer than it takes to see that it has begun.
  const long = Buffer.from(LONG.repeat(90));
  writeFileSync(join(folder, 'killed.box'), zip([{ name: 'killed.gcode', bytes: long, lies: { crc: crc32(long) } }]));
  writeFileSync(join(folder, 'mine.gcode.tmp'), 'mine');
  const begun = new Promise<void>((resolve) => {
    const watcher = watch(folder, (_, name) => {
      if (!name?.startsWith('killed.gcode.')) return;
      watcher.close();
      resolve();
    });
  });
  const child = spawn(process.execPath, [cli, 'extract', 'killed.box'], { cwd: folder, stdio: 'pipe' });
  const end = ended(child);
  await begun;
  child.kill('SIGKILL');
  await end;
  const left = temporary().filter((name) => name.startsWith('killed.gcode.'));
  expect(left).toEqual([expect.stringMatching(/^killed\.gcode\.bookend-[0-9a-f]{6}-\d+-[0-9a-f]{6}\.tmp$/)]);
  expect(run(['extract', '--out', 'other.gcode', 'tray.box']).status).toBe(1);
  expect(temporary()).toEqual(['mine.gcode.tmp']);
  for (const name of ['killed.box', 'mine.gcode.tmp', 'other.gcode']) rmSync(join(folder, name));
});

const temporary = (): string[] => readdirSync(folder).filter((name) => name.endsWith('.tmp'));

/** Its exit code, and what it wrote to standard output. */
function ended(child: ChildProcess): Promise<{ code: number | null; out: string }> {
  let out = '';
  child.stdout?.on('data', (data) => {
    out += data;
  });
  return new Promise((resolve) => child.on('close', (code) => resolve({ code, out })));
}

test('a gzip file of ten thousand members of nothing takes no memory to speak of, and of more none is read', () => {
  const nothing = gzipSync('');
  const many = (count: number): Buffer => Buffer.concat([gzipSync(GOOD), ...Array(count - 1).fill(nothing)]);
  writeFileSync(join(folder, 'many.gz'), many(10_000));
  writeFileSync(join(folder, 'more.gz'), many(20_000));
  writeFileSync(
    join(folder, 'peak.cjs'),
    "process.on('exit', () => console.error('peak', process.resourceUsage().maxRSS, 'kB'));",
  );
  const peak = (name: string) => {
    const args = ['--max-old-space-size=64', '-r', './peak.cjs', cli, 'check', '--role', 'program', name];
    const { stdout, stderr } = spawnSync(process.execPath, args, { cwd: folder, encoding: 'utf8' });
    return { said: stdout, most: Number(/peak (\d+) kB/.exec(stderr)?.[1]), stderr };
  };
  const read = peak('many.gz');
  expect(read.said).toMatch(/in 1 file/);
  expect(read.most).toBeLessThan(400_000);
  const refused = peak('more.gz');
  expect(`${refused.said}${refused.stderr}`).toMatch(/more than 10,000 members/);
  expect(refused.most).toBeLessThan(400_000);
});
