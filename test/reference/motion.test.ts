import { describe, expect, it } from 'vitest';
import { analyze } from '../../server/src/service/analyze.ts';
import { filamentArea } from '../../server/src/simulate/bead.ts';
import { machinePosition } from '../../server/src/simulate/motion.ts';
import { moveSeconds } from '../../server/src/simulate/time.ts';
import type { Trace } from '../../server/src/simulate/trace.ts';
import { vocabularyFor } from '../../server/src/vocabulary/vocabulary.ts';
import { atZero, CASES, machine, RS274, row, runLines } from './support.ts';

const close = (actual: number | undefined | null, wanted: number, tolerance: number): void => {
  expect(actual).not.toBeNull();
  expect(actual).not.toBeUndefined();
  expect(Math.abs((actual as number) - wanted)).toBeLessThanOrEqual(Math.max(tolerance, 1e-9));
};
const lastMove = (trace: Trace) => {
  const move = trace.steps.filter((s) => s.move).at(-1)?.move;
  if (!move) throw new Error('no move was made');
  return move;
};
const AXES = ['x', 'y', 'z'] as const;

describe('arcs and helices, against the figures of NISTIR 6556 3.5.3 and plane geometry', () => {
  const arcs = CASES.filter((c) => /^(nist-3\.5\.3|nist-table10|ext-|helix-)/.test(c.id));
  it('has all its rows', () => expect(arcs.length).toBe(11));
  it.each(arcs.map((c) => [c.id, c] as const))('%s', (_, c) => {
    // Bracket expressions belong to the standard's own language; the row allows X0 in their place.
    const lines = c.input.lines.map((l: string) => l.replace('X[6-[4*3/2]]', 'X0'));
    const trace = runLines(lines);
    const move = lastMove(trace);
    const end = machinePosition(trace.end);
    const wanted = Array.isArray(c.expect.end)
      ? Object.fromEntries(AXES.map((a, i) => [a, c.expect.end[i]]))
      : c.expect.end;
    for (const axis of AXES) if (wanted[axis] !== undefined) close(end[axis]?.lo, wanted[axis], c.tolerance);
    expect(move.arcFault).toBeNull();
    if (c.expect.centre) {
      const centre = Array.isArray(c.expect.centre) ? c.expect.centre : Object.values(c.expect.centre);
      close(move.arc?.centre[0], centre[0], c.tolerance);
      close(move.arc?.centre[1], centre[1], c.tolerance);
    }
    if (c.expect.radius) close(move.arc?.radius, c.expect.radius, c.tolerance);
    if (c.expect.sweep_deg) close(Math.abs(move.arc?.sweep ?? 0) * (180 / Math.PI), c.expect.sweep_deg, c.tolerance);
    if (c.expect.direction) expect(Math.sign(move.arc?.sweep ?? 0)).toBe(c.expect.direction === 'cw' ? -1 : 1);
    if (c.expect.length) close(move.length?.lo, c.expect.length, c.tolerance);
    if (c.expect.time_s) close(move.seconds?.lo, c.expect.time_s, c.tolerance);
    for (const [axis, [lo, hi]] of Object.entries<[number, number]>(c.expect.extents ?? {})) {
      close(move.extent[axis as 'x']?.lo, lo, c.tolerance);
      close(move.extent[axis as 'x']?.hi, hi, c.tolerance);
    }
  });
});

describe('offsets, modes and units, against NISTIR 6556', () => {
  const offsets = CASES.filter((c) => /^nist-g(92|92\.1|10|53)-/.test(c.id) && c.id.indexOf('err') < 0).concat(
    row('nist-g92.1-cancel'),
  );
  it.each([...new Set(offsets)].map((c) => [c.id, c] as const))('%s', (_, c) => {
    const trace = runLines(c.input.lines);
    const machineAt = machinePosition(trace.end);
    const named = (v: unknown): Record<string, number> =>
      Array.isArray(v) ? Object.fromEntries(v.map((n, i) => [AXES[i], n])) : ((v ?? {}) as Record<string, number>);
    for (const [axis, n] of Object.entries(named(c.expect.program)))
      close(trace.end.at[axis as 'x']?.lo, n, c.tolerance);
    for (const [axis, n] of Object.entries(named(c.expect.machine))) close(machineAt[axis as 'x']?.lo, n, c.tolerance);
    for (const [axis, n] of Object.entries(named(c.expect.offset)))
      close(trace.end.offset[axis as 'x']?.lo, n, c.tolerance);
  });

  it('nist-3.3-whitespace: the standard’s reading, with a finding since printing controllers stop at the blank', () => {
    const c = row('nist-3.3-whitespace');
    const trace = runLines(c.input.lines);
    AXES.forEach((axis, i) => {
      close(machinePosition(trace.end)[axis]?.lo, c.expect.end[i], c.tolerance);
    });
    const found = analyze(c.input.lines.join('\n'), 'program', RS274, vocabularyFor(RS274)).findings;
    expect(found.map((f) => f.rule)).toContain('bad-number');
  });

  it('nist-3.3.7-modal-motion', () => {
    const c = row('nist-3.3.7-modal-motion');
    const trace = runLines(c.input.lines);
    expect(trace.totals.moves).toBe(c.expect.moves);
    expect(trace.end.motion).toBe(c.expect.motion);
    close(machinePosition(trace.end).x?.lo, c.expect.end[0], c.tolerance);
  });

  it('units-g20-g21', () => {
    const c = row('units-g20-g21');
    const end = machinePosition(runLines(c.input.lines).end);
    AXES.forEach((axis, i) => {
      close(end[axis]?.lo, c.expect.end_mm[i], c.tolerance);
    });
  });

  it('units-feed-inch', () => {
    const c = row('units-feed-inch');
    const move = lastMove(runLines(c.input.lines));
    close(move.feed?.lo, c.expect.feed_mm_min, c.tolerance);
    close(move.seconds?.lo, c.expect.time_s, c.tolerance);
  });
});

describe('where printing practice differs from RS-274 (common practice, no source)', () => {
  it('nist-g28-via-point: axis letters of G28 choose the axes, values are ignored, no way point is visited', () => {
    const c = row('nist-g28-via-point');
    const trace = runLines(c.input.lines, machine({ name: 'm', bed: RS274.bed as object, home: { x: 0, y: 0, z: 0 } }));
    const end = machinePosition(trace.end);
    expect([end.x?.lo, end.y?.lo, end.z?.lo]).toEqual([5, 5, 0]);
  });
  it('nist-g28-bare: all axes go home, as in the standard', () => {
    const c = row('nist-g28-bare');
    const end = machinePosition(
      runLines(c.input.lines, machine({ name: 'm', bed: RS274.bed as object, home: { x: 0, y: 0, z: 0 } })).end,
    );
    expect([end.x?.lo, end.y?.lo, end.z?.lo]).toEqual(c.expect.end);
  });
  it('nist-dwell: P counts seconds where the machine file says so, as in the standard, else milliseconds', () => {
    const c = row('nist-dwell');
    close(runLines(c.input.lines).totals.seconds?.lo, c.expect.time_s, c.tolerance);
    const ms = machine({ name: 'm', bed: RS274.bed as object });
    close(runLines(c.input.lines, ms).totals.seconds?.lo, c.expect.time_s / 1000, c.tolerance);
  });
  it('nist-err-g92-bare: an error in the standard, all axes zero in practice', () => {
    const trace = runLines(['G0 X5 Y6 Z7', ...row('nist-err-g92-bare').input.lines]);
    expect([trace.end.at.x, trace.end.at.y, trace.end.at.z]).toEqual([0, 0, 0].map((n) => ({ lo: n, hi: n })));
    expect(machinePosition(trace.end).x).toEqual({ lo: 5, hi: 5 });
  });
});

describe('time', () => {
  it.each(['time-trapezoid', 'time-triangle', 'time-boundary', 'time-long-travel'])(
    '%s: uniform acceleration (Lynch and Park, ch. 9)',
    (id) => {
      const c = row(id);
      close(moveSeconds(c.input.distance_mm, c.input.speed_mm_s, c.input.accel_mm_s2), c.expect.time_s, c.tolerance);
    },
  );
  it.each(['time-no-accel', 'time-e-does-not-count', 'time-e-only'])('%s', (id) => {
    const c = row(id);
    const move = lastMove(runLines(c.input.lines, RS274, atZero(RS274)));
    close(move.seconds?.lo, c.expect.time_s, c.tolerance);
    if (c.expect.length) close(move.length?.lo, c.expect.length, c.tolerance);
    if (c.expect.e_speed_mm_s) close((move.e?.lo ?? 0) / (move.seconds?.lo ?? 1), c.expect.e_speed_mm_s, c.tolerance);
  });
  it('nist-inverse-time', () => {
    const c = row('nist-inverse-time');
    close(lastMove(runLines(c.input.lines)).seconds?.lo, c.expect.time_s, c.tolerance);
  });
});

describe('filament', () => {
  it.each(['area-1.75', 'area-2.85', 'area-3.0'])('%s', (id) => {
    const c = row(id);
    close(filamentArea(c.input.filament_diameter_mm), c.expect.area_mm2, c.tolerance);
  });
  it.each(['flow-e-only', 'flow-line', 'flow-line-2.85'])('%s: volume and flow follow from the trace', (id) => {
    const c = row(id);
    const move = lastMove(runLines(c.input.lines, RS274, atZero(RS274, { relativeE: true })));
    const volume = filamentArea(c.input.filament_diameter_mm) * (move.pushed?.lo ?? 0);
    close(volume, c.expect.volume_mm3, c.tolerance * 10);
    close(volume / (move.seconds?.lo ?? 1), c.expect.flow_mm3_s, c.tolerance * 10);
  });
});
