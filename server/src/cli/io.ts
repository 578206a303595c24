import type { NewFile } from '../files/newFile.ts';
import type { ReadLimits, Refusal } from '../files/read.ts';
import type { MakeHasher } from '../packages/sidecar.ts';
import type { ByteSource, Inflate } from '../packages/source.ts';
import type { FolderEntry } from '../service/machineSearch.ts';
import type { FileCheck, FileOutcome } from './fileCheck.ts';

export type { Refusal };

/** A file that is open for reading. Its bytes are those that it had when it was opened, or `changed` says so. */
export interface OpenFile extends ByteSource {
  /** What became of the file since it was opened, as the rest of "cannot check FILE:"; null where nothing did. */
  changed(): Promise<string | null>;
  close(): Promise<void>;
}

/** Somebody who checks files at the same time as others. */
export interface Helper {
  /** Rejects where the helper died. `read`: told how many bytes were read since it was last told. */
  check(job: FileCheck, read: (bytes: number) => void): Promise<FileOutcome>;
  end(): void;
}

/** Everything that the command line takes from the world. Paths are the system's own. */
export interface Io {
  readonly version: string;
  /** Between the parts of a path: a slash or a backslash. */
  readonly separator: string;
  /** The folder in which the command runs, absolute. */
  readonly folder: string;
  /** Standard output is a terminal. */
  readonly terminal: boolean;
  /** Standard error is one. */
  readonly errorTerminal: boolean;
  /** Standard output is a terminal, and colours are wanted there. */
  readonly color: boolean;
  /** How many files may be checked at the same time. */
  readonly cores: number;
  readonly inflate: Inflate;
  /** From now on memory is cleared away early, which takes a little longer. */
  spareMemory(): void;
  /** Milliseconds since any moment. */
  now(): number;
  /** A regular file; without `limits` up to the size of a machine file. Never waits for longer than `PATIENCE`. */
  readFile(path: string, limits?: Pick<ReadLimits, 'largest' | 'raise'>): Promise<Uint8Array | Refusal>;
  /** What lies at a path, links followed; refused where it is neither a regular file nor a folder. */
  look(path: string): Promise<{ readonly kind: 'file' | 'folder'; readonly size: number } | Refusal>;
  open(path: string): Promise<OpenFile | Refusal>;
  /** Standard input. */
  input(): AsyncIterable<Uint8Array>;
  /** Begins a file. Nothing is written over what is there, unless `overwrite`; never over `from`. */
  create(path: string, how: { readonly overwrite: boolean; readonly from: string }): Promise<NewFile | Refusal>;
  /** Reckons a checksum. */
  readonly hasher: MakeHasher;
  helper(): Helper;
  /**
   * Puts `after` in the place of a file's bytes, all or none, and only where it still holds `before`.
   * Why it was not done, as the rest of "cannot write FILE:"; null where it was.
   */
  replaceFile(path: string, before: Uint8Array, after: Uint8Array): Promise<string | null>;
  /** Empty where there is no such folder. */
  listFolder(path: string): Promise<readonly FolderEntry[]>;
  /** The same, with the reason why it cannot be looked into. */
  readFolder(path: string): Promise<readonly FolderEntry[] | Refusal>;
  /** Absolute and without `..`. */
  resolve(...parts: string[]): string;
  /** The folder that holds it; itself at the root. */
  parent(path: string): string;
  name(path: string): string;
  /** As a person in `folder` would write it. */
  shorten(path: string): string;
  write(text: string): void;
  /** To standard output, as they are. */
  writeBytes(bytes: Uint8Array): void;
  writeError(text: string): void;
}

/** 0: no error found. 1: some error found. 2: something could not be checked or done. */
export type ExitCode = 0 | 1 | 2;

/** Tells why something was not done. */
export function cannot(io: Pick<Io, 'writeError'>, what: string, reason: string, doing = 'check'): ExitCode {
  // A reason of several rows, such as a table, ends with its own row.
  const end = reason.endsWith('\n') ? '' : '.\n';
  io.writeError(`bookend: cannot ${doing} ${what}: ${reason.replace(/\.$/, '')}${end}`);
  return 2;
}
