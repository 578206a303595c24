import { describe, expect, it } from 'vitest';
import { vocabularyFor } from '../../../server/src/machine/vocabulary.ts';
import type { Finding, Fix } from '../../../server/src/rules/rule.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { fixAll, safeFixes } from '../../../server/src/service/fixAll.ts';
import { ROLES } from '../../../server/src/syntax/role.ts';
import { applyEdits } from '../../../server/src/text/edit.ts';
import { MACHINES } from '../analyze/machines.ts';
import { randomOf } from '../analyze/random.ts';
import { sequence } from '../analyze/sequences.ts';

const counts = (findings: readonly Finding[]): Map<string, number> => {
  const found = new Map<string, number>();
  for (const { rule } of findings) found.set(rule, (found.get(rule) ?? 0) + 1);
  return found;
};

const touch = (a: Fix, b: Fix): boolean =>
  a.edits.some((x) => b.edits.some((y) => x.span.start < y.span.end && y.span.start < x.span.end));

describe('fixing everything that may be fixed unseen', () => {
  it('adds no finding of any rule, on random sequences; most lone fixes neither, and each ends its own', () => {
    let fixed = 0;
    let alone = 0;
    for (let seed = 0; seed < 250; seed++) {
      const random = randomOf(seed);
      const machine = MACHINES[seed % MACHINES.length] ?? null;
      const role = random.pick(ROLES);
      const vocabulary = vocabularyFor(machine);
      const text = sequence(random, vocabulary, role);
      const again = (changed: string) => analyze(changed, role, machine, vocabulary);
      const before = again(text);
      const after = fixAll(before, again);
      fixed += after.fixed.length;
      const now = counts(again(after.text).findings);
      const then = counts(before.findings);
      for (const [rule, count] of now)
        expect(count, `${rule} in seed ${seed}, ${role}\n${text}\n---\n${after.text}`).toBeLessThanOrEqual(
          then.get(rule) ?? 0,
        );
      if (after.fixed.length === 0) expect(after.text).toBe(text);
      for (const { finding, fix } of safeFixes(before)) {
        const changed = again(applyEdits(text, fix.edits));
        const left = counts(changed.findings).get(finding.rule) ?? 0;
        if (left < (then.get(finding.rule) ?? 0)) alone++;
        else
          expect.fail(
            `${finding.rule} is still there: ${finding.message}\n${fix.title}\n${text}\n---\n${changed.tree.text}`,
          );
      }
    }
    expect(fixed).toBeGreaterThan(50);
    expect(alone).toBeGreaterThan(50);
  });

  it('of two that overlap one is made', () => {
    const random = randomOf(7);
    for (let seed = 0; seed < 60; seed++) {
      const vocabulary = vocabularyFor(null);
      const a = analyze(sequence(random, vocabulary, 'start'), 'start', null, vocabulary);
      const { fixed } = fixAll(a, () => a);
      for (const [i, one] of fixed.entries())
        for (const other of fixed.slice(i + 1)) expect(touch(one.fix, other.fix)).toBe(false);
    }
  });
});
