import { describe, expect, it } from 'vitest';
import { CASES, found, row } from './support.ts';

/** Which rule reports each error of NISTIR 6556. */
const RULE: Record<string, string> = {
  'nist-err-dup-word': 'duplicate-word',
  'nist-err-same-group-motion': 'two-commands',
  'nist-err-same-group-distance': 'two-commands',
  'nist-err-same-group-m': 'two-commands',
  'nist-err-group0-and-1-axes': 'two-commands',
  'nist-err-nested-comment': 'stray-text',
  'nist-err-unclosed-comment': 'stray-text',
  'nist-err-g53-with-g2': 'bad-arc',
  'nist-err-arc-r-same-end': 'bad-arc',
  'nist-err-arc-centre-mismatch': 'bad-arc',
  'nist-err-g80-with-axis': 'unknown-word',
  'nist-err-g93-no-f': 'missing-word',
  'nist-err-g4-negative': 'bad-number',
  'nist-err-arc-no-ij': 'bad-arc',
  'nist-err-line-number': 'bad-number',
  'nist-err-line-length': 'long-line',
  'nist-arc-tolerance-mm-0.0021': 'bad-arc',
};

describe('the errors of NISTIR 6556 are found, by the rule named here', () => {
  const errors = CASES.filter((c) => c.expect.error === true && c.input.lines);
  it.each(errors.map((c) => [c.id, c] as const))('%s', (id, c) => {
    // G92 without axes is an error in the standard and usual in printing: see the practice rows of the motion tests.
    if (id === 'nist-err-g92-bare') {
      expect(found(c.input.lines).filter((f) => f.rule !== 'not-homed')).toEqual([]);
      return;
    }
    expect(RULE[id], `no rule is named for ${id}`).toBeDefined();
    expect(found(c.input.lines)).toContainEqual({ rule: RULE[id], line: c.expect.line ?? c.input.lines.length });
  });

  it.each(['nist-arc-tolerance-mm-0.0019', 'nist-arc-tolerance-inch-0.00019'])('%s is no error', (id) => {
    expect(found(row(id).input.lines).filter((f) => f.rule === 'bad-arc')).toEqual([]);
  });
});
