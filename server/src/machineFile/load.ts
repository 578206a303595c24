import type { Machine, Traits } from '../machine/machine.ts';
import { type Span, span } from '../text/span.ts';
import {
  checkPlaces,
  defaultHome,
  soundArea,
  soundAsides,
  soundBedHeat,
  soundKeepOuts,
  soundNozzleHeat,
  soundReach,
  tell,
} from './consistency.ts';
import { readJson } from './json.ts';
import { soundCommands, soundSequences } from './listed.ts';
import { type MachineFile, MachineFileSchema } from './schema.ts';
import { DEFAULTS } from './schemaParts.ts';
import { type MachineProblem, take, type Walk } from './walk.ts';

export type { MachineProblem } from './walk.ts';

/** More than this in one file helps nobody. */
const MOST_PROBLEMS = 200;

/**
 * Reads a machine file: JSON with comments. Every value that is wrong is a problem at its place and counts as left out;
 * all other facts are used. `machine` is null only where the text holds no object, is empty, or is too long to read.
 * Never throws.
 */
export function readMachine(text: string): {
  readonly machine: Machine | null;
  readonly problems: readonly MachineProblem[];
  /** Where the name of its vocabulary file stands; null where it names none. */
  readonly vocabularySpan: Span | null;
} {
  const { root, faults } = readJson(text);
  const problems: MachineProblem[] = faults.map((fault) => ({ ...fault, severity: 'error' }));
  if (root?.type !== 'object') {
    if (root || faults.length === 0) problems.unshift(notAMachine(text));
    return { machine: null, problems: inOrder(problems), vocabularySpan: null };
  }
  const walk: Walk = { text, problems, places: new Map(), kept: new Map() };
  const file = take(walk, MachineFileSchema, root) as Partial<MachineFile>;
  const machine = build(walk, file);
  return { machine, problems: inOrder(problems), vocabularySpan: walk.places.get('placeholders') ?? null };
}

function notAMachine(text: string): MachineProblem {
  const empty = text.trim() === '';
  const message = `${empty ? 'This machine file is empty.' : 'A machine file holds one object in { }, and this text is something else.'} Write for example { "name": "Heron 228", "bed": { "shape": "rectangle", "left": 0, "right": 228, "front": 0, "back": 206 } }.`;
  const start = text.length - text.trimStart().length;
  const line = /^[^\r\n]*/.exec(text.slice(start))?.[0] ?? '';
  return {
    span: empty ? span(0, Math.min(1, text.length)) : span(start, start + Math.min(120, line.length)),
    message,
    severity: 'error',
  };
}

/** By their places, and no more than helps. */
export function inOrder(problems: readonly MachineProblem[]): MachineProblem[] {
  const sorted = [...problems].sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end);
  if (sorted.length <= MOST_PROBLEMS) return sorted;
  const last = sorted[MOST_PROBLEMS - 1] as MachineProblem;
  const more = `${sorted.length - MOST_PROBLEMS + 1} more problems follow. Put these right first.`;
  return [...sorted.slice(0, MOST_PROBLEMS - 1), { ...last, message: more }];
}

/** The machine of what could be taken from the file, with the documented values for all that is left out. */
function build(walk: Walk, file: Partial<MachineFile>): Machine {
  const bed = file.bed ? soundArea(walk, file.bed, 'bed') : null;
  const reach = file.reach ? soundReach(walk, file.reach) : null;
  const keepOut = soundKeepOuts(walk, file.keepOut ?? []);
  const { heat, speed } = file;
  const machine: Machine = {
    name: file.name ?? DEFAULTS.name,
    bed,
    reach,
    keepOut,
    areas: soundAsides(walk, file.areas ?? []),
    home: file.home ?? defaultHome(reach ?? bed, reach?.bottom ?? null),
    nozzle: { diameter: file.nozzle?.diameter ?? DEFAULTS.nozzle },
    filament: { diameter: file.filament?.diameter ?? DEFAULTS.filament },
    heat: {
      nozzle: soundNozzleHeat(walk, heat?.nozzle, DEFAULTS.minExtrude),
      bed: soundBedHeat(walk, heat?.bed),
      chamber: heat?.chamber ? { max: heat.chamber.max ?? null } : null,
    },
    mostFlow: file.mostFlow ?? null,
    speed: { x: speed?.x ?? null, y: speed?.y ?? null, z: speed?.z ?? null, e: speed?.e ?? null },
    acceleration: file.acceleration ?? null,
    tools: file.tools ?? DEFAULTS.tools,
    controller: traits(file.controller),
    commands: soundCommands(walk, file.commands),
    sequences: soundSequences(walk, file.sequences),
    placeholders: vocabularyFile(walk, file.placeholders),
    rules: new Map(Object.entries(file.rules ?? {})),
  };
  checkPlaces(walk, machine);
  return machine;
}

function traits(given: MachineFile['controller']): Traits {
  return {
    dwell: given?.dwell ?? null,
    fanFull: given?.fanFull ?? null,
    commandsPerLine: given?.commandsPerLine ?? 'one',
    distanceGovernsE: given?.distanceGovernsE ?? null,
    arcs: given?.arcs ?? true,
    longestLine: given?.longestLine ?? null,
    upperCase: given?.upperCase ?? false,
    unknownCommand: given?.unknownCommand ?? null,
    furtherWords: given?.furtherWords ?? null,
    waitsForCooling: given?.waitsForCooling ?? null,
    waitsByR: given?.waitsByR ?? null,
    meshAfterHoming: given?.meshAfterHoming ?? null,
    g10: given?.g10 ?? null,
    axes: given?.axes ?? null,
    missing: (given?.missing ?? []).map((code) => code.toUpperCase()),
    namedCommands: {
      joins: given?.namedCommands?.joins ?? null,
      case: given?.namedCommands?.case ?? null,
      letters: given?.namedCommands?.letters ?? null,
    },
  };
}

function vocabularyFile(walk: Walk, file: string | undefined): string | null {
  if (file === undefined) return null;
  if (!/\.(machine\.json|gcode|gco|g)$/i.test(file)) return file;
  tell(
    walk,
    'placeholders',
    `placeholders names “${file}”, which is no vocabulary file. Name a file such as ./workshop.placeholders.json. Until then the built-in names are used.`,
  );
  return null;
}
