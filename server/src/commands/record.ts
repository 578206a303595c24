import type { Effect } from '../machine/effect.ts';
import type { Quantity } from './quantity.ts';
import type { WordUnit } from './unit.ts';

/** One record per command: hover, completion, validation and simulation all read the same one. */
export interface CommandRecord {
  /** 'G1', 'G92.1', 'M104', 'T', or a machine's named command in upper case. */
  readonly code: string;
  /** As the machine writes its own command, for people and for new text; absent: as `code`. */
  readonly written?: string;
  /** A few words, no full stop: 'Move in a straight line'. */
  readonly title: string;
  /** One to three sentences that a reader who does not know the command understands. */
  readonly does: string;
  readonly family: Family;
  readonly words: readonly WordRecord[];
  /** What it changes in the machine's state; interpreted by the simulator, also declarable in a machine file. */
  readonly effects: readonly Effect[];
  /** What can go wrong or hurt: heat, motion, wear. */
  readonly cautions: readonly string[];
  /** 'NISTIR 6556 3.5.2' or 'common practice, no source'. */
  readonly source: string;
  /** RS-274 modal group (NISTIR 6556 Table 4): two commands of one group on one line are an error. Absent: non-modal or practice. */
  readonly group?: ModalGroup;
  /** Declared by a machine file: `source` names it. */
  readonly own?: true;
  /** Everything behind the code up to the end of the line is text, not words. */
  readonly freeText?: boolean;
  /** Takes further words that differ from controller to controller, so that a word not listed here is no mistake. */
  readonly openWords?: boolean;
  /** Many controllers give it further words, and pass over those that they do not know: only where a machine file says that they are refused is a word that is not listed a mistake. Common practice, no source. */
  readonly takesMore?: boolean;
  /** At least one of these words must be given (`G92` needs an axis). Single required words use `required`. */
  readonly oneOf?: readonly string[];
  /** Further spellings under which practice writes it. */
  readonly aliases?: readonly string[];
}

export type Family =
  | 'motion'
  | 'modes'
  | 'offsets'
  | 'homing and probing'
  | 'heat'
  | 'fan'
  | 'extrusion and retraction'
  | 'tool'
  | 'motors'
  | 'limits and tuning'
  | 'messages'
  | 'files and waiting'
  | 'protections';

export type ModalGroup =
  | 'motion'
  | 'plane'
  | 'distance'
  | 'feed mode'
  | 'units'
  | 'work offset'
  | 'stopping'
  | 'spindle'
  | 'coolant'
  | 'radius compensation'
  | 'tool length'
  | 'return level'
  | 'path control'
  | 'tool change'
  | 'overrides'
  | 'E distance'; // printing practice: M82/M83

export interface WordRecord {
  /** 'X', or the KEY of a named command. */
  readonly key: string;
  /** As the machine writes it, for people and for new text; absent: as `key`. */
  readonly written?: string;
  /** What it means, without the unit: 'target along X'. */
  readonly meaning: string;
  readonly unit: WordUnit;
  /** What its number is a quantity of. */
  readonly quantity: Quantity;
  /** Must be given. */
  readonly required?: boolean;
  /** 'flag': never has a value; 'optional': may stand with or without one; default 'needed'. */
  readonly value?: 'needed' | 'optional' | 'flag';
  readonly min?: number;
  readonly max?: number;
  /** What holds where the word is left out. */
  readonly absent?: string;
  /** Takes text (a file name) rather than a number. */
  readonly text?: boolean;
}

/** A word as a family or a machine file declares it: what it is a quantity of follows from its command's effects and its unit. */
export type WordDraft = Omit<WordRecord, 'quantity'>;

/** The word of a record with this key; undefined where the command does not take it. */
export function findRecordWord(record: CommandRecord, key: string): WordRecord | undefined {
  for (const word of record.words) if (word.key === key) return word;
  return undefined;
}

/** A command's code as its machine writes it, where a record says how. */
export const writtenCode = (record: CommandRecord | null, code: string): string =>
  record !== null && record.code === code ? (record.written ?? code) : code;

/** A word's key as the command's machine writes it. */
export const writtenKey = (record: CommandRecord | null, key: string): string =>
  (record ? findRecordWord(record, key)?.written : undefined) ?? key;
