import { IGNORE_FILE } from '../check/suppress.ts';
import type { BoundCommand } from '../commands/bind.ts';
import type { Machine } from '../machine/machine.ts';
import { flowOf, mostFed } from '../rules/flowTooHigh.ts';
import type { Step } from '../simulate/trace.ts';
import type { ProgramContext, ProgramPiece } from './context.ts';
import { aboutBytes, type Collector } from './findings.ts';

/** What the program uses and the machine lacks, by name: where first, and how often. */
export type Lacking = Map<string, { line: number; count: number }>;

const MOST_LACKING = 200;

/** What a command needs that the machine does not have; null where there is nothing. */
export function lackingIn(command: BoundCommand, { machine, catalog }: ProgramContext): string | null {
  const { code, record, node } = command;
  if (!record && code !== '') return `${node.named ? 'command ' : ''}${code}`;
  if (!machine) return null;
  if (catalog.isMissing(code)) return code;
  return !machine.controller.arcs && record?.effects.some((e) => e.do === 'arc') ? 'arcs' : null;
}

/** Takes note of what a command on this line needs and the machine lacks. */
export function noteLacking(lacking: Lacking, feature: string, line: number): void {
  const known = lacking.get(feature);
  if (known) known.count++;
  else if (lacking.size < MOST_LACKING) lacking.set(feature, { line, count: 1 });
}

/** Moves that feed more than the nozzle melts: how many, and the worst. */
export interface Worst {
  lines: number;
  /** mm3/s. */
  flow: number;
  piece: ProgramPiece | null;
}

/** Takes note of a step's flow. */
export function worstFlow(worst: Worst, step: Step, machine: Machine | null, piece: () => ProgramPiece): void {
  const limit = mostFed(machine);
  if (limit === Number.POSITIVE_INFINITY) return;
  // What only may be is not told of a program.
  const flow = flowOf({ machine }, step)?.lo ?? 0;
  if (!(flow > limit)) return;
  worst.lines++;
  if (flow <= worst.flow) return;
  worst.flow = flow;
  worst.piece = piece();
}

const IGNORES = new RegExp(`${IGNORE_FILE}[ \\t]+([a-z][a-z-]*(?:[ \\t]*,[ \\t]*[a-z][a-z-]*)*)`, 'g');

/** Adds the rules that a comment switches off for the whole program. */
export function fileIgnores(text: string, ignores: Set<string>): void {
  if (!text.includes(IGNORE_FILE)) return;
  for (const match of text.matchAll(IGNORES))
    for (const rule of (match[1] as string).split(/[ \t]*,[ \t]*/)) ignores.add(rule);
}

const NUL =
  'There are NUL bytes (0) in this text. A controller stops reading there or takes them for the end of the line: the file is damaged, or was not written to its end. Write it anew.';

/** Tells NUL bytes once, at the first of them, and counts them all. */
export function noteNuls(found: Collector, times: number, line: number, offset: number): void {
  if (times === 0) return;
  const first = found.count('nul-bytes') === 0;
  if (first) found.add(aboutBytes('nul-bytes', 'error', line, 1, offset, NUL));
  found.more('nul-bytes', first ? times - 1 : times);
}
