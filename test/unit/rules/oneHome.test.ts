import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { OF_A_PART } from '../../../server/src/check/part.ts';
import { SUSPECTS } from '../../../server/src/program/suspect.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import { pageOf } from '../../../server/src/rules/pages/all.ts';
import type { Rule } from '../../../server/src/rules/rule.ts';
import { type Analysis, analyze } from '../../../server/src/service/analyze.ts';
import { exampleMachine } from '../../../server/src/service/exampleMachine.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

// What a rule needs of a text, and when the scan of finished programs must look closer for it, the rule itself declares.

const SERVER = new URL('../../../server/', import.meta.url);

const analysisOf = (rule: Rule): Analysis => {
  const { bad, otherwise } = pageOf(rule);
  const { machine } = exampleMachine(otherwise);
  return analyze(bad.text, bad.role, machine, vocabularyFor(machine));
};

describe('one home per rule', () => {
  it.each(RULES.map((rule) => [rule.id, rule] as const))('%s declares what it needs of a text', (_, rule) => {
    expect(['spelling', 'line', 'whole']).toContain(rule.scope);
    // What is counted by the numbers of one move, or by the way one line is written, needs no other line.
    if (rule.ofMove) expect(rule.scope).toBe('line');
    if (rule.once) expect(rule.scope).toBe('whole');
    expect(OF_A_PART.includes(rule)).toBe(rule.awaitsRest !== true);
  });

  it('the scan of finished programs names no rule by its id', () => {
    const ids = new Set(RULES.map(({ id }) => id));
    const files = ['src/program', 'kernel'].flatMap((folder) =>
      readdirSync(new URL(`${folder}/`, SERVER))
        .filter((name) => name.endsWith('.ts'))
        .map((name) => `${folder}/${name}`),
    );
    expect(files.length).toBeGreaterThan(20);
    const named = files.flatMap((path) =>
      [...readFileSync(new URL(path, SERVER), 'utf8').matchAll(/(['"])([a-z]+(?:-[a-z0-9]+)+)\1/g)].flatMap(
        ([, , word = '']) => (ids.has(word) ? [`${path}: ${word}`] : []),
      ),
    );
    expect(named).toEqual([]);
  });

  it('what is judged by how a line is written says it of lines that do nothing', () => {
    const spelling = RULES.filter(({ scope }) => scope === 'spelling');
    expect(spelling.length).toBeGreaterThan(3);
    for (const rule of spelling) {
      const view = analysisOf(rule);
      const told: string[] = [];
      const still = { ...view.trace, steps: [], settings: [] };
      rule.check({ ...view, trace: still }, ({ span }) => told.push(`${span.start} ${span.end}`));
      const own = view.findings.filter((finding) => finding.rule === rule.id && finding.when === null);
      expect(told, rule.id).toEqual(own.map(({ span }) => `${span.start} ${span.end}`));
      expect(told.length, rule.id).toBeGreaterThan(0);
    }
  });

  it.each(RULES.filter(({ ofMove }) => ofMove).map((rule) => [rule.id, rule] as const))(
    '%s counts by the numbers of a move what it tells of it',
    (id, rule) => {
      expect(SUSPECTS).toContain(id);
      const view = analysisOf(rule);
      // Moves whose every fact is exact, as the scan of a finished program knows them.
      let counted = 0;
      for (const { command, move, before, after } of view.trace.steps) {
        if (!move || move.kind === 'home' || command.node.named) continue;
        const all = [move.to.x, move.to.y, move.to.z, move.from.x, move.from.y, move.from.z, move.pushed, move.length];
        if (all.some((known) => !known || known.lo !== known.hi) && !move.arcFault) continue;
        counted +=
          rule.ofMove?.says(move, {
            machine: view.machine,
            namesF: command.words.some(({ key }) => key === 'F'),
            feed: after.feed?.lo ?? Number.NaN,
            retractedBefore: before.retracted?.lo ?? 0,
            retractedAfter: after.retracted?.lo ?? 0,
          }) ?? 0;
      }
      expect(counted).toBe(view.findings.filter((finding) => finding.rule === id).length);
      expect(counted).toBeGreaterThan(0);
    },
  );
});
