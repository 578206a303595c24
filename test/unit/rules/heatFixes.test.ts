import { describe, expect, it } from 'vitest';
import { analyze } from '../../../server/src/service/analyze.ts';
import { fixesOf } from '../../../server/src/service/fixes.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { applyEdits } from '../../../server/src/text/edit.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { fixtureMachine } from './support.ts';

/** The text after the first fix of a rule's first finding, and whether it may be applied without being looked at. */
function fixed(rule: string, role: Role, rows: string, machine: string): { text: string; safe: boolean } | null {
  const on = machine === 'none' ? null : fixtureMachine(machine);
  const a = analyze(rows.replaceAll('|', '\n'), role, on, vocabularyFor(on));
  const finding = a.findings.find((f) => f.rule === rule);
  if (!finding) throw new Error(`${rule} finds nothing in ${rows}`);
  const [fix] = fixesOf(a, finding);
  return fix ? { text: applyEdits(a.tree.text, fix.edits).replaceAll('\n', '|'), safe: fix.safe } : null;
}

const T = '{{ heat.nozzle.first }}';
const SAFE = true;
const LOOK = false;

describe('fixes of the rules about order and heat', () => {
  it.each([
    ['not-awaited', 'start', 'M83|G28|M104 S210|G1 E5', 'M83|G28|M104 S210|M109 S210|G1 E5', SAFE],
    ['not-awaited', 'start', `G28|M104 S${T} ; hot`, `G28|M104 S${T} ; hot|M109 S${T}`, SAFE],
    // With the fan on, the wait would be told in its turn.
    ['not-awaited', 'start', 'M106|G28|M104 S210', 'M106|G28|M104 S210|M109 S210', LOOK],
    // The bed comes before the nozzle.
    ['not-awaited', 'start', 'M140 S60|G28|M109 S210', 'M140 S60|G28|M190 S60|M109 S210', SAFE],
    // Of several numbers, which one holds depends on the job.
    ['not-awaited', 'start', 'M104 S210|{{# part.top > 9 }}|M104 S230|{{/}}|M83|G1 E5', null, LOOK],
    ['heat-left-on', 'end', 'M107|M104 S0|M84', 'M107|M104 S0|M140 S0|M84', SAFE],
    ['heat-left-on', 'end', 'M107|M104 S0|M2|M140 S0', 'M107|M104 S0|M140 S0|M2|M140 S0', SAFE],
    ['heat-left-on', 'end', 'M107|M140 S0|{{# part.top > 9 }}|M2|{{/}}|G4 S1', null, LOOK],
    ['heat-left-on', 'end', 'N1 M107|N2 M104 S0|N3 M84', 'N1 M107|N2 M104 S0|N3 M84|M140 S0', LOOK],
    ['fan-left-on', 'end', 'M104 S0|M140 S0|  M84', 'M104 S0|M140 S0|  M107|  M84', SAFE],
    [
      'too-hot',
      'start',
      `G28|M109 S{{ heat.nozzle.first + 40 }}`,
      'G28|M109 S{{ min(heat.nozzle.first + 40, 280) }}',
      LOOK,
    ],
    ['too-hot', 'start', 'G28|M109 S300', 'G28|M109 S280', LOOK],
    ['cold-extrusion', 'start', 'M83|G28|G1 E5|G4 S1', `M83|G28|M109 S${T}|G1 E5|G4 S1`, LOOK],
    ['cold-extrusion', 'start', 'G28|G4 S1', `G28|G4 S1|M109 S${T}`, LOOK],
    ['wait-without-target', 'start', 'G28|M190', 'G28|M190 S{{ heat.bed.first }}', LOOK],
    ['wait-without-target', 'end', 'M107|M109 S0|M140 S0', 'M107|M104 S0|M140 S0', SAFE],
    ['endless-wait', 'start', 'G28|M191 S50|M109 S210', 'G28|M109 S210', LOOK],
    ['level-before-home', 'start', 'G29|G28 ; home', 'G28 ; home|G29|', LOOK],
    ['level-before-home', 'start', 'G29|M109 S210', 'G28|G29|M109 S210', LOOK],
    ['level-lost', 'start', 'G28|G29|G28|M109 S210', 'G28|G28|G29|M109 S210', LOOK],
    ['cold-probing', 'start', 'G28|G29|M190 S60', 'G28|M190 S60|G29|', LOOK],
    ['hot-homing', 'start', 'M109 S210|G28|M117 x', 'G28|M109 S210|M117 x', LOOK],
    ['hot-homing', 'start', 'M109 S210|G1 Z5 F300|G28', null, LOOK],
    ['nozzle-hot-while-bed-warms', 'start', 'M109 S210|G28|M190 S60', 'G28|M190 S60|M109 S210', LOOK],
    ['nozzle-hot-while-bed-warms', 'start', 'M83|M109 S210|G1 E5|M190 S60', null, LOOK],
    ['goes-on-cold', 'pause', 'M104 S0|M0 wait', 'M104 S0|M0 wait|M109 S{{ heat.nozzle.later }}', LOOK],
    [
      'goes-on-cold',
      'pause',
      'M83|M104 S0|M0 wait|G1 E5',
      'M83|M104 S0|M0 wait|M109 S{{ heat.nozzle.later }}|G1 E5',
      LOOK,
    ],
    ['goes-on-cold', 'pause', 'M140 S0|M0 wait', 'M140 S0|M0 wait|M190 S{{ heat.bed.later }}', LOOK],
    // Numbered lines get none, but can be left out.
    ['goes-on-cold', 'pause', 'N1 M104 S0|N2 M0', 'N2 M0', LOOK],
    ['fan-while-heating', 'start', 'M106 S99|M109 S210|M107', 'M109 S210|M106 S99|M107', LOOK],
  ] as const)('%s, %s: %s', (rule, role, rows, text, safe) => {
    expect(fixed(rule, role, rows, 'egret')).toEqual(text === null ? null : { text, safe });
  });

  it('tool-not-picked: the job’s tool, before it is heated', () => {
    expect(fixed('tool-not-picked', 'start', 'M83|G28|M109 S210|G1 E5', 'twin')).toEqual({
      text: 'M83|G28|T{{ tool.number }}|M109 S210|G1 E5',
      safe: false,
    });
  });

  it('heat-left-on: each tool by its number', () => {
    expect(fixed('heat-left-on', 'end', 'M107|M104 S0|M140 S0|M141 S0', 'twin')).toEqual({
      text: 'M107|M104 S0|M140 S0|M141 S0|M104 S0 T0|M104 S0 T1',
      safe: true,
    });
  });

  it('nothing that the controller does not have', () => {
    const egret = fixtureMachine('egret');
    const machine = { ...egret, controller: { ...egret.controller, missing: ['M109', 'M140'] } };
    for (const [role, text] of [
      ['start', 'G28\nM104 S210\n'],
      ['end', 'M104 S0\nM107\n'],
    ] as const) {
      const a = analyze(text, role, machine, vocabularyFor(machine));
      const found = a.findings.filter((f) => f.rule === 'not-awaited' || f.rule === 'heat-left-on');
      expect(found.length).toBe(1);
      for (const f of found) expect(fixesOf(a, f)).toEqual([]);
    }
  });
});
