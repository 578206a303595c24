import type { ByteSource } from '../packages/source.ts';

/** A file that is being read. Rejects with an Error whose message is whole sentences for people. */
export interface InspectedFile extends ByteSource {
  /** What became of the file since it was opened, in a sentence; null where nothing did. */
  changed(): Promise<string | null>;
  close(): Promise<void>;
}

/** A file on its way: it takes its name when it is whole, and leaves nothing behind where it is dropped. */
export interface InspectionTarget {
  write(bytes: Uint8Array): Promise<void>;
  keep(): Promise<void>;
  /** Does nothing once it was kept. */
  drop(): Promise<void>;
}

/** Files by URI. Rejects with an Error whose message is whole sentences for people. */
export interface InspectedFiles {
  open(uri: string): Promise<InspectedFile>;
  /** @param from The file that the bytes come from, which is not written over. */
  create(uri: string, from: string): Promise<InspectionTarget>;
}
