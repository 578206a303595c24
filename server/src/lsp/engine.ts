import { findingAlike } from '../drafting/alike.ts';
import { draftingVocabulary } from '../drafting/draft.ts';
import { bedSize } from '../geometry/geometry.ts';
import type { Machine } from '../machine/machine.ts';
import { readMachine } from '../machineFile/load.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import type { Finding } from '../rules/rule.ts';
import { acting } from '../service/actions.ts';
import { type Analysis, analyzing } from '../service/analyze.ts';
import { complete } from '../service/completion.ts';
import { type FilledIn, fillingIn } from '../service/fillIn.ts';
import { fixingAll, safeFixing } from '../service/fixAll.ts';
import { type HoverText, hover } from '../service/hover.ts';
import { checkMachineFile } from '../service/machineFile.ts';
import { type NotFollowed, notFollowedIn } from '../service/notFollowed.ts';
import { signatureHelp } from '../service/signatureHelp.ts';
import { type Outline, symbols } from '../service/symbols.ts';
import { checkVocabularyFile } from '../service/vocabularyFile.ts';
import type { Role } from '../syntax/role.ts';
import type { Pieces } from '../text/pieces.ts';
import type { VocabularyFile } from '../vocabulary/file.ts';
import { readVocabulary } from '../vocabulary/read.ts';
import { vocabularyFor } from '../vocabulary/vocabulary.ts';

export type { Analysis } from '../service/analyze.ts';
export type { HoverText, Outline };
export type Completion = ReturnType<typeof complete>['items'][number];

/**
 * What a session asks of the engine, as one record, so that a test can put a failing part in its place. What may take
 * long comes in pieces.
 */
export interface Engine {
  analyze(text: string, role: Role, machine: Machine | null, vocabulary: Vocabulary): Pieces<Analysis>;
  hover(analysis: Analysis, offset: number): HoverText | null;
  complete(analysis: Analysis, offset: number): { readonly items: readonly Completion[] };
  fillIn(analysis: Analysis, job: Readonly<Record<string, unknown>>): Pieces<FilledIn>;
  symbols(analysis: Analysis): readonly Outline[];
  actions: typeof acting;
  fixAll: typeof fixingAll;
  safeFixes: typeof safeFixing;
  signatureHelp: typeof signatureHelp;
  readMachine(text: string): { readonly machine: Machine | null };
  readVocabulary(text: string): { readonly vocabulary: VocabularyFile | null };
  checkVocabularyFile: typeof checkVocabularyFile;
  /** What a text has of its placeholder language that cannot be followed; the same list for the same analysis. */
  notFollowed(analysis: Analysis): readonly NotFollowed[];
  draftVocabulary: typeof draftingVocabulary;
  /** Which texts are written in the placeholder language of the first. */
  alike: typeof findingAlike;
  checkMachineFile(text: string): readonly Finding[];
  vocabularyFor(machine: Machine | null, file?: VocabularyFile | null): Vocabulary;
  bedSize: typeof bedSize;
}

export const engine: Engine = {
  fillIn: (analysis, job) => fillingIn(analysis, analysis.vocabulary, job, true),
  analyze: analyzing,
  hover,
  complete,
  symbols,
  actions: acting,
  fixAll: fixingAll,
  safeFixes: safeFixing,
  signatureHelp,
  readMachine,
  readVocabulary,
  checkVocabularyFile,
  notFollowed: notFollowedIn,
  draftVocabulary: draftingVocabulary,
  alike: findingAlike,
  checkMachineFile,
  vocabularyFor,
  bedSize,
};
