import { bindLine } from '../../../server/src/commands/bind.ts';
import { catalogFor } from '../../../server/src/commands/catalog.ts';
import type { Machine, NamedCommand } from '../../../server/src/machine/machine.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import type { Line } from '../../../server/src/syntax/nodes.ts';
import { parse } from '../../../server/src/syntax/parse.ts';

/** An invented machine with what a test says about its controller. */
export function heron(traits: Partial<Machine['controller']> = {}, commands: readonly NamedCommand[] = []): Machine {
  const { machine } = readMachine('{ "name": "Heron 228" }');
  if (!machine) throw new Error('a name alone makes a machine');
  return { ...machine, controller: { ...machine.controller, ...traits }, commands };
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
