import { describe, expect, it } from 'vitest';
import type { Edit } from '../../../server/src/rules/rule.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { fixesOf } from '../../../server/src/service/fixes.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { fixtureMachine } from './support.ts';

const EGRET = fixtureMachine('egret');
const VOCABULARY = vocabularyFor(EGRET);
const look = (text: string, role: Role) => analyze(text, role, EGRET, VOCABULARY);

const applied = (text: string, edits: readonly Edit[]): string =>
  [...edits].reverse().reduce((t, { span, text: by }) => t.slice(0, span.start) + by + t.slice(span.end), text);

const START = 'G21\nG90\nM83\nG28\nM109 S210\n';
const END = 'G21\nG90\nM83\n';
const OFF = '\nM104 S0\nM140 S0\nM107\nM84\n';

/** Rule, role, text, title of the fix, and a line or two of what it makes. */
const FIXES: readonly (readonly [string, Role, string, string, string])[] = [
  ['not-homed', 'pause', 'M117 wait\nM84\nM0\n', 'Take this line out', 'M117 wait\nM0\n'],
  [
    'e-mode-left',
    'pause',
    'M83\nG1 E-1.7 F1740\nM0\n',
    'Add M82 at the end: the job counts E in places',
    'G1 E-1.7 F1740\nM0\nM82\n',
  ],
  ['e-mode-left', 'pause', 'M83\nG1 E-1.7 F1740\n', 'Add M83 at the end: the job counts E in steps', '\nM83\n'],
  [
    'drag-over-part',
    'end',
    `${END}G1 Z10 F600${OFF}`,
    'Lift by 10 mm: wrap it in G91 and G90',
    'G91\nG1 Z10 F600\nG90\n',
  ],
  [
    'drag-over-part',
    'end',
    `${END}G1 Z10 F600${OFF}`,
    'Lift above the part: Z{{ min(part.top + 5, reach.top) }}',
    'G1 Z{{ min(part.top + 5, reach.top) }} F600\n',
  ],
  [
    'drag-over-part',
    'end',
    `${END}G1 X203 Y17 F6600${OFF}`,
    'Lift first: G1 Z{{ min(part.top + 5, reach.top) }} F600',
    'G1 Z{{ min(part.top + 5, reach.top) }} F600\nG1 X203 Y17 F6600\n',
  ],
  [
    'drag-over-part',
    'end',
    `${END}G28${OFF}`,
    'Lift, and home X and Y only',
    'G1 Z{{ min(part.top + 5, reach.top) }} F600\nG28 X Y\n',
  ],
  ['modes-left', 'start', `${START}G91\nG1 Z5 F600\n`, 'Add G90 at the end', 'G1 Z5 F600\nG90\n'],
  ['modes-left', 'start', START.replace('G21\n', ''), 'Add G21 at the top', 'G21\nG90\n'],
  [
    'off-bed',
    'start',
    `${START}G1 Z0.3 F600\nG1 X71 Y26 F5700\nG1 X{{ part.left - 5 }} E6.4 F1140\n`,
    'Keep it on the bed: max(part.left - 5, bed.left + 2)',
    '{{ max(part.left - 5, bed.left + 2) }}',
  ],
  [
    'low-approach',
    'start',
    `${START}G1 Z0.3 F600\nG1 X60 F6000\n`,
    'Go there at Z5, and come down behind it',
    'G1 Z5 F600\nG1 X60 F6000\nG1 Z0.3 F600\n',
  ],
  ['no-feed', 'start', `${START}G1 X60\n`, 'Set a slow speed above this line (F600, 10 mm/s)', 'G1 F600\nG1 X60\n'],
  ['feed-mm-s', 'start', `${START}G1 X60 F100\n`, 'Write F6000', 'G1 X60 F6000\n'],
  ['feed-too-fast', 'start', `${START}G1 Z5 F6000\n`, 'Write F720', 'G1 Z5 F720\n'],
  ['offset-left', 'start', `${START}G1 X9 F6000\nG92 X0\n`, 'Add G92.1 at the end', 'G92 X0\nG92.1\n'],
  ['offset-left', 'end', `${END}G55${OFF}`, 'Add G54 at the end', 'M84\nG54\n'],
  ['e-mode-unset', 'start', `${START.replace('M83\n', '')}G1 E5 F200\n`, 'Add M83: E is a step', 'M83\nG1 E5 F200\n'],
  ['e-not-zeroed', 'end', `${END.replace('M83', 'M82')}G1 E-1.7 F1740${OFF}`, 'Add G92 E0', 'G92 E0\nG1 E-1.7 F1740\n'],
  [
    'e-not-reset',
    'start',
    `${START.replace('M83', 'M82\nG92 E0')}G1 X60 E5 F900\n`,
    'Add G92 E0 at the end',
    'F900\nG92 E0\n',
  ],
  ['unretract-missing', 'start', `${START}G1 E-4 F1800\n`, 'Add G1 E4 F1800 at the end', 'G1 E-4 F1800\nG1 E4 F1800\n'],
  ['flow-too-high', 'start', `${START}G1 E9 F600\n`, 'Slow down to F299', 'G1 E9 F299\n'],
];

describe('fixes of rules about motion and extrusion', () => {
  it.each(FIXES)('%s in %s: %j: %s', (rule, role, text, title, makes) => {
    const before = look(text, role);
    const finding = before.findings.find((f) => f.rule === rule);
    if (!finding) throw new Error(`not found in ${JSON.stringify(before.findings)}`);
    const fix = fixesOf(before, finding).find((f) => f.title === title);
    if (!fix)
      throw new Error(
        `only ${
          fixesOf(before, finding)
            .map((f) => f.title)
            .join(' | ') || 'none'
        }`,
      );
    const mended = applied(text, fix.edits);
    expect(mended).toContain(makes);
    const after = look(mended, role);
    const left = after.findings.filter((f) => f.rule === rule);
    expect(left.length, JSON.stringify(left)).toBeLessThan(before.findings.filter((f) => f.rule === rule).length);
    if (fix.safe) {
      const told = new Set(before.findings.map((f) => f.rule));
      expect(after.findings.filter((f) => !told.has(f.rule))).toEqual([]);
    }
  });

  it('within a job the mode and the count of E belong to the job: no fix', () => {
    const a = look('G1 E-1.7 F1740\nM82\nG1 E-1.7 F1740\n', 'layer');
    const found = a.findings.filter((f) => f.rule === 'e-mode-unset' || f.rule === 'e-not-zeroed');
    expect(found.map((f) => f.rule)).toContain('e-mode-unset');
    for (const finding of found) expect(fixesOf(a, finding)).toEqual([]);
  });
});
