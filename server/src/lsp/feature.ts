import type { ServerCapabilities } from 'vscode-languageserver';
import type { ClientAbilities } from './abilities.ts';
import type { Urgency } from './asked.ts';
import type { MachineStore } from './machines.ts';
import type { Work } from './runner.ts';
import type { OwnSession } from './session.ts';
import type { Shape } from './shape.ts';
import type { WholeFixes } from './wholeFixes.ts';
import type { Workspace } from './workspace.ts';

/** What a handler works with, for one request. */
export interface Context {
  readonly session: OwnSession;
  readonly abilities: ClientAbilities;
  readonly machines: MachineStore;
  readonly workspace: Workspace;
  readonly fixes: WholeFixes;
  /** The client can show a sequence filled in. */
  readonly showsFilledIn: boolean;
  /** The client can ask for a rule's severity and write it into its settings. */
  readonly setsSeverity: boolean;
  /** Where the reference pages are; null: nowhere. */
  readonly docs: string | null;
  readonly work: Work;
  /** Shows the person a message. */
  tell(message: string): void;
}

/** One row of the table: a request, its answer, and what is answered where nothing can be said. */
export interface Feature {
  readonly method: string;
  /** What of its parameters is read; of another form, it is answered with an error by itself. */
  readonly shape: Shape;
  readonly empty: unknown;
  readonly urgency: Urgency;
  /** What is answered where the text has changed before there was an answer; absent: the protocol's `ContentModified`. */
  readonly outdated?: () => unknown;
  /** How the client learns that it can be asked; absent: another row says it, or it is Bookend's own. */
  readonly offer?: (abilities: ClientAbilities) => ServerCapabilities;
  answer(context: Context, params: unknown): Promise<unknown>;
}

/** Types one row; the table itself holds rows of different requests. */
export function feature<P>(
  method: string,
  shape: Shape,
  empty: unknown,
  urgency: Urgency,
  answer: (context: Context, params: P) => Promise<unknown>,
  more: Pick<Feature, 'outdated' | 'offer'> = {},
): Feature {
  return { method, shape, empty, urgency, answer: (context, params) => answer(context, params as P), ...more };
}
