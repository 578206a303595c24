import { centreOf, hull } from '../geometry/area.ts';
import type { Machine } from '../machine/machine.ts';
import { exact } from '../placeholders/bounds.ts';
import type { Env } from '../placeholders/value.ts';

type Reading = (machine: Machine) => number | null | undefined;

const bed =
  (side: 'left' | 'right' | 'front' | 'back'): Reading =>
  (m) =>
    m.bed && hull(m.bed)[side];
const reach =
  (side: 'left' | 'right' | 'front' | 'back'): Reading =>
  (m) => {
    const area = m.reach ?? m.bed;
    return area && hull(area)[side];
  };

/** The machine's figures that the ranges of a vocabulary file may be worked out from, by the names they have there. */
export const RANGE_NAMES: Readonly<Record<string, Reading>> = {
  'bed.left': bed('left'),
  'bed.right': bed('right'),
  'bed.front': bed('front'),
  'bed.back': bed('back'),
  'bed.centre.x': (m) => m.bed && centreOf(m.bed).x,
  'bed.centre.y': (m) => m.bed && centreOf(m.bed).y,
  'reach.left': reach('left'),
  'reach.right': reach('right'),
  'reach.front': reach('front'),
  'reach.back': reach('back'),
  'reach.top': (m) => m.reach?.top,
  'reach.bottom': (m) => m.reach?.bottom,
  'home.x': (m) => m.home.x,
  'home.y': (m) => m.home.y,
  'home.z': (m) => m.home.z,
  'nozzle.diameter': (m) => m.nozzle.diameter,
  'filament.diameter': (m) => m.filament.diameter,
  'heat.nozzle.minExtrude': (m) => m.heat.nozzle.minExtrude,
  'heat.nozzle.max': (m) => m.heat.nozzle.max,
  'heat.bed.max': (m) => m.heat.bed.max,
  'heat.chamber.max': (m) => (m.heat.chamber ? m.heat.chamber.max : 0),
  tools: (m) => m.tools,
};

/** Those figures as an environment: unknown where the machine does not state one, or there is no machine. */
export const rangeEnv =
  (machine: Machine | null): Env =>
  (name) => {
    if (!Object.hasOwn(RANGE_NAMES, name)) return undefined;
    const value = machine && RANGE_NAMES[name]?.(machine);
    return typeof value === 'number' ? { type: 'number', ...exact(value) } : { type: 'unknown' };
  };
