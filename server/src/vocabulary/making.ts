import type { Machine } from '../machine/machine.ts';
import type { Bounds } from '../placeholders/bounds.ts';
import type { Name } from '../placeholders/vocabulary.ts';
import { ANY, count, length, type More, number, round, upTo } from './nameParts.ts';

/** A value is 0 or at least this, where its range goes on above. */
export const gapBelow = (range: Bounds, least: number): More =>
  range.lo === 0 && range.hi > least ? { gap: { lo: 0, hi: least } } : {};

/** The four sides of what is printed: on the bed, some mm apart. `within`: what has its sides around these. */
export function sides(
  of: string,
  x: Bounds,
  y: Bounds,
  along: (range: Bounds, share: number) => number,
  what: string,
  within?: string,
): Name[] {
  const pair = (low: string, high: string, axis: string, range: Bounds): Name[] => {
    const apart = Math.min(ANY.part, range.hi - range.lo);
    return [
      length(
        `${of}.${low}`,
        { lo: range.lo, hi: range.hi - apart },
        along(range, 0.3),
        `Smallest ${axis} of ${what}.`,
        {
          atMost: `${of}.${high}`,
          atMostBy: apart,
          ...(within ? { atLeast: `${within}.${low}` } : {}),
        },
      ),
      length(
        `${of}.${high}`,
        { lo: range.lo + apart, hi: range.hi },
        along(range, 0.7),
        `Largest ${axis} of ${what}.`,
        {
          atLeast: `${of}.${low}`,
          atLeastBy: apart,
          ...(within ? { atMost: `${within}.${high}` } : {}),
        },
      ),
    ];
  };
  return [...pair('left', 'right', 'X', x), ...pair('front', 'back', 'Y', y)];
}

/** Names of what the job is and of how it is printed: most are written into a message, a comment or a setting. */
export function makingNames(machine: Machine | null, tool: Bounds): Name[] {
  const text = (name: string, sample: string, meaning: string): Name => ({
    name,
    kind: 'text',
    unit: '',
    range: null,
    sample,
    meaning,
  });
  const plain = (name: string, unit: string, range: Bounds, sample: number, meaning: string): Name =>
    number(name, 'number', unit, range, sample, meaning);
  const top = machine ? Math.min(machine.speed.x ?? ANY.speed.hi, machine.speed.y ?? ANY.speed.hi) : ANY.speed.hi;
  const speed = upTo(ANY.speed.lo, Math.min(ANY.speed.hi, top));
  const acceleration = upTo(ANY.acceleration.lo, machine?.acceleration ?? ANY.acceleration.hi);
  const hole = machine?.nozzle.diameter ?? 0.4;
  const width = { lo: round(hole * ANY.width.lo), hi: round(hole * ANY.width.hi) };
  return [
    text('job.name', 'bracket', 'Name of the job.'),
    text('job.file', 'bracket.gcode', 'Name of the file that the job is written to.'),
    text('job.date', '2031-05-14', 'Date on which the job file was made, as year-month-day.'),
    text('job.time', '14:07', 'Time of day at which the job file was made.'),
    plain('job.duration', 's', { lo: 10, hi: 2_592_000 }, 7200, 'Estimated time that the job takes.'),
    count('job.objects', { lo: 1, hi: 1000 }, 1, 'How many objects the job prints.'),
    length('filament.length', { lo: 1, hi: 2_000_000 }, 5400, 'Length of filament that the job uses, of all tools.'),
    plain('filament.mass', 'g', { lo: 0.01, hi: 6000 }, 16, 'Mass of filament that the job uses, of all tools.'),
    plain('speed.first', 'mm/s', speed, 25, 'Speed of extruding moves in the first layer.'),
    plain('speed.travel', 'mm/s', speed, 150, 'Speed of travel moves.'),
    plain('acceleration.first', 'mm/s2', acceleration, 500, 'Acceleration of extruding moves in the first layer.'),
    plain('acceleration.travel', 'mm/s2', acceleration, 2000, 'Acceleration of travel moves.'),
    length('extrusion.width', width, round(hole * 1.1), 'Width of an extruded line.'),
    {
      name: 'extrusion.relative',
      kind: 'flag',
      unit: '',
      range: null,
      sample: false,
      meaning: 'Whether E is relative in the job (M83); otherwise it is absolute (M82).',
    },
    plain('extrusion.flow', '%', ANY.flow, 100, 'Flow factor of the job; 100 extrudes as much as is calculated.'),
    length('retraction.length', { lo: 0, hi: ANY.retraction }, 0.8, 'Length of filament that a retraction pulls back.'),
    count('tool.first', tool, 0, 'Number of the tool that the job begins with; the first is 0.', { among: 'tools' }),
  ];
}
