import { describe, expect, it } from 'vitest';
import { analyze } from '../../../server/src/service/analyze.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { MACHINES } from './machines.ts';

// Large and deep texts come to an end, with work that grows as the text does. Work is counted in trace steps and
// findings; only where those cannot show it is processor time compared, of one text and of one eight times as long.

const MACHINE = MACHINES[1] ?? null;
const VOCABULARY = vocabularyFor(MACHINE);
const run = (text: string) => analyze(text, 'start', MACHINE, VOCABULARY);

const HEAD = 'G21\nG90\nM83\nG28\nM109 S210\n';
const lines = (n: number): string =>
  HEAD + Array.from({ length: n }, (_, i) => `G1 X${i % 200} Y${(i * 7) % 190} E0.${(i % 9) + 1}`).join('\n');

describe('work grows with the text', { timeout: 60_000 }, () => {
  it.each([
    ['lines', (n: number) => lines(n), 1],
    ['lines with placeholders', (n: number) => HEAD + 'G1 X{{ part.left }} Y{{ part.front }}\n'.repeat(n), 1],
    [
      'sections',
      (n: number) => HEAD + '{{# heat.bed.first }}\nG1 X5\n{{/}}\n{{^ heat.bed.first }}\nG1 X6\n{{/}}\n'.repeat(n),
      2,
    ],
    [
      'sections in a line',
      (n: number) => HEAD + 'G1 {{# heat.bed.first }}X5{{/}}{{^ heat.bed.first }}X6{{/}}\n'.repeat(n),
      2,
    ],
    ['words in open sections', (n: number) => `${HEAD}G1 ${'{{# heat.bed.first }}X5{{/}} '.repeat(n)}`, 0],
  ] as const)('%s: as many steps as commands', (_, text, perUnit) => {
    for (const n of [10, 80]) {
      const { steps } = run(text(n)).trace;
      const own = steps.length - 5;
      if (perUnit > 0) expect(own).toBe(n * perUnit);
      // One command, however many words: a few ways at most in which its sections can turn out.
      else expect(own).toBeLessThanOrEqual(32);
    }
  });

  it('lists inside lists do not multiply without end', () => {
    const nested = (depth: number): string =>
      `${HEAD}${'{{# tools }}\n'.repeat(depth)}G1 X5\n${'{{/ tools }}\n'.repeat(depth)}`;
    // Without a machine a job has up to 16 tools: four levels would be 65,536 turns.
    const steps = [1, 2, 4, 6].map(
      (depth) => analyze(nested(depth), 'start', null, vocabularyFor(null)).trace.steps.length,
    );
    for (const n of steps) expect(n).toBeLessThan(2000);
  });

  it('the time of a run over a long program grows no faster than its length', () => {
    const cpu = (n: number): number => {
      const text = lines(n);
      const before = process.cpuUsage();
      run(text);
      const { user, system } = process.cpuUsage(before);
      return user + system;
    };
    cpu(2000); // warm-up
    const [one, eight] = [Math.min(cpu(2500), cpu(2500)), Math.min(cpu(20_000), cpu(20_000))];
    // Eight times is linear, 64 quadratic; the rest is room for a busy machine.
    expect(eight / one).toBeLessThan(24);
  });
});

describe('large and deep texts', () => {
  it.each([
    ['5 MB in one line', `G1 ${'X1 '.repeat(1_750_000)}`],
    ['5 MB of words without a blank', `G1${'X1'.repeat(2_600_000)}`],
    ['100,000 commands in one line', 'G1X1'.repeat(100_000)],
    ['5 MB of one number', `G1 X${'1'.repeat(5_000_000)}`],
    ['5 MB of comment', `; ${'a'.repeat(5_000_000)}`],
    ['100,000 lines', lines(100_000)],
    ['20,000 lines, each with a finding', 'M1049 S200\n'.repeat(20_000)],
    ['10,000 brackets', `G1 X${'('.repeat(10_000)}${')'.repeat(10_000)}`],
    ['10,000 brackets in a tag', `G1 X{{ ${'('.repeat(10_000)}1${')'.repeat(10_000)} }}`],
    ['10,000 signs in a tag', `G1 X{{ ${'-'.repeat(10_000)}1 }}`],
    ['a long sum in a tag', `G1 X{{ 1${' + 1'.repeat(3000)} }}`],
    ['a long chain of choices', `G1 X{{ ${'tool.number ? 1 : '.repeat(150)}2 }}`],
    [
      '10,000 nested sections on lines of their own',
      `${'{{# heat.bed.first }}\n'.repeat(10_000)}G1 X5\n${'{{/}}\n'.repeat(10_000)}`,
    ],
    [
      '10,000 nested sections with a command in each',
      `${'{{# heat.bed.first }}\nG1 X5\n'.repeat(10_000)}${'{{/}}\n'.repeat(10_000)}`,
    ],
    ['10,000 nested sections in one line', `${'{{# heat.bed.first }}G1 X5 '.repeat(10_000)}${'{{/}}'.repeat(10_000)}`],
    ['10,000 nested sections round words', `G1 ${'{{# heat.bed.first }}X5 '.repeat(10_000)}${'{{/}}'.repeat(10_000)}`],
    ['10,000 sections that are never closed', '{{# heat.bed.first }}\nG1 X5\n'.repeat(10_000)],
    ['10,000 closing tags', '{{/}}\n'.repeat(10_000)],
    ['10,000 either-ors', '{{# heat.bed.first }}\nG1 X5\n{{/}}\n{{^ heat.bed.first }}\nG1 X6\n{{/}}\n'.repeat(10_000)],
    ['{{ 100,000 times', '{{'.repeat(100_000)],
    ['{{ 100,000 times on lines', 'G1 X{{\n'.repeat(100_000)],
    ['}} 100,000 times', '}}'.repeat(100_000)],
    ['10,000 different placeholders', Array.from({ length: 10_000 }, (_, i) => `G1 X{{ name${i} }}`).join('\n')],
  ])('%s: comes to an end', { timeout: 60_000 }, (_, text) => {
    const a = run(text);
    for (const { rule, span } of a.findings) {
      expect(rule).not.toBe('rule-failed');
      if (span.end > text.length || span.start > span.end) throw new Error(`${rule} lies outside the text`);
    }
    expect(a.findings.length).toBeLessThan(20_000);
  });
});
