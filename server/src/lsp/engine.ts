import { bedSize } from '../machine/geometry.ts';
import { readMachine } from '../machine/load.ts';
import type { Machine } from '../machine/machine.ts';
import { vocabularyFor } from '../machine/vocabulary.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import type { Finding } from '../rules/rule.ts';
import { analyze } from '../service/analyze.ts';
import { complete } from '../service/completion.ts';
import { hover } from '../service/hover.ts';
import { checkMachineFile } from '../service/machineFile.ts';
import { symbols } from '../service/symbols.ts';
import type { Role } from '../syntax/role.ts';

export type Analysis = ReturnType<typeof analyze>;
export type HoverText = NonNullable<ReturnType<typeof hover>>;
export type Completion = ReturnType<typeof complete>['items'][number];
export type Outline = ReturnType<typeof symbols>[number];

/** What a session asks of the engine, as one record, so that a test can put a failing part in its place. */
export interface Engine {
  analyze(text: string, role: Role, machine: Machine | null, vocabulary: Vocabulary): Analysis;
  hover(analysis: Analysis, offset: number): HoverText | null;
  complete(analysis: Analysis, offset: number): { readonly items: readonly Completion[] };
  symbols(analysis: Analysis): readonly Outline[];
  readMachine(text: string): { readonly machine: Machine | null };
  checkMachineFile(text: string): readonly Finding[];
  vocabularyFor(machine: Machine | null): Vocabulary;
  bedSize: typeof bedSize;
}

export const engine: Engine = {
  analyze,
  hover,
  complete,
  symbols,
  readMachine,
  checkMachineFile,
  vocabularyFor,
  bedSize,
};
