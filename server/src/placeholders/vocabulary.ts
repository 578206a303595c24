import type { Role } from '../syntax/role.ts';
import { MUSTACHE, type TagLanguage } from '../syntax/tagStyle.ts';
import type { Bounds } from './bounds.ts';
import type { Grammar } from './grammar.ts';

export type NameKind = 'temperature' | 'length' | 'count' | 'number' | 'flag' | 'text' | 'list';

/** One placeholder name: what it stands for and which values a job can give it. */
export interface Name {
  readonly name: string;
  readonly kind: NameKind;
  /** 'mm', 'degrees C', or ''. */
  readonly unit: string;
  /** Which numbers a job can give; null for text, flags and where nothing is known. */
  readonly range: Bounds | null;
  /** Only whole numbers. */
  readonly whole?: boolean;
  readonly choices?: readonly string[];
  /** A usual value, for examples. */
  readonly sample: number | string | boolean;
  readonly meaning: string;
  /** Roles in which a job has a value for it; absent: all. */
  readonly roles?: readonly Role[];
  /** Where no job's value lies though the range goes across it, ends left out: a bed is off, or at 35 degrees or more. */
  readonly gap?: Bounds;
  /** Another name whose value is never larger (`part.right` is at least `part.left`). */
  readonly atLeast?: string;
  readonly atMost?: string;
  /** By how much it lies above `atLeast`, or below `atMost`, at least; absent: it may be equal. */
  readonly atLeastBy?: number;
  readonly atMostBy?: number;
  /** A list with numbered elements (`rising`): its value is the number of one of them. */
  readonly among?: string;
  /** Its value is the machine's, the same for every job. */
  readonly fromMachine?: boolean;
  /** Not writable in a tag: a fact of the job that the simulator needs (where the last layer ended). */
  readonly hidden?: boolean;
  /**
   * Of a list: the names that each of its elements has; a section over it puts them in front of all others. Of a list of
   * plain values one name, `.`, which is the element itself.
   */
  readonly items?: readonly Name[];
  /** Of a list: it has one element for each tool, in the order of the tools' numbers. */
  readonly perTool?: boolean;
  /** Of an element's name: its value rises by one from element to element (a tool's number). */
  readonly rising?: boolean;
}

/** The names that may be used in tags, in the order in which they are offered. */
export interface Vocabulary {
  readonly names: ReadonlyMap<string, Name>;
  /** How tags are written and steer; absent: by the marks of the Mustache specification. */
  readonly language?: TagLanguage;
  /** How expressions are written; absent: as Bookend's own. */
  readonly grammar?: Grammar;
  /** Built-in names that another name of `names` stands for: `part.top` to the name that a vocabulary file gives it. */
  readonly standIns?: ReadonlyMap<string, string>;
  /** The text has been filled in: it is a part of a finished program and takes no tags any more. */
  readonly filled?: boolean;
}

/** How this vocabulary's tags are written. */
export const tagStyleOf = ({ language }: Vocabulary): TagLanguage => language ?? MUSTACHE;

/**
 * One value for every name, of a list its length: what one run is about. `tools[].number` is the value of every element's
 * own name, or of the first where it rises; `tools[2].number` that of the third element only.
 */
export type Job = ReadonlyMap<string, number | string | boolean>;
