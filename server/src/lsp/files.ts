import type { Entry } from '../service/machineSearch.ts';
import { LIST_FOLDER, READ_FILE } from './messages.ts';
import { schemeOf } from './uri.ts';

/** The files that a session may read. Nothing is ever written. */
export interface Files {
  /** The text; null where there is no such file or it cannot be read. */
  read(uri: string): Promise<string | null>;
  /** What lies directly in a folder; empty where there is none or it cannot be read. */
  list(folder: string): Promise<readonly Entry[]>;
}

type Ask = (method: string, params: { readonly uri: string }) => Promise<unknown>;

/** The client's files, over Bookend's own requests: for virtual folders and in the browser. */
export function clientFiles(ask: Ask): Files {
  return {
    async read(uri) {
      const text = await ask(READ_FILE, { uri }).catch(() => null);
      return typeof text === 'string' ? text : null;
    },
    async list(folder) {
      const entries = await ask(LIST_FOLDER, { uri: folder }).catch(() => null);
      return Array.isArray(entries) ? entries.filter((e) => typeof e?.name === 'string') : [];
    },
  };
}

/** file: URIs from the disk where there is one, all others from the client where it can. */
export function eitherFiles(disk: Files | null, client: Files | null): Files {
  const chosen = (uri: string): Files | null => (schemeOf(uri) === 'file' && disk ? disk : client);
  return {
    read: async (uri) => (await chosen(uri)?.read(uri)) ?? null,
    list: async (folder) => (await chosen(folder)?.list(folder)) ?? [],
  };
}
