import type { Role } from '../syntax/role.ts';

// What Bookend's client and server say to each other beyond the Language Server Protocol. Plain data only, so that
// the client can import this file. A client that knows none of it still gets every feature of the protocol.

export const MACHINES = 'bookend/machines'; // request to the server: MachinesParams -> Status
export const CHOOSE_MACHINE = 'bookend/chooseMachine'; // request to the server: ChooseMachineParams -> null
export const CHOOSE_ROLE = 'bookend/chooseRole'; // request to the server: ChooseRoleParams -> null
export const FILL = 'bookend/fill'; // request to the server: FillParams -> FillResult | null
export const CHANGED = 'bookend/changed'; // notification to the client: ChangedParams
export const DRAFT_PLACEHOLDERS = 'bookend/draftPlaceholders'; // request to the server: DraftParams -> string | null
export const READ_FILE = 'bookend/readFile'; // request to the client: ReadFileParams -> ReadFileAnswer
export const TRUSTED = 'bookend/trusted'; // notification to the server, without parameters: the workspace is trusted now
export const LIST_FOLDER = 'bookend/listFolder'; // request to the client: FileParams -> Entry[] (service/machineSearch.ts)

/** A command of the client's: shows a sequence as a job would run it. Its argument: ShowFilledIn. */
export const SHOW_FILLED_IN = 'bookend.showFilledIn';

/** A command of the client's: asks how a rule counts, and writes it into the settings of the folder. Its argument: SetSeverity. */
export const SET_SEVERITY = 'bookend.setSeverity';

/** A command of the client's: drafts a vocabulary from the sequence in the active editor. */
export const DRAFT_PLACEHOLDERS_COMMAND = 'bookend.draftPlaceholders';

/** The rule, and a text of the folder that it is for. */
export interface SetSeverity {
  readonly uri: string;
  readonly rule: string;
}

/** What is shown: of the sequence `uri` the row `line` (counted from 0), for this job; each absent part is the usual one. */
export interface ShowFilledIn {
  readonly uri?: string;
  readonly job?: Readonly<Record<string, unknown>>;
  readonly line?: number;
}

/** `initializationOptions`, every part optional. */
export interface InitOptions {
  /** Settings as in the section `bookend`, for clients that do not answer workspace/configuration. */
  readonly bookend?: unknown;
  /** Picks remembered from earlier sessions: document URI to machine file URI, or null for "no machine". */
  readonly picks?: Readonly<Record<string, string | null>>;
  /** What a text is, where its name does not say: document URI to role. */
  readonly roles?: Readonly<Record<string, Role>>;
  /** The client answers READ_FILE and LIST_FOLDER for schemes other than file: (and for file: where there is no disk). */
  readonly files?: boolean;
  /** The client wants CHANGED. */
  readonly status?: boolean;
  /** The client has the command SHOW_FILLED_IN, so that actions may offer it. */
  readonly showsFilledIn?: boolean;
  /** false: the person does not vouch for the workspace, so that its files may name none outside of it. Absent: true. */
  readonly trusted?: boolean;
  /** The client has the command SET_SEVERITY. */
  readonly setsSeverity?: boolean;
  /** The client has the command DRAFT_PLACEHOLDERS_COMMAND. */
  readonly draftsPlaceholders?: boolean;
  /** URI of the folder with the reference pages that came with the client: findings link to `rules/<id>.md` in it. */
  readonly docs?: string | null;
}

export interface FileParams {
  readonly uri: string;
}

export interface ReadFileParams extends FileParams {
  /** Bytes; a larger file is not read. */
  readonly largest: number;
}

/** The text, or why there is none, as the rest of "FILE cannot be read:". */
export type ReadFileAnswer = { readonly text: string } | { readonly reason: string };

/** The sequence from which a vocabulary is drafted. */
export interface DraftParams {
  readonly uri: string;
}

export interface MachinesParams {
  readonly uri: string;
}

/** `machine` null: check without a machine. Absent: forget the pick, so that the usual order decides. */
export interface ChooseMachineParams {
  readonly uri: string;
  readonly machine?: string | null;
}

/** `role` null: as the file's name says. */
export interface ChooseRoleParams {
  readonly uri: string;
  readonly role: Role | null;
}

/** A sequence as a job would run it. `job`: values by name, as in a finding's witness; the rest is usual. */
export interface FillParams {
  readonly uri: string;
  readonly job?: Readonly<Record<string, unknown>>;
}

/** null instead: the document is not open, is no sequence, or is too large. */
export interface FillResult {
  readonly text: string;
  /** The document's version that was filled in. */
  readonly version: number;
  /** For each row of `text` the row of the sequence that it comes from; both counted from 0. */
  readonly rows: readonly number[];
  readonly problems: readonly { readonly message: string; readonly line: number; readonly character: number }[];
}

/** Something that the status shows may have changed: of one document, or of all. */
export interface ChangedParams {
  readonly uri?: string;
}

export interface MachineItem {
  readonly uri: string;
  /** The machine's name; the file's name where it states none. */
  readonly name: string;
  /** '228 x 206 mm'; '' where the file states no bed. */
  readonly bed: string;
  /** The folder that holds the file: its name for people. */
  readonly folder: string;
}

/**
 * How a document is checked.
 * - checked: against `current`.
 * - no machine: none belongs to it, or the user picked none; machine checks are off.
 * - several: more than one could be meant; the user must pick.
 * - unreadable: the machine file that belongs to it is missing or cannot be used.
 * - too large: over the setting `bookend.largestFile`; nothing is checked.
 */
export type CheckState = 'checked' | 'no machine' | 'several' | 'unreadable' | 'too large';

/** What the status item and the picker show for one document. */
export interface Status {
  readonly state: CheckState;
  readonly role: Role;
  readonly current: (MachineItem & { readonly reason: string }) | null;
  /** Why, in a sentence. */
  readonly reason: string;
  /** Whether the user's own pick decides. */
  readonly picked: boolean;
  readonly known: readonly MachineItem[];
  /** How many rules hold for every job and how many fail, and what is open; null where nothing is checked. */
  readonly verdict: VerdictText | null;
}

export interface VerdictText {
  readonly holds: number;
  readonly fails: number;
  readonly undecided: readonly { readonly rule: string; readonly reason: string }[];
  /** Rules that judge by a fact that nobody has stated. */
  readonly unasked: readonly { readonly rule: string; readonly reason: string }[];
}
