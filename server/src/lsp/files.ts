import { type ListingFs, listBounded } from '../files/list.ts';
import {
  type Clock,
  inTime,
  OUTSIDE,
  type ReadingDisk,
  type ReadLimits,
  type Refusal,
  readBounded,
  tooLarge,
} from '../files/read.ts';
import type { FolderEntry } from '../service/machineSearch.ts';
import { decode } from '../text/decode.ts';
import { LIST_FOLDER, READ_FILE } from './messages.ts';
import { isInside, schemeOf } from './uri.ts';

/** The text of a file, or why it is not read, as the rest of "FILE cannot be read:". */
export type ReadText = { readonly text: string } | Refusal;

/** The files that a session may read. Nothing is ever written. */
export interface Files {
  /** Never rejects. `limits.within`: URIs of folders. */
  read(uri: string, limits: ReadLimits): Promise<ReadText>;
  /** What lies directly in a folder; empty where there is none or it cannot be read. */
  list(folder: string): Promise<readonly FolderEntry[]>;
}

const NO_PLACE: Refusal = { reason: 'its name is no place on this system' };
const NO_ANSWER: Refusal = { reason: 'there is no such file, or the editor cannot read it' };

/** Files by file: URI on a disk. `pathOf` throws where a URI is no path on this system. */
export function diskFiles(disk: ReadingDisk & ListingFs, pathOf: (uri: string) => string, clock: Clock): Files {
  const place = (uri: string): string | null => {
    try {
      return pathOf(uri);
    } catch {
      return null;
    }
  };
  return {
    async read(uri, limits) {
      const path = place(uri);
      if (path === null) return NO_PLACE;
      const within = limits.within?.flatMap((folder) => place(folder) ?? []) ?? null;
      const bytes = await readBounded(disk, path, { ...limits, within }, clock);
      return 'reason' in bytes ? bytes : { text: decode(bytes).text };
    },
    async list(folder) {
      const path = place(folder);
      const entries = path === null ? NO_PLACE : await listBounded(disk, path, clock);
      return 'reason' in entries ? [] : entries;
    },
  };
}

type Ask = (method: string, params: { readonly uri: string; readonly largest?: number }) => Promise<unknown>;

/** The client's files, over Bookend's own requests: for virtual folders and in the browser. */
export function clientFiles(ask: Ask, clock: Clock): Files {
  return {
    async read(uri, { largest, raise, within }) {
      if (within !== null && !within.some((folder) => isInside(uri, folder))) return OUTSIDE;
      const answer = await inTime(clock, () => ask(READ_FILE, { uri, largest }));
      const { text = answer, reason } = (answer ?? {}) as { readonly text?: unknown; readonly reason?: unknown };
      if (typeof text !== 'string') return typeof reason === 'string' ? { reason } : NO_ANSWER;
      return text.length > largest ? { reason: tooLarge(text.length, { largest, raise }) } : { text };
    },
    async list(folder) {
      const entries = await inTime(clock, () => ask(LIST_FOLDER, { uri: folder }));
      return Array.isArray(entries) ? entries.filter((e) => typeof e?.name === 'string') : [];
    },
  };
}

/** file: URIs from the disk where there is one, all others from the client where it can. */
export function eitherFiles(disk: Files | null, client: Files | null): Files {
  const chosen = (uri: string): Files | null => (schemeOf(uri) === 'file' && disk ? disk : client);
  return {
    read: async (uri, limits) => (await chosen(uri)?.read(uri, limits)) ?? NO_ANSWER,
    list: async (folder) => (await chosen(folder)?.list(folder)) ?? [],
  };
}
