import { FileType, Uri, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { type FileParams, LIST_FOLDER, READ_FILE } from '../../server/src/lsp/messages.ts';
import type { Entry } from '../../server/src/service/machineSearch.ts';
import { decode } from '../../server/src/text/decode.ts';

/** Lets the server read machine files that are on no disk of its own: in virtual folders and in the browser. */
export function answerFileRequests(client: BaseLanguageClient): void {
  client.onRequest(READ_FILE, async ({ uri }: FileParams): Promise<string | null> => {
    try {
      return decode(await workspace.fs.readFile(Uri.parse(uri))).text;
    } catch {
      return null; // no such file, or no right to read it
    }
  });
  client.onRequest(LIST_FOLDER, async ({ uri }: FileParams): Promise<Entry[]> => {
    try {
      const entries = await workspace.fs.readDirectory(Uri.parse(uri));
      return entries.map(([name, type]) => ({ name, folder: (type & FileType.Directory) !== 0 }));
    } catch {
      return [];
    }
  });
}
