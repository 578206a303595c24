import { FileType, Uri, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { type OpenedFile, type ReadingDisk, readBounded } from '../../server/src/files/read.ts';
import {
  type FileParams,
  LIST_FOLDER,
  READ_FILE,
  type ReadFileAnswer,
  type ReadFileParams,
} from '../../server/src/lsp/messages.ts';
import type { FolderEntry } from '../../server/src/service/machineSearch.ts';
import { decode } from '../../server/src/text/decode.ts';

/** Lets the server read machine files that are on no disk of its own: in virtual folders and in the browser. */
export function answerFileRequests(client: BaseLanguageClient): void {
  client.onRequest(READ_FILE, async ({ uri, largest }: ReadFileParams): Promise<ReadFileAnswer> => {
    // What a person raises is told by the server, which knows the setting; where the file lies it has looked at, too.
    const limits = { largest, raise: 'the setting bookend.largestMachineFile', within: null };
    const bytes = await readBounded(editorDisk, uri, limits, clock);
    return 'reason' in bytes ? bytes : { text: decode(bytes).text };
  });
  client.onRequest(LIST_FOLDER, async ({ uri }: FileParams): Promise<FolderEntry[]> => {
    try {
      const entries = await workspace.fs.readDirectory(Uri.parse(uri));
      return entries.map(([name, type]) => ({ name, folder: (type & FileType.Directory) !== 0 }));
    } catch {
      return [];
    }
  });
}

const clock = {
  after(milliseconds: number, run: () => void) {
    const timer = setTimeout(run, milliseconds);
    return () => clearTimeout(timer);
  },
};

/** The editor's folders. It gives a file as a whole, so what is read was looked at before. */
const editorDisk: ReadingDisk = {
  look,
  isLink: async (uri) => ((await workspace.fs.stat(Uri.parse(uri))).type & FileType.SymbolicLink) !== 0,
  real: async (uri) => uri,
  async open(uri): Promise<OpenedFile> {
    const bytes = await workspace.fs.readFile(Uri.parse(uri));
    let at = 0;
    return {
      look: async () => ({ what: 'file', size: bytes.length }),
      async read(room) {
        const piece = bytes.subarray(at, at + room.length);
        room.set(piece);
        at += piece.length;
        return piece.length;
      },
      close: async () => {},
    };
  },
};

async function look(uri: string): ReturnType<ReadingDisk['look']> {
  const { type, size } = await workspace.fs.stat(Uri.parse(uri));
  if ((type & FileType.File) !== 0) return { what: 'file', size };
  return { what: (type & FileType.Directory) !== 0 ? 'folder' : 'nothing known', size };
}
