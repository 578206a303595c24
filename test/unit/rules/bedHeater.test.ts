import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { findingsOn } from './support.ts';

const machineWith = (bed: object) =>
  readMachine(
    JSON.stringify({
      name: 'Sanderling 204',
      bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
      reach: { shape: 'rectangle', left: 0, right: 209, front: 0, back: 193, bottom: 0, top: 226 },
      heat: { nozzle: { max: 251 }, bed },
    }),
  ).machine;

const COLD = machineWith({ heater: false });
const END = 'M104 S0\nM107\nM83\nG1 E-2 F1700\nM84\n';

const told = (text: string, role: Role, machine = COLD) =>
  findingsOn(text, role, machine).filter(({ severity }) => severity === 'error' || severity === 'warning');

describe('a bed without a heater', () => {
  it('is never left on, and no job asks for its heat', () => {
    expect(told(END, 'end')).toEqual([]);
    expect(vocabularyFor(COLD).names.get('heat.bed.first')?.range).toEqual({ lo: 0, hi: 0 });
    expect(told(END, 'end', machineWith({})).map(({ rule }) => rule)).toEqual(['heat-left-on']);
  });

  it('is named where a text heats it all the same', () => {
    const [found, ...others] = told('G21\nG90\nG28\nM190 S55\nM109 S205\n', 'start');
    expect(found?.rule).toBe('too-hot');
    expect(found?.message).toBe(
      'Sanderling 204 has no bed heater, as its machine file says, so this does nothing there, or is refused. Remove it, or correct heat.bed in the machine file.',
    );
    expect(others).toEqual([]);
  });

  it('may be switched off', () => expect(told(`M140 S0\n${END}`, 'end')).toEqual([]));
});
