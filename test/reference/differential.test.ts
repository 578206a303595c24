import Toolpath from 'gcode-toolpath';
import { describe, expect, it } from 'vitest';
import { isExact } from '../../server/src/placeholders/bounds.ts';
import { machinePosition } from '../../server/src/simulate/motion.ts';
import type { Trace } from '../../server/src/simulate/trace.ts';
import { type Random, randomOf } from '../unit/analyze/random.ts';
import { runLines } from './support.ts';

// Second opinion: gcode-toolpath 3 (npm, MIT). It keeps end points, units, distance modes, planes and G92 by itself, and
// gives each arc's centre; the extents of its arcs are sampled here. One G code a line, since it reads no more. It adds
// the G92 shift to the wrong axes of an arc outside the XY plane, so that G92 and G18/G19 come in different programs.

const PROGRAMS = 300;
const LINES = 40;
const CLOSE = 0.01; // mm
const AXES = ['x', 'y', 'z'] as const;
type Point = { x: number; y: number; z: number };
type Box = Record<'x' | 'y' | 'z', [number, number]>;

/** What both sides say of a program: where each motion line ends, and the hull of all paths. Machine coordinates, mm. */
interface Seen {
  readonly ends: readonly Point[];
  readonly extent: Box;
}

const PLANE_AXES: Record<string, readonly ['x' | 'y' | 'z', 'x' | 'y' | 'z', 'x' | 'y' | 'z']> = {
  G17: ['x', 'y', 'z'],
  G18: ['z', 'x', 'y'],
  G19: ['y', 'z', 'x'],
};

function theirs(text: string): Seen {
  const ends: Point[] = [];
  const extent: Box = { x: [0, 0], y: [0, 0], z: [0, 0] };
  const see = (p: Point): void => {
    for (const a of AXES) extent[a] = [Math.min(extent[a][0], p[a]), Math.max(extent[a][1], p[a])];
  };
  const toolpath = new Toolpath({
    addLine: (_, from, to) => {
      see(from);
      see(to);
      ends.push({ ...to });
    },
    // x, y, z are the plane's first, second and third axis here.
    addArcCurve: ({ motion, plane }, from, to, centre) => {
      const [a, b, c] = PLANE_AXES[plane] ?? (['x', 'y', 'z'] as const);
      const place = (first: number, second: number, third: number): Point => {
        const p = { x: 0, y: 0, z: 0 };
        p[a] = first;
        p[b] = second;
        p[c] = third;
        return p;
      };
      const radius = Math.hypot(from.x - centre.x, from.y - centre.y);
      const start = Math.atan2(from.y - centre.y, from.x - centre.x);
      const turn = 2 * Math.PI;
      const direction = motion === 'G2' ? -1 : 1;
      const raw = direction * (Math.atan2(to.y - centre.y, to.x - centre.x) - start);
      const closed = Math.hypot(to.x - from.x, to.y - from.y) < 1e-9;
      const sweep = closed ? turn : ((raw % turn) + turn) % turn;
      const steps = 1500;
      for (let i = 0; i <= steps; i++) {
        const angle = start + (direction * sweep * i) / steps;
        const third = from.z + ((to.z - from.z) * i) / steps;
        see(place(centre.x + radius * Math.cos(angle), centre.y + radius * Math.sin(angle), third));
      }
      see(place(to.x, to.y, to.z));
      ends.push(place(to.x, to.y, to.z));
    },
  });
  toolpath.loadFromStringSync(text);
  return { ends, extent };
}

function ours(lines: readonly string[]): Seen {
  const trace: Trace = runLines(lines);
  const ends = trace.steps
    .filter((s) => s.move)
    .map((s) => {
      expect(s.move?.arcFault).toBeNull();
      const at = machinePosition(s.after);
      if (!isExact(at.x) || !isExact(at.y) || !isExact(at.z))
        throw new Error('an exact program ends somewhere unknown');
      return { x: at.x.lo, y: at.y.lo, z: at.z.lo };
    });
  const { extent } = trace.totals;
  const range = (axis: 'x' | 'y' | 'z'): [number, number] => [
    Math.min(0, extent[axis]?.lo ?? 0),
    Math.max(0, extent[axis]?.hi ?? 0),
  ];
  return { ends, extent: { x: range('x'), y: range('y'), z: range('z') } };
}

/** A program of lines, arcs in both forms, helices and full circles, over changing units, modes, planes and shifts. */
function program(random: Random): string[] {
  const lines: string[] = [];
  const at: Point = { x: 0, y: 0, z: 0 };
  const planes = random.chance(0.4);
  let unit = 1;
  let relative = false;
  let plane = PLANE_AXES.G17 as (typeof PLANE_AXES)[string];
  /** The word that brings an axis near `goal`, and the place where it then really is. */
  const to = (axis: 'x' | 'y' | 'z', goal: number): string => {
    const text = ((relative ? goal - at[axis] : goal) / unit).toFixed(5);
    at[axis] = Number(text) * unit + (relative ? at[axis] : 0);
    return `${axis.toUpperCase()}${text}`;
  };
  const near = (axis: 'x' | 'y' | 'z'): number =>
    Math.abs(at[axis]) > 250 ? random.decimal(-50, 50, 3) : at[axis] + random.decimal(-60, 60, 3);
  const arc = (code: 'G2' | 'G3'): string => {
    const [a, b, c] = plane;
    const rise = random.chance(0.3) ? ` ${to(c, near(c))}` : '';
    const radius = random.decimal(1, 40, 3);
    const from = random.decimal(0, 2 * Math.PI, 6);
    const centre = [at[a] - radius * Math.cos(from), at[b] - radius * Math.sin(from)] as const;
    const offset = { x: 'I', y: 'J', z: 'K' } as const;
    if (random.chance(0.35)) {
      // By radius: any end that the radius reaches, clear of the half turn, where rounding decides.
      const chord = random.decimal(0.1, 1.9, 4) * radius;
      const ends = [to(a, at[a] + chord * Math.cos(from)), to(b, at[b] + chord * Math.sin(from))];
      return `${code} ${ends.join(' ')}${rise} R${(((random.chance(0.5) ? 1 : -1) * radius) / unit).toFixed(5)}`;
    }
    const words = [
      `${offset[a]}${((centre[0] - at[a]) / unit).toFixed(5)}`,
      `${offset[b]}${((centre[1] - at[b]) / unit).toFixed(5)}`,
    ].join(' ');
    // A full circle, with and without words for its end. In G91 a word of 0 ends where it starts.
    if (random.chance(0.15))
      return `${code}${relative && random.chance(0.5) ? ` ${a.toUpperCase()}0` : ''}${rise} ${words}`;
    const until = from + random.decimal(0.05, 2 * Math.PI - 0.05, 6);
    const ends = [to(a, centre[0] + radius * Math.cos(until)), to(b, centre[1] + radius * Math.sin(until))];
    return `${code} ${ends.join(' ')}${rise} ${words}`;
  };
  for (let i = 0; i < LINES; i++) {
    const what = random.next();
    if (what < 0.08) {
      relative = random.chance(0.5);
      lines.push(relative ? 'G91' : 'G90');
    } else if (what < 0.14) {
      unit = random.chance(0.5) ? 25.4 : 1;
      lines.push(unit === 1 ? 'G21' : 'G20');
    } else if (what < 0.22 && planes) {
      const code = random.pick(['G17', 'G18', 'G19']);
      plane = PLANE_AXES[code] as typeof plane;
      lines.push(code);
    } else if (what < 0.22) {
      const chosen = AXES.filter(() => random.chance(0.5));
      if (chosen.length === 0 || random.chance(0.1)) continue;
      const words = chosen.map((axis) => {
        const text = random.decimal(-20, 20, 3).toFixed(3);
        at[axis] = Number(text) * unit;
        return `${axis.toUpperCase()}${text}`;
      });
      lines.push(`G92 ${words.join(' ')}`);
    } else if (what < 0.6) {
      const chosen = AXES.filter(() => random.chance(0.6));
      if (chosen.length > 0)
        lines.push(`${random.pick(['G0', 'G1'])} ${chosen.map((axis) => to(axis, near(axis))).join(' ')}`);
    } else lines.push(arc(random.pick(['G2', 'G3'])));
  }
  return lines;
}

function compare(lines: readonly string[], label: string): void {
  const mine = ours(lines);
  const other = theirs(lines.join('\n'));
  const where = `${label}\n${lines.join('\n')}`;
  if (mine.ends.length !== other.ends.length)
    throw new Error(`${mine.ends.length} moves, the other side has ${other.ends.length}: ${where}`);
  mine.ends.forEach((end, i) => {
    // NaN on either side must not pass.
    for (const axis of AXES)
      if (!(Math.abs(end[axis] - (other.ends[i]?.[axis] ?? Number.NaN)) <= CLOSE))
        throw new Error(`move ${i} ends at ${axis} ${end[axis]}, the other side at ${other.ends[i]?.[axis]}: ${where}`);
  });
  for (const axis of AXES)
    for (const side of [0, 1] as const)
      if (!(Math.abs(mine.extent[axis][side] - other.extent[axis][side]) <= CLOSE))
        throw new Error(`${axis} reaches ${mine.extent[axis]}, on the other side ${other.extent[axis]}: ${where}`);
}

describe('seeded random programs against gcode-toolpath 3', () => {
  it(`end points and extents agree within ${CLOSE} mm over ${PROGRAMS} programs`, () => {
    let moves = 0;
    let arcs = 0;
    for (let seed = 1; seed <= PROGRAMS; seed++) {
      const lines = program(randomOf(seed));
      moves += lines.filter((l) => /^G[0-3] /.test(l)).length;
      arcs += lines.filter((l) => /^G[23] /.test(l)).length;
      compare(lines, `seed ${seed}`);
    }
    // Not a comparison of empty texts.
    expect(moves).toBeGreaterThan(PROGRAMS * 20);
    expect(arcs).toBeGreaterThan(PROGRAMS * 10);
  });

  it('would see a wrong arc: the two sides differ where the direction of one arc does', () => {
    const lines = ['G1 X10 Y10', 'G2 X20 Y10 I5 J0'];
    const mine = ours(lines);
    const other = theirs('G1 X10 Y10\nG3 X20 Y10 I5 J0');
    expect(Math.abs(mine.extent.y[1] - other.extent.y[1])).toBeGreaterThan(1);
  });
});
