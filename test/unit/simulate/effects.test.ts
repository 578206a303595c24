import { describe, expect, it } from 'vitest';
import { exact } from '../../../server/src/placeholders/bounds.ts';
import { machinePosition } from '../../../server/src/simulate/motion.ts';
import { end, heat, PLOVER, place, run, runRole, show, THREE_TOOLS } from './support.ts';

// Where no source is named, what is checked is common practice, no source.

describe('distance modes and units (NISTIR 6556 3.5.17 and 3.5.10)', () => {
  it.each([
    ['G1 X10 Y5\nG1 X20', '20 5 0'],
    ['G1 X10\nG91\nG1 X5 Y-2', '15 -2 0'],
    ['G91\nG1 X5\nG90\nG1 X1', '1 0 0'],
    ['G20\nG1 X1 Z2', '25.4 0 50.8'],
    ['G20\nG91\nG1 X1\nG21\nG1 X1', '26.4 0 0'],
    ['G1 X10\nX20 Y3', '20 3 0'],
    ['G1 X', '0 0 0'],
  ])('%j ends at %s', (lines, wanted) => {
    expect(place(end(lines))).toBe(wanted);
  });

  it('E has a mode of its own; where the machine file says so, G90 and G91 govern it too', () => {
    expect(show(end('M83\nG1 E5\nG1 E5').at.e)).toBe('10');
    expect(show(end('M82\nG1 E5\nG1 E7').at.e)).toBe('7');
    expect(end('M83\nG90').relativeE).toBe(true);
    const governs = { ...PLOVER, controller: { ...PLOVER.controller, distanceGovernsE: true } };
    expect(end('M83\nG90', { machine: governs }).relativeE).toBe(false);
    expect(end('G91', { machine: governs }).relativeE).toBe(true);
  });

  it('in a mode that is not known both readings hold', () => {
    expect(
      show(end('G1 X10', { begin: { relative: null, at: { x: exact(5), y: null, z: null, e: null } } }).at.x),
    ).toBe('10..15');
  });

  it('where branches differ in units, a length lies between mm and inches', () => {
    const trace = run('{{# heat.bed.first > 50 }}\nG20\n{{/}}\n{{^ heat.bed.first > 50 }}\nG21\n{{/}}\nG1 X2');
    expect(trace.end.inches).toBeNull();
    expect(show(trace.end.at.x)).toBe('2..50.8');
    // Units that nobody has stated count as mm: what a printer has after power-on.
    expect(show(runRole('G90\nG1 X2', 'start').end.at.x)).toBe('2');
  });
});

describe('offsets (NISTIR 6556 3.5.18 and 3.5.13)', () => {
  it('G92 changes what is read, not where the nozzle is', () => {
    const state = end('G1 X10 Y10\nG92 X0\nG1 X5');
    expect(place(state)).toBe('5 10 0');
    expect(show(machinePosition(state).x)).toBe('15');
  });
  it('G92 without words sets all axes to zero; G92.1 undoes it', () => {
    expect(place(end('G1 X10 Y20\nG92'))).toBe('0 0 0');
    expect(place(end('G1 X10 Y20\nG92\nG92.1'))).toBe('10 20 0');
  });
  it('G92 counts in the units in force', () => {
    expect(show(end('G20\nG92 X1').at.x)).toBe('25.4');
  });
  it('a work offset that G10 L2 sets holds when it is picked, at once if it is in force', () => {
    expect(place(end('G10 L2 P2 X10\nG1 X5\nG55'))).toBe('-5 0 0');
    expect(show(end('G10 L2 P1 X10').at.x)).toBe('-10');
    expect(show(machinePosition(end('G10 L2 P2 X10\nG55\nG1 X0')).x)).toBe('10');
    expect(place(end('G10 L2 P77 X10'))).toBe('0 0 0');
  });
  it('a work offset that is not known leaves readings unknown, E apart', () => {
    const state = end('G10 L2 P{{ tool.number + heat.bed.first }} X10');
    expect(place(state)).toBe('? ? ?');
    expect(show(state.at.e)).toBe('0');
    expect(show(end('G10 L2 P{{ tool.number + heat.bed.first }} X10\nG55\nG1 X3').at.x)).toBe('3');
    expect(machinePosition(end('G10 L2 P{{ tool.number + heat.bed.first }} X10\nG55\nG1 X3')).x).toBeNull();
  });
  it('an E that is not known does not get lost further when a work offset is picked', () => {
    expect(
      show(end('G92 E0\nG1 E5\nG10 L2 P1 X3', { begin: { at: { x: null, y: null, z: null, e: null } } }).at.e),
    ).toBe('5');
  });
  it('G53 takes machine coordinates for one line', () => {
    const machine = { ...PLOVER, controller: { ...PLOVER.controller, commandsPerLine: 'many' as const } };
    const state = end('G92 X100\nG53 G1 X5\nG1 X106', { machine });
    expect(show(machinePosition(state).x)).toBe('6');
  });
});

describe('homing', () => {
  it('goes to the machine’s home, all axes or those named; values are ignored', () => {
    expect(place(end('G28'))).toBe('-5 205 1');
    expect(place(end('G1 X50 Y50 Z50\nG28 X'))).toBe('-5 50 50');
    expect(place(end('G1 X50 Y50 Z50\nG28 X0 Z5'))).toBe('-5 50 1');
  });
  it('makes the position known, and takes G92 back', () => {
    const before = runRole('G28 Z', 'start').end;
    expect(before.homed).toEqual({ x: false, y: false, z: true });
    expect(place(before)).toBe('? ? 1');
    expect(show(end('G92 X50\nG28').offset.x)).toBe('0');
  });
  it('without a machine the axes are homed at an unknown place', () => {
    const state = runRole('G28', 'start', null).end;
    expect(state.homed).toEqual({ x: true, y: true, z: true });
    expect(place(state)).toBe('? ? ?');
  });
  it('probing keeps axes homed, somewhere unknown', () => {
    const state = end('G29');
    expect(state.homed.x).toBe(true);
    expect(place(state)).toBe('? ? ?');
  });
});

describe('motors', () => {
  it('let go, all or one, their axes no longer count as homed', () => {
    expect(end('M84').homed).toEqual({ x: false, y: false, z: false });
    expect(end('M84').motors).toBe(false);
    expect(end('M18 X').homed).toEqual({ x: false, y: true, z: true });
  });
  it('S only sets after how long', () => {
    expect(end('M84 S30').homed.x).toBe(true);
  });
  it('homing and M17 switch them on', () => {
    expect(end('M84\nG28').motors).toBe(true);
    expect(end('M84\nM17').motors).toBe(true);
    expect(end('M84\nM17').homed.x).toBe(false);
  });
});

describe('heat', () => {
  const nozzle = (lines: string): string => heat(end(lines).nozzles[0]);
  it.each([
    ['', '0 true 5..45'],
    ['M104 S200', '200 false 5..200'],
    ['M109 S200', '200 true 200'],
    ['M104 S200\nM109', '200 true 200'],
    ['M104 S200\nM116', '200 true 200'],
    ['M109 S200\nM104 S180', '180 true 180..200'],
    ['M109 S200\nM104 S220', '220 false 200..220'],
    ['M109 S200\nM104 S0', '0 true 0..200'],
    ['M104 S200\nM104 S190', '190 false 5..200'],
    ['M109 R180', '180 true 180'],
    // "1 / 0" is no number: what is set is not known, and nothing stays as it was.
    ['M109 S200\nM104 S{{ 1 / 0 }}', '? null ?'],
    ['M109 S{{ 1 / 0 }}', '? true ?'],
    ['M109 S{{ heat.nozzle.first }}', '170..280 true 170..280'],
    // Higher or lower than before: depends on the job.
    ['M109 S{{ heat.nozzle.first }}\nM104 S{{ heat.nozzle.later }}', '170..280 null 170..280'],
    ['M104 S{{ heat.bed.first }}', '0..110 null 0..110'],
    ['M109 S120\nM104 S{{ heat.bed.first }}', '0..110 true 0..120'],
  ])('%j: target, awaited and reached are %s', (lines, wanted) => {
    expect(nozzle(lines)).toBe(wanted);
  });

  it('bed and chamber have heaters of their own', () => {
    const state = end('M140 S60\nM191 S40');
    expect(heat(state.bed)).toBe('60 false 5..60');
    expect(heat(state.chamber)).toBe('40 true 40');
    // Not every controller waits for cooling.
    expect(heat(end('M190 S60\nM190 S40').bed)).toBe('40 true 40..60');
    expect(heat(state.nozzles[0])).toBe('0 true 5..45');
    expect(heat(end('M140 S60\nM190 S60').bed)).toBe('60 true 60');
  });

  it('of several nozzles the one that T names, else that of the tool in use, else any', () => {
    const targets = (lines: string): string[] =>
      end(lines, { machine: THREE_TOOLS }).nozzles.map((n) => show(n.target));
    expect(targets('M104 S200 T1')).toEqual(['0', '200', '0']);
    expect(targets('T2\nM104 S200')).toEqual(['0', '0', '200']);
    expect(targets('M104 S200')).toEqual(['0..200', '0..200', '0..200']);
    expect(targets('T0\nM104 S200 T{{ tool.number }}')).toEqual(['0..200', '0..200', '0..200']);
    expect(targets('T0\nM104 S200 T{{ 1 / 0 }}')).toEqual(['0..200', '0..200', '0..200']);
  });
});

describe('tools, fan, factors, cold extrusion, stop', () => {
  it('T picks a tool; which one is not known where a job decides', () => {
    expect(end('T2', { machine: THREE_TOOLS }).tool).toBe(2);
    expect(end('T{{ tool.next }}', { machine: THREE_TOOLS }).tool).toBeNull();
    expect(end('T{{ tool.next }}', { machine: THREE_TOOLS, job: { 'tool.next': 1 } }).tool).toBe(1);
  });
  it('M106 and M107', () => {
    expect(end('M106').fan).toBe(true);
    expect(end('M106 S0').fan).toBe(false);
    expect(end('M106\nM107').fan).toBe(false);
    expect(end('M106 S{{ heat.bed.first }}').fan).toBeNull();
  });
  it('M220 and M221 are factors', () => {
    expect(show(end('M220 S50').speedFactor)).toBe('0.5');
    expect(show(end('M221 S93').flowFactor)).toBe('0.93');
    expect(end('M220 S{{ 1 / 0 }}').speedFactor).toBeNull();
    expect(show(end('M220').speedFactor)).toBe('1');
  });
  it('M302 allows and forbids cold extrusion; without words it only reports', () => {
    expect(end('M302 S0').coldAllowed).toBe(true);
    expect(end('M302 P1').coldAllowed).toBe(true);
    expect(end('M302 P1\nM302 P0').coldAllowed).toBe(false);
    expect(end('M302 P1\nM302 S170').coldAllowed).toBe(false);
    expect(end('M302 P1\nM302').coldAllowed).toBe(true);
    expect(end('M302 P1\nM302 S{{ 1 / 0 }}').coldAllowed).toBeNull();
    expect(end('M302 P1\nM302 P{{ 1 / 0 }}').coldAllowed).toBeNull();
  });
  it('nothing runs after M2', () => {
    const trace = run('M2\nG1 X10\nM104 S200');
    expect(trace.steps).toHaveLength(1);
    expect(place(trace.end)).toBe('0 0 0');
    expect(trace.end.stopped).toBe(true);
  });
  it('where only some jobs stop, the rest runs in the others, and both ends are held', () => {
    const trace = run('{{# heat.bed.first > 50 }}\nM2\n{{/}}\nG1 X10');
    expect(trace.end.stopped).toBeNull();
    expect(show(trace.end.at.x)).toBe('0..10');
    expect(trace.steps.at(-1)?.certain).toBe(false);
  });
  it('behind a stop of all jobs that were left nothing runs', () => {
    const trace = run('{{# heat.bed.first > 50 }}M112{{/}}\nM2\nG1 X10');
    expect(trace.end.stopped).toBe(true);
    expect(trace.steps.map(({ command }) => command.code)).toEqual(['M112', 'M2']);
    const inside = run('{{# heat.bed.first > 50 }}M2\n{{/}}{{# part.top > 9 }}M0 M2 G1 X10{{/}}\nM400');
    expect(inside.steps.map(({ command }) => command.code)).not.toContain('G1');
    expect(inside.end.stopped).toBeNull();
  });
  it('G4 takes P in the controller’s unit and S in seconds', () => {
    // Nobody has said in which unit: both are followed.
    expect(show(run('G4 P500').totals.seconds)).toBe('0.5..500');
    const ms = { ...PLOVER, controller: { ...PLOVER.controller, dwell: 'ms' as const } };
    expect(show(run('G4 P500', { machine: ms }).totals.seconds)).toBe('0.5');
    expect(show(run('G4 S2').totals.seconds)).toBe('2');
    const seconds = { ...PLOVER, controller: { ...PLOVER.controller, dwell: 's' as const } };
    expect(show(run('G4 P2', { machine: seconds }).totals.seconds)).toBe('2');
  });
});

describe('filament pulled back and pushed', () => {
  const pushed = (lines: string): string[] =>
    run(lines)
      .steps.flatMap((s) => s.move ?? [])
      .map((m) => show(m.pushed));
  it('what was pulled back is made good before any leaves the nozzle', () => {
    expect(pushed('M83\nG1 E-3\nG1 E2\nG1 E4')).toEqual(['0', '0', '3']);
    expect(show(end('M83\nG1 E-3\nG1 E-2').retracted)).toBe('5');
    expect(show(end('M83\nG1 E-3\nG1 E10').retracted)).toBe('0');
  });
  it('G92 E0 pushes nothing; absolute E counts from the last', () => {
    expect(pushed('G1 E5\nG92 E0\nG1 E5')).toEqual(['5', '5']);
    expect(pushed('G1 E5\nG1 E5')).toEqual(['5', '0']);
  });
  it('G10 pulls back by an unknown length, G11 makes it good', () => {
    expect(end('G10').retracted).toBeNull();
    expect(show(end('G10\nG11').retracted)).toBe('0');
  });
  it('sums: pushed less pulled back', () => {
    expect(
      show(
        run('M83\nG1 X10 E5\nG1 E-2\nG1 X20\nG1 E{{ layer.first }}', { job: { 'layer.first': 0.2 } }).totals.filament,
      ),
    ).toBe('3.2');
    const { totals } = run('M83\nG1 X10 E5\nG1 X30\nG1 E-2\nG1 Y5');
    expect(show(totals.extruding)).toBe('10');
    expect(show(totals.travel)).toBe('25');
    expect(totals.extruded).toMatchObject({ x: { lo: 0, hi: 10 }, y: { lo: 0, hi: 0 } });
    expect(totals.extent).toMatchObject({ x: { lo: 0, hi: 30 }, y: { lo: 0, hi: 5 } });
    expect(totals.moves).toBe(4);
  });
});

describe('named commands, as a machine file declares their effects', () => {
  it('move-to goes to machine coordinates on the axes it names', () => {
    const trace = run('G92 X50\nG1 Y7\nNEST');
    expect(show(machinePosition(trace.end).x)).toBe('100');
    expect(place(trace.end)).toBe('150 7 40');
    expect(trace.steps.at(-1)?.move).toMatchObject({ kind: 'line', moves: { x: true, y: false, z: true } });
  });
  it('extrude pushes its length', () => {
    const trace = run('M83\nG1 E-3\nSPURT');
    expect(show(trace.steps.at(-1)?.move?.pushed ?? null)).toBe('5');
    expect(show(trace.end.retracted)).toBe('0');
    expect(show(trace.totals.filament)).toBe('5');
  });
  it('several effects run in order, with the command’s own words', () => {
    const state = end('G1 X50\nSET_FORTH WARM=215');
    expect(place(state)).toBe('-5 205 1');
    expect(heat(state.nozzles[0])).toBe('215 true 215');
  });
  it('one without effects changes nothing; one that nobody declared could do anything', () => {
    expect(place(end('G1 X5\nSHRUG'))).toBe('5 0 0');
    const state = end('G1 X5\nSURPRISE');
    expect(place(state)).toBe('? ? ?');
    expect([state.homed.x, state.fan, state.relative, state.plane, state.tool]).toEqual([null, null, null, null, null]);
    expect(heat(state.bed)).toBe('? null ?');
    expect(place(end('G1 X5\nM9999'))).toBe('5 0 0');
  });
});

describe('beginnings', () => {
  it('a start is cold, unhomed, in unknown modes', () => {
    const { start } = runRole('', 'start');
    expect(start.homed).toEqual({ x: false, y: false, z: false });
    expect([start.relative, start.relativeE, start.inches]).toEqual([null, null, null]);
    expect(heat(start.nozzles[0])).toBe('0 true 5..45');
    expect(place(start)).toBe('? ? ?');
  });
  it('an end is over the part, hot and homed', () => {
    const { start } = runRole('', 'end');
    expect(start.homed.x).toBe(true);
    expect(place(start)).toMatch(/^0\.\.193 0\.\.207 0\.\d+\.\.243$/);
    expect(heat(start.nozzles[0])).toBe('170..280 true 170..280');
    expect([start.relative, start.inches]).toEqual([false, false]);
  });
  it('a program begins as after power-on', () => {
    const { start } = runRole('', 'program');
    expect([start.relative, start.relativeE, start.inches, start.coldAllowed]).toEqual([false, false, false, false]);
    expect(start.homed.x).toBe(false);
  });
});
