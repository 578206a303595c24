import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { folder, run } from './smallHeap.ts';

// Checking them is in large.test.ts.

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
