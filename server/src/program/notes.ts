import type { BoundCommand } from '../commands/bind.ts';
import type { Machine } from '../machine/machine.ts';
import { ROUNDING } from '../rules/flowTooHigh.ts';
import { filamentArea } from '../simulate/bead.ts';
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
  const { move, command, before } = step;
  if (!machine || machine.mostFlow === null || !move?.pushed || move.kind === 'home' || command.node.named) return;
  if (move.pushed.hi <= 0 || !move.length || !move.feed || !move.e || !before.flowFactor) return;
  const path = move.length.lo > 0 ? move.length.lo : Math.abs(move.e.lo);
  const volume = move.pushed.hi * filamentArea(machine.filament.diameter) * before.flowFactor.hi;
  const flow = (volume / path) * (move.feed.hi / 60);
  if (!(flow > machine.mostFlow * ROUNDING)) return;
  worst.lines++;
  if (flow <= worst.flow) return;
  worst.flow = flow;
  worst.piece = piece();
}

const IGNORES = /bookend-ignore-file[ \t]+([a-z][a-z-]*(?:[ \t]*,[ \t]*[a-z][a-z-]*)*)/g;

/** Adds the rules that a comment switches off for the whole program. */
export function fileIgnores(text: string, ignores: Set<string>): void {
  if (!text.includes('bookend-ignore-file')) return;
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
