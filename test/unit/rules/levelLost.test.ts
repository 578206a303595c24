import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { fixesOf } from '../../../server/src/service/fixes.ts';
import { analysed } from '../service/support.ts';

const TEXT = 'G21\nG90\nG28\nG29\nG28 Z\nM109 S{{ heat.nozzle.first }}\n';

/** The finding's message and its fixes, on an invented machine with these commands of its own. */
function told(commands: readonly object[]) {
  const { machine } = readMachine(
    JSON.stringify({
      name: 'Gannet 204',
      bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
      commands,
    }),
  );
  const a = analysed(TEXT, 'start', machine);
  const finding = a.findings.find(({ rule }) => rule === 'level-lost');
  return { message: finding?.message ?? '', titles: finding ? fixesOf(a, finding).map(({ title }) => title) : [] };
}

describe('a bed that is measured, and then homed again', () => {
  it('M420 is offered where the machine file names it', () => {
    const { message, titles } = told([{ name: 'M420', meaning: 'Evens out.', words: [{ key: 'S', meaning: 'on' }] }]);
    expect(message).toContain('or add M420 S1 below');
    expect(titles).toEqual(['Measure after homing', 'Add M420 S1 to use the measure again']);
  });

  it('and nowhere else, since only some controllers have it', () => {
    const { message, titles } = told([{ name: 'even-out', meaning: 'Evens out.' }]);
    expect(message).toMatch(/Home before measuring\.$/);
    expect(titles).toEqual(['Measure after homing']);
  });
});
