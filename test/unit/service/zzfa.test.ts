import { it } from 'vitest';
import { vocabularyFor } from '../../../server/src/machine/vocabulary.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { ROLES } from '../../../server/src/syntax/role.ts';
import { applyEdits } from '../../../server/src/text/edit.ts';
import { MACHINES } from '../analyze/machines.ts';
import { randomOf } from '../analyze/random.ts';
import { sequence } from '../analyze/sequences.ts';
const IDS = ['fan-left-on','wait-without-target','heat-left-on','not-awaited'];
it('mine', () => {
  let n = 0; const bad: string[] = []; const stop = Date.now() + 90_000; let seed = Number(process.env.BOOKEND_FIRST ?? 0); const first = seed;
  for (; Date.now() < stop; seed++) {
    const random = randomOf(seed);
    const machine = MACHINES[seed % MACHINES.length] ?? null;
    const role = seed % 2 ? 'start' : 'end'; random.pick(ROLES);
    const vocabulary = vocabularyFor(machine);
    const text = sequence(random, vocabulary, role);
    const before = analyze(text, role, machine, vocabulary);
    const count = (a: typeof before, r: string) => a.findings.filter((f) => f.rule === r).length;
    for (const finding of before.findings) {
      if (!IDS.includes(finding.rule)) continue;
      const fix = RULES.find((r) => r.id === finding.rule)?.fix?.(before, finding).find((f) => f.safe);
      if (!fix) continue;
      n++;
      const b = analyze(applyEdits(text, fix.edits), role, machine, vocabulary);
      const head = `${finding.rule} ${fix.title} seed ${seed} ${role} ${machine?.name}`;
      if (count(b, finding.rule) >= count(before, finding.rule)) bad.push(`STAYS ${head}\n${b.tree.text}`);
      for (const r of new Set(b.findings.map((f) => f.rule))) if (count(b, r) > count(before, r) && !before.open.some((o) => o.rule === r)) bad.push(`ADDS ${r} ${b.findings.filter((f) => f.rule === r).map((f) => f.message).join('/')}: ${head}\n${b.tree.text}`);
    }
  }
  console.log(seed - first, n, bad.length, bad.slice(0, 4).join('\n=====\n'));
}, 0);
