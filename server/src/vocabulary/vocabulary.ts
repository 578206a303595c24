import { centreOf, hull } from '../geometry/area.ts';
import type { Machine } from '../machine/machine.ts';
import { type Bounds, exact } from '../placeholders/bounds.ts';
import { withElements } from '../placeholders/elements.ts';
import type { Name, Vocabulary } from '../placeholders/vocabulary.ts';
import type { Role } from '../syntax/role.ts';
import { bindVocabulary, MOST_TOOLS } from './bind.ts';
import type { VocabularyFile } from './file.ts';
import { gapBelow, makingNames, sides } from './making.ts';
import { ANY, count, degrees, length, type More, number, upTo } from './nameParts.ts';

/** Roles in which a layer is being printed, or has just been. */
const BETWEEN: readonly Role[] = ['layer', 'swap', 'pause'];
/** Roles that run once something has been printed. */
const AFTER_A_LAYER: readonly Role[] = ['layer', 'swap', 'pause', 'end'];

/**
 * The names that may be used in tags on a machine: the built-in vocabulary, or the one of a vocabulary file. Ranges come
 * from the machine where it knows better: a part lies on the bed and below the top of the reach, temperatures lie within
 * the machine's limits, layers fit the nozzle. Names that are the machine's own (`fromMachine`) have no range without a
 * machine.
 */
export function vocabularyFor(machine: Machine | null, file: VocabularyFile | null = null): Vocabulary {
  const names = [...jobNames(machine), ...machineNames(machine)];
  if (file) return bindVocabulary(names, machine, file);
  return { names: withElements(names) };
}

/** The built-in names whose values jobs give. */
export const builtInNames = (): ReadonlyMap<string, Name> =>
  new Map(jobNames(null).flatMap((one) => (one.hidden || one.fromMachine ? [] : [[one.name, one]])));

/** The names whose values are the machine's own. */
export const machineNameList = (): string[] =>
  [...jobNames(null), ...machineNames(null)].filter((one) => one.fromMachine).map(({ name }) => name);

/** Names whose values each job gives. */
function jobNames(machine: Machine | null): Name[] {
  const area = machine?.bed ?? machine?.reach ?? null;
  const bed = area && hull(area);
  const x = bed ? { lo: bed.left, hi: bed.right } : ANY.coordinate;
  const y = bed ? { lo: bed.front, hi: bed.back } : ANY.coordinate;
  /** A place at this share of the bed. */
  const along = (range: Bounds, share: number): number =>
    bed ? range.lo + (range.hi - range.lo) * share : 200 * share;

  const { nozzle, bed: bedHeat, chamber, apart } = heatRanges(machine);
  const off = gapBelow(bedHeat, ANY.bedOn);
  const overBed = (bed: string): More => (apart > 0 ? { atLeast: bed, atLeastBy: apart } : { atLeast: bed });
  // A reach that ends at or below 0 has no room for a part; its names still need a range.
  const highest = Math.max(0.01, machine?.reach?.top ?? ANY.top);
  const thickness = layerRange(machine, highest);
  const top = upTo(thickness.lo, highest);
  const most = machine ? Math.max(1, machine.tools) : MOST_TOOLS;
  const layers = { lo: 1, hi: Math.max(1, Math.ceil(top.hi / thickness.lo)) };
  const tool = { lo: 0, hi: most - 1 };
  return [
    degrees('heat.nozzle.first', nozzle, 215, 'Nozzle temperature for the first layer.', overBed('heat.bed.first')),
    degrees(
      'heat.nozzle.later',
      nozzle,
      210,
      'Nozzle temperature from the second layer on.',
      overBed('heat.bed.later'),
    ),
    degrees('heat.bed.first', bedHeat, 60, 'Bed temperature for the first layer; 0 where the bed is not heated.', off),
    degrees(
      'heat.bed.later',
      bedHeat,
      60,
      'Bed temperature from the second layer on; 0 where the bed is not heated.',
      off,
    ),
    degrees('heat.chamber', chamber, 0, 'Chamber temperature; 0 where the chamber is not heated.'),
    ...sides('part', x, y, along, 'everything that the job prints'),
    length('part.top', top, 40, 'Height of the part: the Z of its top layer.', { atLeast: 'layer.first' }),
    length('layer.first', thickness, 0.2, 'Thickness of the first layer.'),
    length('layer.height', thickness, 0.2, 'Thickness of the layers after the first.'),
    length('layer.top', top, 2.4, 'Z of the layer that is being printed.', {
      roles: BETWEEN,
      atMost: 'part.top',
      atLeast: 'layer.first',
    }),
    count('layer.number', layers, 12, 'Number of the layer that is being printed; the first is 1.', {
      roles: BETWEEN,
      atMost: 'layer.count',
    }),
    count('layer.count', layers, 200, 'How many layers the job has.'),
    length(
      'filament.diameter',
      machine && exact(machine.filament.diameter),
      1.75,
      'Diameter of the filament that the machine takes.',
      { fromMachine: true },
    ),
    {
      name: 'filament.kind',
      kind: 'text',
      unit: '',
      range: null,
      sample: 'PLA',
      meaning: 'Kind of filament, as the job names it: PLA, PETG, ABS.',
    },
    length('nozzle.diameter', machine && exact(machine.nozzle.diameter), 0.4, 'Diameter of the nozzle’s hole.', {
      fromMachine: true,
    }),
    count('tool.number', tool, 0, 'Number of the tool in use; the first is 0.', { among: 'tools' }),
    count('tool.next', tool, 1, 'Number of the tool that comes next; the first is 0.', { roles: ['swap'] }),
    {
      name: 'tools',
      kind: 'list',
      unit: '',
      range: { lo: 1, hi: most },
      sample: 1,
      meaning: 'The tools that the job uses: a section over it runs once for each.',
      items: [
        count('number', tool, 0, 'Number of this tool; the first is 0.', { rising: true }),
        degrees('temperature.first', nozzle, 215, 'Nozzle temperature of this tool for the first layer.'),
        degrees('temperature.later', nozzle, 210, 'Nozzle temperature of this tool from the second layer on.'),
        length('used.length', { lo: 0, hi: 2_000_000 }, 5400, 'Length of filament that the job uses of this tool.'),
        number('used.mass', 'number', 'g', { lo: 0, hi: 6000 }, 16, 'Mass of filament that the job uses of this tool.'),
      ],
    },
    ...sides('base', x, y, along, 'what the first layer prints', 'part'),
    ...makingNames(machine, tool),
    length('last.x', x, along(x, 0.5), 'X where the last layer ended.', {
      roles: AFTER_A_LAYER,
      atLeast: 'part.left',
      atMost: 'part.right',
      hidden: true,
    }),
    length('last.y', y, along(y, 0.5), 'Y where the last layer ended.', {
      roles: AFTER_A_LAYER,
      atLeast: 'part.front',
      atMost: 'part.back',
      hidden: true,
    }),
  ];
}

/** Ranges of heat, and how far the nozzle is above the bed at least. Usual figures: common practice, no source. */
function heatRanges(
  machine: Machine | null,
): Record<'nozzle' | 'bed' | 'chamber', Bounds> & { readonly apart: number } {
  const heat = machine?.heat;
  const cold = heat?.nozzle.minExtrude ?? ANY.nozzleCold;
  const hot = heat?.nozzle.max ?? Math.max(ANY.nozzleHot, cold);
  // A machine that states no chamber heater gets no chamber temperature from any job.
  const chamber = heat && !heat.chamber ? 0 : (heat?.chamber?.max ?? ANY.chamberHot);
  const nozzle = upTo(cold, hot);
  // The coldest nozzle goes with a bed that is off.
  const apart = Math.max(0, Math.min(ANY.apart, nozzle.lo));
  const bed = Math.max(0, Math.min(heat?.bed.max ?? ANY.bedHot, nozzle.hi - apart));
  return { nozzle, bed: upTo(0, bed), chamber: upTo(0, chamber), apart };
}

/** Layers from next to nothing up to four fifths of the nozzle's diameter. Common practice, no source. */
function layerRange(machine: Machine | null, highest: number): Bounds {
  if (!machine) return { lo: ANY.thinnest, hi: ANY.thickest };
  const diameter = machine.nozzle.diameter;
  return upTo(Math.min(ANY.thinnest, diameter / 10), Math.min(Math.round(diameter * 0.8e6) / 1e6, highest));
}

/** Names whose values are the machine's own, the same for every job. */
function machineNames(machine: Machine | null): Name[] {
  const own = (name: string, value: number | null | undefined, sample: number, meaning: string): Name =>
    length(name, typeof value === 'number' ? exact(value) : null, sample, meaning, { fromMachine: true });
  const bed = machine?.bed ? hull(machine.bed) : null;
  const centre = machine?.bed ? centreOf(machine.bed) : null;
  const area = machine?.reach ?? machine?.bed ?? null;
  const reach = area && hull(area);
  const home = machine?.home;
  return [
    own('bed.left', bed?.left, 0, 'Left edge of the bed (smallest X).'),
    own('bed.right', bed?.right, 200, 'Right edge of the bed (largest X).'),
    own('bed.front', bed?.front, 0, 'Front edge of the bed (smallest Y).'),
    own('bed.back', bed?.back, 200, 'Back edge of the bed (largest Y).'),
    own('bed.centre.x', centre?.x, 100, 'X of the middle of the bed.'),
    own('bed.centre.y', centre?.y, 100, 'Y of the middle of the bed.'),
    own('reach.left', reach?.left, 0, 'Smallest X that the nozzle can reach.'),
    own('reach.right', reach?.right, 200, 'Largest X that the nozzle can reach.'),
    own('reach.front', reach?.front, 0, 'Smallest Y that the nozzle can reach.'),
    own('reach.back', reach?.back, 200, 'Largest Y that the nozzle can reach.'),
    own('reach.top', machine?.reach?.top, 200, 'Highest Z that the nozzle can reach.'),
    own('reach.bottom', machine?.reach?.bottom, 0, 'Lowest Z that the nozzle can reach.'),
    own('home.x', home?.x, 0, 'X after homing.'),
    own('home.y', home?.y, 0, 'Y after homing.'),
    own('home.z', home?.z, 0, 'Z after homing.'),
  ];
}
