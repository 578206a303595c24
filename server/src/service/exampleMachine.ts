import type { Machine } from '../machine/machine.ts';
import { readMachine } from '../machineFile/load.ts';
import type { Page } from '../rules/pages/page.ts';

/** The machine that the rules' examples run on: the same as test/fixtures/machines/egret.machine.json. Invented. */
const EGRET = {
  name: 'Egret 212',
  bed: { shape: 'rectangle', left: 0, right: 212, front: 0, back: 196 },
  reach: { shape: 'rectangle', left: -6, right: 231, front: -7, back: 207, bottom: 0, top: 238 },
  keepOut: [{ name: 'clip', left: 94, right: 111, front: 184, back: 196, bottom: 0, top: 7 }],
  home: { x: 0, y: 0, z: 0 },
  heat: { nozzle: { max: 280, minExtrude: 170 }, bed: { max: 110 } },
  mostFlow: 12,
  speed: { x: 300, y: 300, z: 12, e: 60 },
  acceleration: 1500,
  controller: {
    upperCase: true,
    dwell: 'ms',
    fanFull: 255,
    distanceGovernsE: false,
    unknownCommand: 'ignored',
    waitsForCooling: true,
    waitsByR: true,
    g10: 'retract',
  },
};

/**
 * The machine of the examples of one rule, as its file is read, and in words what is special about it.
 * @param other What it has otherwise for this rule, as its page says; null takes a fact away.
 */
export function exampleMachine(other: Page['otherwise'] = {}): {
  readonly machine: Machine | null;
  readonly special: string;
} {
  const file = Object.fromEntries(Object.entries({ ...EGRET, ...other }).filter(([, value]) => value !== null));
  const special = Object.entries(other).map(([name, value]) =>
    value === null ? `without \`${name}\`` : `with \`"${name}": ${JSON.stringify(value)}\``,
  );
  return { machine: readMachine(JSON.stringify(file)).machine, special: special.join(' and ') };
}
