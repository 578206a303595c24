// "Check this job…": what client and server say to each other about finished programs and packages. Plain data only,
// so that the client can import this file.

import type { MachineItem } from './messages.ts';

export const CHECK_JOB = 'bookend/checkJob'; // request to the server: InspectParams -> InspectionAnswer
export const JOB_PROGRESS = 'bookend/jobProgress'; // notification to the client: InspectionProgress
export const JOB_FILE = 'bookend/jobFile'; // request to the client: InspectedFileParams -> InspectedFileAnswer

/** An entry of a package: where it stands in the list, and its name, so that a package that changed is noticed. */
export interface EntryChoice {
  readonly index: number;
  readonly name: string;
}

/** What is checked. The request can be cancelled as any other. */
export interface InspectParams {
  readonly uri: string;
  /** Which of a package's entries; absent: none has been chosen yet. */
  readonly entry?: EntryChoice;
  /** Where the program is written while it is checked; whatever is there is replaced. */
  readonly target?: string;
  /** URI of the machine file that the person has chosen, null for none; absent: as for any text. */
  readonly machine?: string | null;
  /** Goes along with its progress. */
  readonly token: number;
}

/** How far a check is, in bytes of the file or entry. */
export interface InspectionProgress {
  readonly token: number;
  readonly done: number;
  /** null: not known before the end. */
  readonly total: number | null;
}

export type InspectionSeverity = 'error' | 'warning' | 'info' | 'hint';

/** A finding at a place in the program; line and column count from 1. */
export interface InspectionFinding {
  readonly rule: string;
  readonly severity: InspectionSeverity;
  readonly line: number;
  readonly column: number;
  readonly message: string;
  /** URI of the rule's page; null where there is none. */
  readonly page: string | null;
}

/** One row of a package's list. */
export interface InspectedEntry {
  readonly index: number;
  readonly name: string;
  /** Bytes. */
  readonly size: number;
  readonly packed: number;
  /** ISO 8601 without a zone, or in UTC; null where the package tells none. */
  readonly date: string | null;
  /** "program", "picture", "folder", … */
  readonly what: string;
  /** It reads like a program and can be read. */
  readonly program: boolean;
  /** Why it is not read; null where it is. */
  readonly problem: string | null;
  /** A plain file name for what is taken out. */
  readonly proposed: string;
}

export type InspectionAnswer =
  | {
      readonly kind: 'report';
      /** For people: the file's name, and the entry's. */
      readonly title: string;
      /** Rows end with LF. */
      readonly text: string;
      readonly findings: readonly InspectionFinding[];
      readonly errors: number;
      readonly warnings: number;
      /** The editor checks a text of this size by itself while it is open. */
      readonly small: boolean;
      /** Bytes that were written to the target; null: nothing was to be written. */
      readonly written: number | null;
    }
  | { readonly kind: 'package'; readonly what: string; readonly entries: readonly InspectedEntry[] }
  /** No machine file belongs to it for sure: which one is meant? Ask again with `machine`. */
  | { readonly kind: 'machine'; readonly reason: string; readonly known: readonly MachineItem[] }
  | { readonly kind: 'failed'; readonly message: string }
  | { readonly kind: 'cancelled' };

/**
 * A file in the client's hands, for schemes that the server's disk does not have. Bytes go as base64. A new file takes
 * its name with `keep`; `close` ends reading, and drops a new file that was not kept.
 */
export type InspectedFileParams =
  | { readonly do: 'open'; readonly uri: string }
  | { readonly do: 'create'; readonly uri: string }
  | { readonly do: 'read'; readonly id: number; readonly offset: number; readonly length: number }
  | { readonly do: 'write'; readonly id: number; readonly bytes: string }
  | { readonly do: 'keep'; readonly id: number }
  | { readonly do: 'close'; readonly id: number };

export type InspectedFileAnswer =
  | { readonly ok: true; readonly id?: number; readonly size?: number; readonly bytes?: string }
  | { readonly ok: false; readonly message: string };
