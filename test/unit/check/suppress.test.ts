import { describe, expect, it } from 'vitest';
import { analysed } from '../service/support.ts';

const HEAD = 'G21\nG90\nG28\nM140 S60\nM104 S200\nM190 S60\nM109 S200\n';
const on = (text: string) => analysed(HEAD + text);
const rules = (text: string) => on(text).findings.map(({ rule }) => rule);
const messages = (text: string) =>
  on(text)
    .findings.filter(({ rule }) => rule === 'unused-ignore')
    .map(({ message, severity }) => `${severity}: ${message}`);

// X 300 is past the 250 that this machine reaches.
describe('comments that switch a rule off', () => {
  it.each([
    ['on its own line', 'G1 X300 F6000 ; bookend-ignore beyond-reach: a longer axis\n'],
    ['in brackets', 'G1 X300 F6000 (bookend-ignore beyond-reach: a longer axis)\n'],
    ['on the next line', '; bookend-ignore-next-line beyond-reach: a longer axis\nG1 X300 F6000\n'],
    ['over blank lines and comments', '; bookend-ignore-next-line beyond-reach: why\n\n; out\nG1 X300 F6000\n'],
    ['in the whole text', 'G1 X300 F6000\nG1 X310\n; bookend-ignore-file beyond-reach: a longer axis\n'],
    ['several at once', 'G1 X300 Y300 Q1 F6000 ; bookend-ignore unknown-word, beyond-reach: tried out\n'],
    ['in a tag comment', '{{! bookend-ignore-next-line beyond-reach: why }}\nG1 X300 F6000\n'],
    ['without a colon', 'G1 X300 F6000 ; bookend-ignore beyond-reach a longer axis\n'],
  ])('%s', (_, text) => {
    const { findings, ignored, verdict } = on(text);
    expect(findings.filter(({ rule }) => rule === 'beyond-reach' || rule === 'unused-ignore')).toEqual([]);
    expect(ignored.map(({ rule }) => rule)).toContain('beyond-reach');
    // What the text does is as it was: the rule fails.
    expect(verdict.fails).toBeGreaterThan(0);
  });

  it('other lines and other rules count', () => {
    expect(rules('G1 X300 F6000 ; bookend-ignore beyond-reach: why\nG1 X310\n')).toContain('beyond-reach');
    expect(rules('; bookend-ignore-next-line beyond-reach: why\nG1 X10 F6000\nG1 X310\n')).toEqual(
      expect.arrayContaining(['unused-ignore', 'beyond-reach']),
    );
    expect(rules('G1 X300 F6000 ; bookend-ignore off-bed: why\n')).toEqual(
      expect.arrayContaining(['beyond-reach', 'unused-ignore']),
    );
  });

  it('a comment that switches nothing off is told', () => {
    expect(messages('G1 X10 F6000 ; bookend-ignore beyond-reach: why\n')).toEqual([
      'warning: beyond-reach finds nothing on that line any more, so there is nothing to ignore. Take this out.',
    ]);
    expect(messages('; bookend-ignore-file beyond-reach: why\n')[0]).toContain('in this text');
    expect(messages('G1 X300 F6000 ; bookend-ignore\n')[0]).toContain('names no rule');
    expect(messages('G1 X300 F6000 ; bookend-ignore beyond-reech: why\n')[0]).toContain('Did you mean beyond-reach?');
    expect(messages('G1 X300 F6000 ; bookend-ignore beyond-reach\n')[0]).toMatch(/^hint: Say why/);
    expect(messages('{{! bookend-ignore-next-line beyond-reach }}\nG1 X300 F6000\n')[0]).toMatch(/^hint: Say why/);
  });

  it('what only looks like one is none', () => {
    expect(messages('M117 bookend-ignore beyond-reach\n; bookend-ignored\n; rebookend-ignore-nextish x\n')).toEqual([]);
  });
});
