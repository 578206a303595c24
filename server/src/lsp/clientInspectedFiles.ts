import { fromBase64, toBase64 } from '../text/base64.ts';
import type { InspectedFiles } from './inspectedFiles.ts';
import type { InspectedFileAnswer, InspectedFileParams } from './inspectionMessages.ts';
import { schemeOf } from './uri.ts';

/** Sends the client a request `JOB_FILE`. */
export type AskForFile = (params: InspectedFileParams) => Promise<unknown>;

/** Files in the client's hands, in slices: for virtual folders and in the browser. */
export function clientJobFiles(ask: AskForFile): InspectedFiles {
  const say = async (params: InspectedFileParams): Promise<Extract<InspectedFileAnswer, { ok: true }>> => {
    const answer = (await ask(params)) as InspectedFileAnswer | null;
    if (!answer?.ok) throw new Error(answer?.message ?? 'The editor cannot open files of this kind for Bookend.');
    return answer;
  };
  const begin = async (what: 'open' | 'create', uri: string): Promise<{ id: number; size: number }> => {
    const { id = 0, size = 0 } = await say({ do: what, uri });
    return { id, size };
  };
  return {
    async open(uri) {
      const { id, size } = await begin('open', uri);
      return {
        size,
        read: async (offset, length) => fromBase64((await say({ do: 'read', id, offset, length })).bytes ?? ''),
        changed: async () => null, // the client keeps the bytes as they were
        close: async () => void (await say({ do: 'close', id })),
      };
    },
    async create(uri) {
      const { id } = await begin('create', uri);
      return {
        write: async (bytes) => void (await say({ do: 'write', id, bytes: toBase64(bytes) })),
        keep: async () => void (await say({ do: 'keep', id })),
        drop: async () => void (await say({ do: 'close', id })),
      };
    },
  };
}

/** file: URIs from the disk where there is one, all others from the client. */
export function eitherInspectedFiles(disk: InspectedFiles | null, client: InspectedFiles): InspectedFiles {
  const chosen = (uri: string): InspectedFiles => (schemeOf(uri) === 'file' && disk ? disk : client);
  return { open: (uri) => chosen(uri).open(uri), create: (uri, from) => chosen(uri).create(uri, from) };
}
