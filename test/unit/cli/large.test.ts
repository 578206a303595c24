// Sequences that a script wrote, far longer than any that is meant, in a process with little memory. What keeps nodes for
// all of the text ends with "heap out of memory" here: 10 MB of tagged lines took 480 MB that nobody could clear away.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';

vi.setConfig({ testTimeout: 300_000, hookTimeout: 60_000 });

const folder = mkdtempSync(join(tmpdir(), 'bookend-large-'));
const cli = join(folder, 'cli.cjs');

beforeAll(async () => {
  await build({
    absWorkingDir: fileURLToPath(new URL('../../../', import.meta.url)),
    entryPoints: ['server/src/cli.ts'],
    outfile: cli,
    bundle: true,
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    mainFields: ['module', 'main'],
    logLevel: 'error',
  });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Report {
  readonly files: readonly {
    readonly findings: readonly { readonly rule: string; readonly line: number; readonly message: string }[];
  }[];
}

/** Runs a command on a start sequence with `megabytes` of heap for what is kept. */
function run(command: readonly string[], text: string, megabytes: number) {
  writeFileSync(join(folder, 'long.start.gcode'), text);
  const args = [`--max-old-space-size=${megabytes}`, cli, ...command, 'long.start.gcode'];
  return spawnSync(process.execPath, args, { cwd: folder, encoding: 'utf8', maxBuffer: 100_000_000 });
}

function check(text: string, megabytes: number) {
  const { status, stdout, stderr } = run(['check', '--format', 'json'], text, megabytes);
  return { status, stderr, report: stdout === '' ? null : (JSON.parse(stdout) as Report) };
}

const MILLION = 1_000_000;

describe('10 MB and more of', () => {
  test.each([
    ['tagged lines', 'G1 X{{ part.left + 5 }} Y{{ part.front }} F6000\n'.repeat(208_334), 200],
    ['lines that heat', 'M104 S{{ heat.nozzle.first }}\n'.repeat(333_334), 200],
    ['sections that are never closed', '{{#a}}'.repeat(MILLION), 200],
    ['such sections, each on a line', '{{#a}}\nG1 X5\n'.repeat(MILLION), 200],
    ['nested sections', `${'{{# heat.bed.first }}\n'.repeat(400_000)}G1 X5\n${'{{/}}\n'.repeat(400_000)}`, 200],
    ['a list over all of it', `{{# tools }}\n${'G1 X{{ part.left }} E1\nSOAK A=1\n'.repeat(300_000)}{{/}}\n`, 200],
    [
      'lists in lists',
      '{{# tools }}\n{{# heat.nozzle.first }}\n{{# tools }}\nG1 X5 E1\n{{/}}\n{{/}}\n{{/}}\n'.repeat(150_000),
      200,
    ],
    ['blank lines', '\n'.repeat(10 * MILLION), 400],
  ])('%s', (_, text, megabytes) => {
    const { status, stderr, report } = check(text, megabytes);
    expect(stderr).not.toContain('heap');
    expect(status).not.toBeNull();
    const found = report?.files[0]?.findings.filter(({ rule }) => rule === 'checked-in-part') ?? [];
    expect(found).toHaveLength(1);
    expect(found[0]?.message).toMatch(/up to line [\d,]+ of [\d,]+|line 1 alone/);
  });
});

test('what a script may well write is checked whole', () => {
  const { report } = check('G1 X{{ part.left }} Y{{ part.front }} F6000\n'.repeat(10_000), 400);
  expect(report?.files[0]?.findings.map(({ rule }) => rule)).not.toContain('checked-in-part');
});

describe('what works on all of a text', () => {
  const LONG = 'HEAT_UP A={{ soak.minutes }}\nG1 X{{ part.left + 5 }} Y{{ part.front }} F6000\n'.repeat(140_000);
  const WHY = 'more than 300,000 tokens (letters and numbers of commands; a placeholder counts as 3)';

  test('fill prints nothing, and says why', () => {
    const { status, stdout, stderr } = run(['fill', '--usual'], LONG, 200);
    expect([status, stdout]).toEqual([2, '']);
    expect(stderr).toBe(`bookend: cannot fill in long.start.gcode: it has ${WHY}. Split it into shorter files.\n`);
  });

  test.each([[['--fix']], [['--fix', '--dry-run']]])('%j changes nothing, says why, and checks the text', (how) => {
    const { status, stdout, stderr } = run(['check', ...how], LONG, 200);
    expect(status).toBe(2);
    expect(stderr).toContain(`bookend: cannot fix long.start.gcode: it has ${WHY}. Split it into shorter files.\n`);
    // In a dry run the diff alone is printed, and there is none.
    expect(stdout.includes('checked-in-part')).toBe(!how.includes('--dry-run'));
    expect(readFileSync(join(folder, 'long.start.gcode'), 'utf8') === LONG).toBe(true);
  });

  test('draft-placeholders and draft-commands say how far the text was read', () => {
    const names = run(['draft-placeholders'], LONG, 200);
    expect(names.status).toBe(0);
    expect(names.stdout).toContain('"soak.minutes"');
    expect(names.stdout).toMatch(/^\/\/ The sequence was read up to line [\d,]+ of 280,001, because it has$/m);
    expect(names.stdout).toContain(`// ${WHY}.\n`);
    const commands = run(['draft-commands'], LONG, 200);
    expect(commands.status).toBe(0);
    expect(commands.stdout).toContain('"HEAT_UP"');
    expect(commands.stderr).toMatch(/^bookend: long\.start\.gcode was read up to line [\d,]+ of 280,001, because/);
    expect(commands.stderr).toContain(WHY);
  });

  test('of a text below the budget nothing of the kind is said', () => {
    const short = LONG.slice(0, LONG.length / 140);
    const { status, stderr } = run(['fill', '--usual', '--set', 'soak.minutes=5'], short, 400);
    expect([status, stderr]).toEqual([0, '']);
    expect(run(['draft-placeholders'], short, 400).stdout).not.toContain('was read');
    expect(run(['draft-commands'], short, 400).stderr).toBe('');
    expect(run(['check', '--fix'], short, 400).stderr).not.toContain('tokens');
  });
});
