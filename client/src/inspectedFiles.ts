import { Uri, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  type InspectedFileAnswer,
  type InspectedFileParams,
  JOB_FILE,
} from '../../server/src/lsp/inspectionMessages.ts';
import { fromBase64, toBase64 } from '../../server/src/text/base64.ts';

/** A file that is being read, or one that is being written. */
type Held = { readonly bytes: Uint8Array } | { readonly uri: Uri; readonly parts: Uint8Array[] };

/** Lets the server read and write whole files that are on no disk of its own: in virtual folders and in the browser. */
export function answerInspectedFiles(client: BaseLanguageClient): void {
  const held = new Map<number, Held>();
  let next = 0;
  const hold = (file: Held): number => {
    held.set(++next, file);
    return next;
  };

  const answer = async (params: InspectedFileParams): Promise<InspectedFileAnswer> => {
    if (params.do === 'open') {
      const bytes = await workspace.fs.readFile(Uri.parse(params.uri));
      return { ok: true, id: hold({ bytes }), size: bytes.length };
    }
    if (params.do === 'create') return { ok: true, id: hold({ uri: Uri.parse(params.uri), parts: [] }) };
    if (params.do !== 'close') return work(params);
    held.delete(params.id);
    return { ok: true };
  };

  const work = async (
    params: Extract<InspectedFileParams, { readonly do: 'read' | 'write' | 'keep' }>,
  ): Promise<InspectedFileAnswer> => {
    const file = held.get(params.id);
    if (!file) return { ok: false, message: 'This file is closed.' };
    if (params.do === 'read' && 'bytes' in file) {
      return { ok: true, bytes: toBase64(file.bytes.subarray(params.offset, params.offset + params.length)) };
    }
    if (params.do === 'write' && 'parts' in file) file.parts.push(fromBase64(params.bytes));
    if (params.do === 'keep' && 'parts' in file) await writeWhole(file.uri, file.parts);
    return { ok: true };
  };

  client.onRequest(JOB_FILE, async (params: InspectedFileParams): Promise<InspectedFileAnswer> => {
    try {
      return await answer(params);
    } catch (error) {
      const what = params.do === 'open' ? 'read' : 'written';
      return { ok: false, message: `It cannot be ${what}: ${error instanceof Error ? error.message : String(error)}` };
    }
  });
}

/** Under a name of its own first, so that nothing half written ever stands under the wanted one. */
async function writeWhole(uri: Uri, parts: readonly Uint8Array[]): Promise<void> {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  // A name that nobody else has: another program's file must not be written over.
  const beside = uri.with({ path: `${uri.path}.bookend-${crypto.randomUUID()}.tmp` });
  try {
    await workspace.fs.writeFile(beside, bytes);
    await workspace.fs.rename(beside, uri, { overwrite: true });
  } catch (error) {
    await workspace.fs.delete(beside).then(undefined, () => {});
    throw error;
  }
}
