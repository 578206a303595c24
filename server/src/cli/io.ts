import type { Entry } from '../service/machineSearch.ts';

/** Everything that the command line takes from the world. Paths are the system's own. */
export interface Io {
  readonly version: string;
  /** The folder in which the command runs, absolute. */
  readonly folder: string;
  /** Standard output is a terminal, and colours are wanted there. */
  readonly color: boolean;
  readFile(path: string): Promise<Uint8Array | { readonly reason: string }>;
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
