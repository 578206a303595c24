import type { ClientAbilities } from './abilities.ts';
import type { JsonAccess } from './jsonAccess.ts';
import type { MachineStore } from './machines.ts';
import type { Work } from './runner.ts';
import type { OwnSession } from './session.ts';
import type { WholeFixes } from './wholeFixes.ts';
import type { Workspace } from './workspace.ts';

/** What a handler works with, for one request. */
export interface RequestContext {
  readonly session: OwnSession;
  readonly abilities: ClientAbilities;
  readonly machines: MachineStore;
  readonly workspace: Workspace;
  readonly fixes: WholeFixes;
  /** Machine and vocabulary files as JSON. */
  readonly json: JsonAccess;
  /** The client can show a sequence filled in. */
  readonly showsFilledIn: boolean;
  /** The client can ask for a rule's severity and write it into its settings. */
  readonly setsSeverity: boolean;
  /** The client can draft a vocabulary from the text that is open. */
  readonly draftsPlaceholders: boolean;
  /** Where the reference pages are; null: nowhere. */
  readonly docs: string | null;
  readonly work: Work;
  /** Shows the person a message. */
  tell(message: string): void;
}
