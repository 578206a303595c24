import { describe, expect, test } from 'vitest';
import { check } from './smallHeap.ts';

// Checking them; what else works on all of a text is in largeWhole.test.ts.

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
