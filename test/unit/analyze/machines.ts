import type { Machine } from '../../../server/src/machine/machine.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';

/** A machine from facts that must all be sound. */
export function machineOf(facts: object): Machine {
  const { machine, problems } = readMachine(JSON.stringify(facts));
  if (!machine || problems.length > 0) throw new Error(JSON.stringify(problems));
  return machine;
}

const HEAT = { nozzle: { max: 285, minExtrude: 175 }, bed: { max: 110 }, chamber: { max: 60 } };

/** Invented machines of every shape, with and without limits. */
export const MACHINES: readonly (Machine | null)[] = [
  null,
  machineOf({
    name: 'Bittern 208',
    bed: { shape: 'rectangle', left: 0, right: 208, front: 0, back: 217 },
    reach: { shape: 'rectangle', left: -12, right: 224, front: -4, back: 226, bottom: 0, top: 234 },
    keepOut: [{ name: 'rear clip', left: 90, right: 120, front: 203, back: 226, bottom: 0, top: 6 }],
    areas: [{ name: 'strip', left: -12, right: -1, front: 10, back: 200, bottom: 0, top: 20, may: ['push', 'touch'] }],
    home: { x: -12, y: -4, z: 0 },
    nozzle: { diameter: 0.4 },
    heat: HEAT,
    mostFlow: 15,
    speed: { x: 200, y: 180, z: 12, e: 60 },
    acceleration: 1500,
  }),
  machineOf({
    name: 'Lapwing round',
    bed: { shape: 'circle', centre: { x: 0, y: 0 }, radius: 93 },
    reach: { shape: 'circle', centre: { x: 0, y: 0 }, radius: 104, bottom: 0, top: 291 },
    home: { x: 0, y: 0, z: 291 },
    heat: HEAT,
    speed: { e: 25 },
    controller: { commandsPerLine: 'many', dwell: 's', distanceGovernsE: true, fanFull: 1 },
  }),
  machineOf({
    name: 'Snipe corner',
    bed: {
      shape: 'polygon',
      points: [
        [0, 0],
        [196, 0],
        [196, 92],
        [92, 92],
        [92, 204],
        [0, 204],
      ],
    },
    keepOut: [
      { name: 'brush', left: 100, right: 140, front: 95, back: 130, bottom: 0, top: 30 },
      { name: 'camera arm', left: -5, right: 5, front: 150, back: 204, bottom: 60, top: 90 },
    ],
    home: { x: 0, y: 0, z: 5 },
    heat: HEAT,
    tools: 3,
    acceleration: 800,
    commands: [
      {
        name: 'DUST_OFF_IT',
        meaning: 'Wipes the nozzle on the brush.',
        words: [],
        effects: [{ do: 'move-to', x: 20, y: 180, z: 8 }],
      },
      { name: 'PUSH_OUT', meaning: 'Pushes filament out.', words: [], effects: [{ do: 'extrude', length: 12 }] },
    ],
  }),
  machineOf({ name: 'Dunlin bare', bed: { shape: 'rectangle', left: -98, right: 98, front: -81, back: 81 } }),
];
