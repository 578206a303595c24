// The command line in a folder that somebody sent, as a program of its own on a real disk. It is bundled here as
// esbuild.mjs does it, so that what runs is never older than the sources.

import { type SpawnSyncReturns, spawnSync } from 'node:child_process';
import * as fs from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { pipe, TRAPS } from '../../files/hostile.ts';
import { utf8, zip } from '../../program/packages.ts';

const GOOD = 'G21\nG90\nM82\nG28\nM109 S200\nG92 E0\n';
const BED = { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 };
const machine = (more: object = {}) => JSON.stringify({ name: 'Wagtail 204', bed: BED, ...more });

let home = '';
let cli = '';
let folder = '';
let cleanUp: () => void = () => {};
beforeAll(async () => {
  home = await fs.realpath(await fs.mkdtemp(join(tmpdir(), 'bookend-hostile-')));
  cli = join(home, 'cli.cjs');
  await build({
    absWorkingDir: fileURLToPath(new URL('../../../', import.meta.url)),
    ...{ entryPoints: ['server/src/cli.ts'], outfile: cli, bundle: true, platform: 'node', format: 'cjs' },
    ...{ target: 'node20', mainFields: ['module', 'main'], logLevel: 'error' },
  });
});
afterAll(() => fs.rm(home, { recursive: true, force: true }));
beforeEach(async () => {
  folder = await fs.mkdtemp(join(home, 'shop-'));
  await put('a.start.gcode', GOOD);
  cleanUp = () => {};
});
afterEach(() => cleanUp());

const put = (name: string, content: string) => fs.writeFile(join(folder, name), content);
/** A call that hangs is ended by the test's own limit, and then has no exit code. */
function run(...args: string[]): SpawnSyncReturns<string> {
  return spawnSync(process.execPath, [cli, ...args], { cwd: folder, encoding: 'utf8', input: '', timeout: 300_000 });
}

describe.runIf(process.platform !== 'win32')('what is no regular file', () => {
  /** A folder for each trap, under this name, with a sequence beside it. */
  const setAll = async (name: string): Promise<void> => {
    const ends: (() => void)[] = [];
    cleanUp = () => {
      for (const end of ends) end();
    };
    for (const [i, { make }] of TRAPS.entries()) {
      await fs.mkdir(join(folder, `${i}`));
      await put(`${i}/a.start.gcode`, GOOD);
      ends.push(await make(join(folder, `${i}`, name)));
    }
  };
  const PIPE = TRAPS.findIndex(({ name }) => name.startsWith('a pipe'));
  const sequences = TRAPS.map((_, i) => `${i}/a.start.gcode`);
  /** Messages by file and rule. */
  const toldIn = (stdout: string, path: string, rule: string): string =>
    JSON.parse(stdout)
      .files.filter((file: { path: string }) => file.path === path)
      .flatMap(({ findings }: { findings: { rule: string; message: string }[] }) => findings)
      .flatMap((finding: { rule: string; message: string }) => (finding.rule === rule ? [finding.message] : []))
      .join('\n');

  test('as the machine file that was found: told in its own name, and that machine checks are off', async () => {
    await setAll('y.machine.json');
    const { status, stdout, stderr } = run('check', '--format', 'json', ...sequences);
    expect([status, stderr]).toEqual([1, '']);
    for (const [i, { name, says }] of TRAPS.entries()) {
      const told = toldIn(stdout, `${i}/y.machine.json`, 'machine-file');
      expect(told, name).toMatch(/^This machine file cannot be read: /);
      expect(told, name).toMatch(says);
    }
    const text = run('check', `${PIPE}/a.start.gcode`).stdout;
    expect(text).toMatch(
      /^\d\/y\.machine\.json:1:1: error machine-file: This machine file cannot be read: it is a pipe/m,
    );
    expect(text).toContain(`the machine file ${PIPE}/y.machine.json cannot be read: machine checks are off.`);
  });

  test('as the vocabulary of a machine: told in the file that names it and in the text that it is for', async () => {
    await setAll('fifo');
    for (const i of TRAPS.keys()) await put(`${i}/y.machine.json`, machine({ placeholders: 'fifo' }));
    const { status, stdout, stderr } = run('check', '--format', 'json', ...sequences);
    expect([status, stderr]).toEqual([1, '']);
    for (const [i, { name, says }] of TRAPS.entries())
      for (const path of [`${i}/y.machine.json`, `${i}/a.start.gcode`]) {
        const told = toldIn(stdout, path, 'vocabulary-file');
        expect(told, name).toMatch(/^The vocabulary file .*fifo, which the machine file names, cannot be read: /);
        expect(told, name).toMatch(says);
      }
  });

  test('named on the command line', async () => {
    await setAll('y.machine.json');
    const named = TRAPS.map((trap, i) => ({ ...trap, path: `${i}/y.machine.json` }));
    const files = named.filter(({ name }) => name !== 'a link to a folder');
    const checked = run('check', ...files.map(({ path }) => path));
    expect([checked.status, checked.stdout]).toEqual([2, '']);
    const rows = checked.stderr.trimEnd().split('\n');
    for (const { path, says } of files)
      expect(rows.find((row) => row.startsWith(`bookend: cannot check ${path}: `))).toMatch(says);
    expect(rows).toHaveLength(files.length);
    for (const { path, says, name } of named) {
      const { status, stdout, stderr } = run('check', '--machine', path, 'a.start.gcode');
      expect([status, stdout], name).toEqual([2, '']);
      expect(stderr, name).toMatch(says);
    }
    for (const args of [
      ['explain', '--machine'],
      ['summary', '--machine'],
      ['fill', '--usual', '--job'],
    ]) {
      const { status, stdout, stderr } = run(...args, `${PIPE}/y.machine.json`, 'a.start.gcode');
      expect([status, stdout], args[0]).toEqual([2, '']);
      expect(stderr, args[0]).toMatch(/\d\/y\.machine\.json.*it is a pipe, which may keep a reader waiting forever/);
    }
  });

  test('a sequence that is a pipe or a device, named, in a folder, and beside a package as its checksum', async () => {
    pipe(join(folder, 'b.start.gcode'));
    await fs.symlink('/dev/zero', join(folder, 'c.start.gcode'));
    expect(run('check', 'b.start.gcode', 'c.start.gcode').stderr).toMatch(
      /^bookend: cannot check b\.start\.gcode: it is a pipe, .*\nbookend: cannot check c\.start\.gcode: it is a link to a device, /,
    );
    for (const args of [
      ['draft-placeholders'],
      ['draft-commands'],
      ['fill', '--usual'],
      ['summary'],
      ['list'],
      ['extract'],
    ])
      expect(run(...args, 'b.start.gcode'), args[0]).toMatchObject({ status: 2, stdout: '' });
    expect(run('check', '.').stdout).toMatch(/in 1 file\.$/m);
    await fs.writeFile(join(folder, 'tray.zip'), zip([{ name: 'one.gcode', bytes: utf8(GOOD) }]));
    pipe(join(folder, 'tray.zip.md5'));
    expect(run('extract', 'tray.zip')).toMatchObject({
      status: 2,
      stderr: expect.stringMatching(/its checksum file tray\.zip\.md5 cannot be read: it is a pipe/),
    });
    expect(await fs.readdir(folder)).not.toContain('one.gcode');
  });
});

test('the limit can be raised, and is told with the option that does it', async () => {
  await put('y.machine.json', machine({ $schema: 'x'.repeat(1_200_000) }));
  const refused = run('check', 'a.start.gcode');
  expect(refused.status).toBe(1);
  expect(refused.stdout).toMatch(
    /it has 1\.2 MB, more than the 1\.0 MB that are read; shorten it, or raise --largest-machine-file/,
  );
  expect(run('check', '--largest-machine-file', '1500kB', 'a.start.gcode')).toMatchObject({
    status: 0,
    stdout: '0 errors, 0 warnings in 1 file.\n',
  });
  expect(run('check', 'y.machine.json').stderr).toMatch(/cannot check y\.machine\.json: it has 1\.2 MB, more than/);
  expect(run('check', '--largest-machine-file', '2MB', 'y.machine.json').status).toBe(0);
  for (const size of ['2', 'much', '11MB', '0MB'])
    expect(run('check', '--largest-machine-file', size, 'a.start.gcode')).toMatchObject({
      status: 2,
      stderr: `bookend: --largest-machine-file ${size} is no size up to 10MB; write a number with its unit, such as 500kB or 2MB.\n`,
    });
});

test('several files on several cores have the same limit', async () => {
  await put('y.machine.json', machine({ $schema: 'x'.repeat(1_200_000) }));
  const long = `${GOOD}${'G1 X1 Y1 F6000\nG1 X2 Y2\n'.repeat(30_000)}`;
  for (const name of ['b', 'c']) await put(`${name}.gcode`, long);
  const { stdout } = run('check', '--format', 'json', '--largest-machine-file', '2MB', 'b.gcode', 'c.gcode');
  expect(JSON.parse(stdout).files.map((one: { machine: string }) => one.machine)).toEqual([
    'Wagtail 204',
    'Wagtail 204',
  ]);
});

test('of 260 machine files in a folder 200 are looked at, and that is told', async () => {
  for (let i = 0; i < 260; i++) await put(`m${String(i).padStart(3, '0')}.machine.json`, machine({ name: `M${i}` }));
  const { stdout } = run('check', 'a.start.gcode');
  expect(stdout).toMatch(/more than one machine could be meant \(m000\.machine\.json, .* and 195 more\)/);
  expect(stdout).toContain(
    '60 more machine files were not looked at, since at most 200 are; one of them may be meant.',
  );
});
