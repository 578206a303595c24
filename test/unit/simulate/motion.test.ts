import { describe, expect, it } from 'vitest';
import type { Move } from '../../../server/src/simulate/state.ts';
import { moveSeconds, moveTime } from '../../../server/src/simulate/time.ts';
import { machineOf } from '../analyze/machines.ts';
import { PLOVER, run, type Setting, show } from './support.ts';

function move(lines: string, setting?: Setting): Move {
  const found = run(lines, setting)
    .steps.flatMap((s) => s.move ?? [])
    .at(-1);
  if (!found) throw new Error(`no move in ${lines}`);
  return found;
}
const BED = { shape: 'rectangle', left: 0, right: 300, front: 0, back: 300 };
const limited = machineOf({ name: 'Slow', bed: BED, speed: { x: 100, y: 50, z: 5, e: 20 } });

describe('lines', () => {
  it('have length, extent and speed', () => {
    const m = move('G1 X3 Y4 F600');
    expect(show(m.length)).toBe('5');
    expect([show(m.extent.x), show(m.extent.y), show(m.extent.z)]).toEqual(['0..3', '0..4', '0']);
    expect(show(m.feed)).toBe('600');
    expect(show(m.seconds)).toBe('0.5');
    expect(m.moves).toEqual({ x: true, y: true, z: false });
  });
  it('a move that goes nowhere moves no axis', () => {
    expect(move('G1 X5\nG1 X5 F600').moves).toEqual({ x: false, y: false, z: false });
  });
  it('from an unknown place the end alone is known, and the move counts as unplaced', () => {
    const trace = run('G1 X5 F600', { begin: { at: { x: null, y: null, z: null, e: null } } });
    expect(show(trace.steps[0]?.move?.extent.x ?? null)).toBe('5');
    expect(trace.steps[0]?.move?.length).toBeNull();
    expect(trace.totals.unplaced).toBe(1);
    expect(run('G1 X5 F600').totals.unplaced).toBe(0);
  });
  it('hold every job', () => {
    const m = move('G1 X10\nG1 X{{ part.left }} Y{{ layer.first }} F1200');
    // The part is 3 mm wide at least, so its left side stays as far from the bed's right edge.
    expect(show(m.extent.x)).toBe('0..190');
    expect(show(m.to.x)).toBe('0..190');
    expect(m.length?.hi).toBeGreaterThan(179);
  });
});

describe('arcs (NISTIR 6556 3.5.3; extents by plane geometry)', () => {
  it('a full circle without words for its end moves both axes and has the extent of the circle', () => {
    const m = move('G1 X50 Y50\nG2 I10 J0');
    expect(m.moves).toEqual({ x: true, y: true, z: false });
    expect([show(m.extent.x), show(m.extent.y)]).toEqual(['50..70', '40..60']);
    expect(m.length?.lo).toBeCloseTo(2 * Math.PI * 10, 9);
    expect(run('G1 X50 Y50\nG2 I10 J0').totals.extent.x).toMatchObject({ hi: 70 });
  });
  it('in the plane in force', () => {
    const m = move('G18\nG3 X10 Z10 I10 K0');
    expect(m.arc?.plane).toBe('zx');
    expect(m.moves).toEqual({ x: true, y: false, z: true });
    const h = move('G19\nG2 Y10 Z10 J10 K0 X4');
    expect(h.arc?.plane).toBe('yz');
    expect(show(h.extent.x)).toBe('0..4');
  });
  it.each([
    ['G2 X10', 'no centre and no radius'],
    ['G2 X10 R4', 'too small'],
    ['G2 R10', 'could be anywhere'],
    ['G2 X10 R0', 'more than 0'],
    ['G2 X10 R5 I5', 'not both'],
    ['G2 X10 I0 J0', 'no radius'],
    ['G2 X10 I3', 'does not lie on the arc'],
  ])('%s cannot be run: %s', (line, why) => {
    expect(move(line).arcFault).toContain(why);
    expect(move(line).arc).toBeNull();
  });
  it('an arc of which something is open has an extent that holds every arc that it could be', () => {
    const centre = move('G1 X50 Y50\nG2 X60 Y50 I{{ layer.first * 10 }} J0');
    expect(centre.arc).toBeNull();
    expect(centre.extent.x?.lo).toBeLessThanOrEqual(50);
    expect(centre.extent.x?.hi).toBeGreaterThanOrEqual(60);
    // An end that no arc reaches counts too: the job in which it is an error moves somewhere as well.
    expect(move('G1 X50 Y50\nG2 X{{ part.right }} Y50 I5').extent.x).toMatchObject({ lo: 3, hi: 193 });
    const radius = move('G1 X50 Y50\nG2 X60 Y50 R{{ 5 + layer.first }}');
    expect(radius.extent.y?.hi).toBeGreaterThan(60);
    expect(move('G2 X60 Y50 R{{ 1 / 0 }}').extent.x).toBeNull();
    expect(move('G2 X60 Y50 I{{ 1 / 0 }}').extent.x).toBeNull();
  });
  it('where the plane is not known nothing is said of the path', () => {
    expect(move('G2 X10 I5', { begin: { plane: null } }).extent).toEqual({ x: null, y: null, z: null });
  });
});

describe('speed and time', () => {
  it('F holds until the next one, in the units of its line', () => {
    expect(show(move('G1 X1 F600\nG1 X2').feed)).toBe('600');
    expect(move('G20\nG1 X1 F10').feed?.lo).toBeCloseTo(254, 9);
    expect(move('G1 X5').feed).toBeNull();
    expect(move('G1 X5').seconds).toBeNull();
  });
  it('the slowest axis slows the whole move', () => {
    expect(show(move('G1 X30 F12000', { machine: limited }).feed)).toBe('6000');
    expect(show(move('G1 Y30 F12000', { machine: limited }).feed)).toBe('3000');
    // 3-4-5: Y makes 4/5 of the path, so 50 mm/s along Y are 62.5 along the path.
    expect(show(move('G1 X30 Y40 F12000', { machine: limited }).feed)).toBe('3750');
    expect(show(move('G1 E10 F12000', { machine: limited }).feed)).toBe('1200');
    // 10 mm of filament over 1 mm of path: 20 mm/s of filament are 2 mm/s of path.
    expect(show(move('M83\nG1 X1 E10 F12000', { machine: limited }).feed)).toBe('120');
  });
  it('M220 counts', () => {
    expect(show(move('M220 S50\nG1 X10 F600').seconds)).toBe('2');
    expect(move('M220 S{{ 1 / 0 }}\nG1 X10 F600').seconds).toBeNull();
  });
  it('G93 counts moves a minute (NISTIR 6556 3.5.19)', () => {
    expect(show(move('G93\nG1 X10 F2').seconds)).toBe('30');
    expect(move('G93\nG1 X10 F2\nG1 X20').seconds).toBeNull();
    expect(move('G93\nG94\nG1 X10').seconds).toBeNull();
  });
  it('longer takes longer, faster takes less (Lynch and Park, ch. 9: uniform acceleration)', () => {
    const lengths = [0, 0.1, 1, 5, 20, 100, 500];
    const speeds = [1, 10, 50, 100, 300];
    for (const a of [null, 100, 1500])
      for (const v of speeds)
        for (const d of lengths) {
          const t = moveSeconds(d, v, a);
          for (const longer of lengths) if (longer > d) expect(moveSeconds(longer, v, a)).toBeGreaterThan(t);
          for (const faster of speeds) if (faster > v) expect(moveSeconds(d, faster, a)).toBeLessThanOrEqual(t);
        }
  });
  it('time over bounds runs from the shortest and fastest to the longest and slowest', () => {
    expect(moveTime({ lo: 10, hi: 20 }, { lo: 5, hi: 10 }, null)).toEqual({ lo: 1, hi: 4 });
    expect(moveTime(null, { lo: 5, hi: 10 }, null)).toBeNull();
    expect(moveTime({ lo: 10, hi: 20 }, { lo: 0, hi: 10 }, null)).toBeNull();
  });
  it('a move that may stand still while filament moves takes the time of either', () => {
    const m = move('M83\nG1 X{{ layer.first - layer.first }} E30 F600', { machine: PLOVER });
    expect(m.seconds?.hi).toBeGreaterThanOrEqual(3);
  });
});

describe('hottest', () => {
  it('is the highest target that was set, and in some jobs only where only some set it', () => {
    expect(show(run('M104 S200\nM104 S180').totals.hottest.nozzle)).toBe('200');
    expect(show(run('M104 S200\n{{# heat.bed.first > 50 }}\nM104 S240\n{{/}}').totals.hottest.nozzle)).toBe('200..240');
    expect(show(run('M140 S60\nM140 S0').totals.hottest.bed)).toBe('60');
  });
});
