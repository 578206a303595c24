import { describe, expect, it } from 'vitest';
import { areasAround, aside } from '../../../server/src/geometry/aside.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';

const box = { left: -14, right: -2, front: 6, back: 118 };
const read = (areas: readonly object[]) =>
  readMachine(
    JSON.stringify({ name: 'Ruff', bed: { shape: 'rectangle', left: 0, right: 191, front: 0, back: 177 }, areas }),
  );
const { machine } = read([
  { name: 'strip', ...box, may: ['push', 'touch'] },
  { name: 'wiper', ...box, front: 118, back: 140, top: 5, may: ['touch'] },
]);
const at = (x: readonly [number, number], y: readonly [number, number], z: readonly [number, number] | null) => ({
  x: { lo: x[0], hi: x[1] },
  y: { lo: y[0], hi: y[1] },
  z: z && { lo: z[0], hi: z[1] },
});
const still = (place: ReturnType<typeof at>) => ({ from: place, to: place, extent: place });

describe('areas beside the print', () => {
  it('hold what lies in them whole, its faces included; heights that are not stated do not count', () => {
    expect(aside(machine, 'push', still(at([-14, -2], [6, 118], null)))).toBe('all');
    expect(aside(machine, 'push', still(at([-9, -9], [60, 60], [0.4, 0.4])))).toBe('all');
    expect(aside(machine, 'touch', still(at([-9, -9], [130, 130], [6, 6])))).toBe('none');
    expect(aside(machine, 'touch', still(at([-9, -9], [130, 130], [5, 5])))).toBe('all');
  });
  it('tell pushing from touching', () => {
    expect(aside(machine, 'push', still(at([-9, -9], [130, 130], [2, 2])))).toBe('none');
  });
  it('a place that is inside in some jobs only is inside in some', () => {
    expect(aside(machine, 'push', still(at([-9, 4], [60, 60], [1, 1])))).toBe('some');
    expect(aside(machine, 'push', still(at([1, 4], [60, 60], [1, 1])))).toBe('none');
  });
  it('a way that is the same in all jobs is inside in all of them or in none', () => {
    const [from, to] = [at([-9, -9], [60, 60], [1, 1]), at([20, 20], [60, 60], [1, 1])];
    expect(aside(machine, 'push', { from, to, extent: at([-9, 20], [60, 60], [1, 1]) })).toBe('none');
  });
  it('are named for a place', () => {
    expect(areasAround(machine, at([-9, -9], [118, 118], [2, 2]))).toEqual(['strip', 'wiper']);
    expect(areasAround(null, at([0, 0], [0, 0], null))).toEqual([]);
  });
  it('whose sides stand the wrong way round are told, and left out', () => {
    const { machine, problems } = read([
      { name: 'a', ...box, left: 3, may: ['push'] },
      { name: 'b', ...box, bottom: 4, top: 2, may: ['push'] },
      { name: 'c', ...box, may: ['wipe'] },
      { name: 'd', ...box, may: ['push'] },
    ]);
    expect(machine?.areas.map(({ name }) => name)).toEqual(['d']);
    expect(problems.map(({ message }) => message.split(' ', 1)[0])).toEqual([
      'areas.0.right',
      'areas.1.top',
      'areas.2.may.0',
    ]);
  });
});
