import { expect, test } from 'vitest';
import type { FileCheck, FileOutcome } from '../../../server/src/cli/fileCheck.ts';
import type { Io } from '../../../server/src/cli/io.ts';
import { progressText, timeText } from '../../../server/src/cli/progress.ts';
import { runCli } from './run.ts';
import { heron, wall } from './shop.ts';

const long = wall(12_000);
const files = {
  '/shop/heron.machine.json': heron,
  '/shop/a.gcode': long,
  '/shop/b.gcode': wall(3),
  '/shop/c.gcode': long,
  '/shop/d.gcode': long,
};
const order = (out: string): string[] => [
  ...new Set([...out.matchAll(/^(\w)\.gcode:/gm)].map(([, name]) => name ?? '')),
];

/** Helpers whose later jobs are done sooner. */
function slowHelpers(fail: string | null, done: string[]): Partial<Io> {
  let wait = 60;
  return {
    cores: 2,
    helper: () => ({
      async check({ path }: FileCheck, read): Promise<FileOutcome> {
        read(10);
        wait -= 20;
        await new Promise((resolve) => setTimeout(resolve, wait));
        done.push(path);
        if (path === fail) throw new Error('it stopped with code 134');
        const { out } = await runCli(['check', '--format', 'json', path], files);
        const [file] = JSON.parse(out).files;
        const told = { ...file, entry: null, note: null, undecided: [], fixed: null, program: null };
        const findings = file.findings.map((one: object) => ({ ...one, count: 1, excerpt: null }));
        return { reports: [{ ...told, findings }], used: [], notFollowed: [], failed: false, errors: '' };
      },
      end: () => void done.push('end'),
    }),
  };
}

test('long files go to helpers, and what is printed stands in the order of the arguments', async () => {
  const done: string[] = [];
  const { out, code } = await runCli(
    ['check', 'a.gcode', 'b.gcode', 'c.gcode', 'd.gcode'],
    files,
    slowHelpers(null, done),
  );
  expect(code).toBe(1);
  expect(order(out)).toEqual(['a', 'b', 'c', 'd']);
  expect(done.filter((one) => one.endsWith('.gcode'))).not.toContain('b.gcode');
  expect(done.indexOf('a.gcode')).toBeGreaterThan(done.indexOf('c.gcode')); // a is the slowest
  expect(done.filter((one) => one === 'end').length).toBeGreaterThanOrEqual(2);
});

test('a helper that dies costs its file only', async () => {
  const { out, err, code } = await runCli(
    ['check', 'a.gcode', 'b.gcode', 'c.gcode', 'd.gcode'],
    files,
    slowHelpers('c.gcode', []),
  );
  expect(code).toBe(2);
  expect(order(out)).toEqual(['a', 'b', 'd']);
  expect(err).toBe('bookend: cannot check c.gcode: its helper ended: it stopped with code 134.\n');
});

test('one long file, or one core, needs no helper', async () => {
  const none: Partial<Io> = { cores: 2, helper: () => expect.unreachable() };
  expect((await runCli(['check', 'a.gcode', 'b.gcode'], files, none)).code).toBe(1);
  expect((await runCli(['check', 'a.gcode', 'c.gcode'], files, { ...none, cores: 1 })).code).toBe(1);
});

test('progress as words', () => {
  expect(progressText(50e6, 200e6, 2000)).toBe('25 % of 200 MB, 25 MB/s, 6 s left');
  expect(progressText(1.5e6, 3e6, 500)).toBe('50 % of 3.0 MB, 3.0 MB/s, 1 s left');
  expect(progressText(210e6, 200e6, 2000)).toBe('100 % of 200 MB, 105 MB/s, 0 s left');
  expect(progressText(0, 200e6, 0)).toBe('0 % of 200 MB, 0.0 MB/s');
  expect(progressText(7e6, null, 1000)).toBe('7.0 MB read, 7.0 MB/s');
  expect([59.4, 61, 3600, 7384].map(timeText)).toEqual(['59 s', '1 min 1 s', '1 h 0 min', '2 h 3 min']);
});

test('progress stands on a terminal only, after a while, and is taken away', async () => {
  const run = (more: Partial<Io>, ...args: string[]) => {
    let time = 0;
    return runCli(['check', ...args, 'a.gcode'], files, { now: () => (time += 300), ...more });
  };
  expect((await run({})).err).toBe('');
  expect((await run({ errorTerminal: true }, '--quiet')).err).toBe('');
  const { err, out } = await run({ errorTerminal: true });
  const [first = ''] = err.split('\u001b[K');
  expect(first).toMatch(/^\r\d+ % of 0\.3 MB, .* s left$/);
  expect(err.endsWith('\r\u001b[K')).toBe(true);
  expect(out).toBe((await run({})).out);
});
