// Sequences that a script wrote, far longer than any that is meant, in a process with little memory. What keeps nodes for
// all of the text ends with "heap out of memory" here: 10 MB of tagged lines took 480 MB that nobody could clear away.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll } from 'vitest';
import { bundleCli } from './bundled.ts';

export const folder = mkdtempSync(join(tmpdir(), 'bookend-large-'));
const cli = join(folder, 'cli.cjs');

beforeAll(async () => {
  await bundleCli(cli);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

export interface Report {
  readonly files: readonly {
    readonly findings: readonly { readonly rule: string; readonly line: number; readonly message: string }[];
  }[];
}

/** Runs a command on a start sequence with `megabytes` of heap for what is kept. */
export function run(command: readonly string[], text: string, megabytes: number) {
  writeFileSync(join(folder, 'long.start.gcode'), text);
  const args = [`--max-old-space-size=${megabytes}`, cli, ...command, 'long.start.gcode'];
  return spawnSync(process.execPath, args, { cwd: folder, encoding: 'utf8', maxBuffer: 100_000_000 });
}

export function check(text: string, megabytes: number) {
  const { status, stdout, stderr } = run(['check', '--format', 'json'], text, megabytes);
  return { status, stderr, report: stdout === '' ? null : (JSON.parse(stdout) as Report) };
}
