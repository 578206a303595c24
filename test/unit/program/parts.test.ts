import { describe, expect, it } from 'vitest';
import { checkProgram } from '../../../server/src/program/checkProgram.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { machineOf } from '../analyze/machines.ts';

// The start and the end that stand inside a finished program: judged as sequences, in the state that holds there.

const PLOVER = machineOf({
  name: 'Plover 204',
  bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
  reach: { shape: 'rectangle', left: -3, right: 211, front: -2, back: 193, bottom: 0, top: 226 },
});

const START = 'G21\nG90\nM83\nM190 S57\nM109 S206\nG28\nG1 X31 Y41 Z0.3 F4100\n';
const LINE = Array.from({ length: 30 }, (_, i) => `G1 X${68 - (i % 2) * 37} Y${41 + i} E1.3\n`).join('');

function partsOf(body: string, end: string, start = START) {
  const check = checkProgram(PLOVER, vocabularyFor(PLOVER));
  check.push(new TextEncoder().encode(`${start}${LINE}${body}G1 X33 Y77 E0.9\n${end}`));
  const { start: first, end: last } = check.end();
  const said = (part: typeof first) => part?.findings?.map(({ rule, line }) => `${line} ${rule}`) ?? [];
  return { first, last, start: said(first), end: said(last) };
}

const OFF = 'M104 S0\nM140 S0\nM107\nM84\n';

describe('the end inside a program', () => {
  it('moves on from the place, in the mode that the program left', () => {
    // Line 39 is the first behind the last plastic; absolute, Z 230 is past the top, a step of 230 as well.
    expect(partsOf('', `G1 Z229\n${OFF}`).end).toContain('39 beyond-reach');
    // A step of 5 from 0.3 lifts; the same words in absolute mode go to Z 5.
    expect(partsOf('G91\n', `G1 Z5\nG90\nG1 Y188\n${OFF}`).end.join()).not.toContain('drag-over-part');
    // 20 to the left of X 33 stays within reach as a step, where an end by itself would not know where it is.
    expect(partsOf('', `G91\nG1 Z5\nG1 X-40\nG90\n${OFF}`).end).toContain('41 beyond-reach');
  });

  it('counts in the units and with the heaters that the program left', () => {
    const inches = partsOf('G1 Z9\n', `G20\nG1 Z8.9\nG21\n${OFF}`).end;
    expect(inches.some((one) => one.endsWith('beyond-reach'))).toBe(true);
    expect(partsOf('M140 S0\n', 'M104 S0\nM107\nM84\n').end).not.toContain('heat-left-on');
    expect(partsOf('', 'M104 S0\nM107\nM84\n').end.join()).toContain('heat-left-on');
  });

  it('says nothing of modes that the program has stated, and nothing of its comments', () => {
    const { end } = partsOf('', `G1 E-2 F2400 ; bookend-ignore off-bed: meant for the whole\n${OFF}`);
    expect(end.join()).not.toMatch(/e-mode-unset|e-not-zeroed|unused-ignore/);
  });
});

describe('the start inside a program', () => {
  it('begins as a start does, and its findings stand at their lines and bytes', () => {
    const cold = START.replace('M109 S206\n', '; wärmer\nM104 S206\n');
    const { first, start } = partsOf('', OFF, cold);
    expect(start).toContain('6 not-awaited');
    const found = first?.findings?.find(({ rule }) => rule === 'not-awaited');
    // ä takes two bytes.
    expect(found?.offset).toBe(Buffer.byteLength(cold.slice(0, cold.indexOf('M104'))));
  });
});
