export { sizeText } from '../text/size.ts';

/** What a file holds, by its bytes. */
export type ContentKind = 'zip' | 'gzip' | 'text' | 'empty' | 'binary';

/** Upper bounds on what a package may ask for. Sizes in bytes. */
export interface PackageLimits {
  /** Entries in a package. */
  readonly entries: number;
  /** Bytes of an entry's name. */
  readonly name: number;
  /** Unpacked bytes of an entry. */
  readonly size: number;
  /** Members of a gzip file: parts that are packed one by one. */
  readonly members: number;
  /** Unpacked bytes for each packed one that has been read, from the first mebibyte of an entry on. */
  readonly ratio: number;
  /** Entries that are looked into, to tell what they are; the largest first. */
  readonly looks: number;
  /** What a person raises where one of them is too low, behind "raise": an option, a setting. */
  readonly raise: Readonly<Record<'entries' | 'size' | 'ratio' | 'members', string>>;
}

/**
 * Common practice, no source: a program packs to a fifth or less, an endless repetition to a fiftieth; deflate itself
 * ends at 1032 to 1 (zlib's technical notes), which only something made to burst comes near.
 */
export const LIMITS: PackageLimits = {
  entries: 10_000,
  name: 1024,
  size: 8e9,
  // Whoever packs a program on several cores writes a member for some hundred kilobytes of it.
  members: 10_000,
  ratio: 250,
  looks: 1000,
  raise: { entries: 'the limit', size: 'the limit', ratio: 'the limit', members: 'the limit' },
};

/** Where an entry's bytes are and how they are packed. */
export interface PackedPlace {
  readonly packing: 'zip' | 'gzip';
  /** Of the local header (zip) or the first member (gzip), in the source. */
  readonly offset: number;
  /** Where the next thing in the source begins. */
  readonly limit: number;
  readonly method: number;
  readonly flags: number;
  readonly crc: number;
  /** As it stands in the list at the package's end. Empty where it is refused for its length. */
  readonly rawName: Uint8Array;
}

export interface PackageEntry {
  /** For people, never a path: control characters replaced, a very long one shortened. */
  readonly name: string;
  /** Unpacked, in bytes, as the package says. gzip keeps only the remainder by 4 GiB, and of the last member. */
  readonly size: number;
  readonly packed: number;
  /** `2026-11-25T13:24:00` where it was packed (zip), with `Z` in UTC (gzip); null where it says none. */
  readonly date: string | null;
  readonly kind: ContentKind | 'folder' | 'other';
  /** For people: "program", "picture", "folder", "link", … */
  readonly what: string;
  /** It can be read and reads like a program: mostly commands. */
  readonly program: boolean;
  /** Content type, where the package is an OPC one and gives it. */
  readonly type: string | null;
  /** Why it is not read, as whole sentences; null where it is. */
  readonly problem: string | null;
  /** What to know before it is taken out, as whole sentences. */
  readonly caution: string | null;
  readonly place: PackedPlace;
}

/** What a package holds. Anything that makes the whole of it unreadable is a message of whole sentences. */
export type Listed =
  | {
      readonly ok: true;
      /** In the order of the package's own list. */
      readonly entries: readonly PackageEntry[];
      /** Those that can be read and read like a program, the largest first. */
      readonly programs: readonly PackageEntry[];
      /** "zip package", "OPC package", "3MF package", "gzip file". */
      readonly what: string;
      readonly comment: string;
    }
  | Refused;

export interface Refused {
  readonly ok: false;
  readonly message: string;
}

export const refuse = (message: string): Refused => ({ ok: false, message });

/** Why an entry cannot be read to its end. The message is whole sentences for people. */
export class PackageError extends Error {}

/** A count for people: "18,204". */
export const countText = (count: number): string => String(count).replace(/\B(?=(\d{3})+$)/g, ',');
