import { bindLine } from '../../../server/src/commands/bind.ts';
import { catalogFor } from '../../../server/src/commands/catalog.ts';
import type { Machine, NamedCommand } from '../../../server/src/machine/machine.ts';
import type { Line } from '../../../server/src/syntax/nodes.ts';
import { parse } from '../../../server/src/syntax/parse.ts';

/** An invented machine with what a test says about its controller. */
export function heron(traits: Partial<Machine['controller']> = {}, commands: readonly NamedCommand[] = []): Machine {
  return {
    name: 'Heron 228',
    bed: null,
    reach: null,
    keepOut: [],
    home: { x: 0, y: 0, z: 0 },
    nozzle: { diameter: 0.4 },
    filament: { diameter: 1.75 },
    heat: { nozzle: { max: null, minExtrude: 170 }, bed: { max: null }, chamber: null },
    mostFlow: null,
    speed: { x: null, y: null, z: null, e: null },
    acceleration: null,
    tools: 1,
    controller: {
      dwell: 'ms',
      fanFull: 255,
      commandsPerLine: 'one',
      distanceGovernsE: false,
      arcs: true,
      longestLine: null,
      upperCase: false,
      unknownCommand: 'ignored',
      namedCommands: { joins: null, case: null, letters: null },
      missing: [],
      ...traits,
    },
    commands,
    sequences: new Map(),
    placeholders: null,
    rules: new Map(),
  };
}

export const BASK: NamedCommand = {
  name: 'Steep_Bed',
  meaning: 'Waits until the frame is warm.',
  words: [
    { key: 'minutes', meaning: 'time to wait', unit: 'min', required: true, min: 1, max: 60 },
    { key: 'TURNS', meaning: 'times to stir', unit: 'turns', required: false, default: 3 },
    { key: 'BED', meaning: 'temperature of the bed', unit: 'degrees C', required: false },
  ],
  effects: [{ do: 'heat', heater: 'bed', wait: true, key: 'BED' }],
};

/** The first line of a text. */
export function firstLine(text: string): Line {
  const line = parse(text).lines[0];
  if (!line) throw new Error('a text has at least one line');
  return line;
}

/** A line's bound commands, short: 'G91(); G1(X5)'. A ? marks a command without a record. */
export function bound(text: string, motion: string | null = null, machine: Machine | null = null): string {
  return bindLine(firstLine(text), catalogFor(machine), motion)
    .map(
      (b) => `${b.code}${b.record ? '' : '?'}(${b.words.map((w) => text.slice(w.span.start, w.span.end)).join(' ')})`,
    )
    .join('; ');
}
