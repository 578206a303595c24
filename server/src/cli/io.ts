import type { Entry } from '../service/machineSearch.ts';

/** Everything that the command line takes from the world. Paths are the system's own. */
export interface Io {
  readonly version: string;
  /** Between the parts of a path: a slash or a backslash. */
  readonly separator: string;
  /** The folder in which the command runs, absolute. */
  readonly folder: string;
  /** Standard output is a terminal. */
  readonly terminal: boolean;
  /** It is one, and colours are wanted there. */
  readonly color: boolean;
  readFile(path: string): Promise<Uint8Array | { readonly reason: string }>;
  /**
   * Puts `after` in the place of a file's bytes, all or none, and only where it still holds `before`.
   * Why it was not done, as the rest of "cannot write FILE:"; null where it was.
   */
  replaceFile(path: string, before: Uint8Array, after: Uint8Array): Promise<string | null>;
  listFolder(path: string): Promise<readonly Entry[]>;
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
export function cannot(io: Io, what: string, reason: string, doing = 'check'): ExitCode {
  io.writeError(`bookend: cannot ${doing} ${what}: ${reason}.\n`);
  return 2;
}
