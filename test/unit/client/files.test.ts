import { beforeEach, expect, test, vi } from 'vitest';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { answerFileRequests } from '../../../client/src/files.ts';
import { READ_FILE, type ReadFileAnswer } from '../../../server/src/lsp/messages.ts';

// How the editor's side reads what the server asks for, in virtual folders and in the browser: the editor's file system
// is a record here.

const editor = vi.hoisted(() => ({
  stat: vi.fn<(uri: string) => Promise<{ type: number; size: number }>>(),
  readFile: vi.fn<(uri: string) => Promise<Uint8Array>>(),
}));
// Numbers as VS Code's API has them (vscode.d.ts, FileType).
vi.mock('vscode', () => ({
  FileType: { Unknown: 0, File: 1, Directory: 2, SymbolicLink: 64 },
  Uri: { parse: (uri: string) => uri },
  workspace: { fs: editor },
}));

let read: (uri: string, largest?: number) => Promise<ReadFileAnswer> = async () => ({ reason: '' });
beforeEach(() => {
  const handlers = new Map<string, (params: object) => Promise<ReadFileAnswer>>();
  answerFileRequests({
    onRequest: (method: string, handler: never) => void handlers.set(method, handler),
  } as unknown as BaseLanguageClient);
  read = async (uri, largest = 100) => (await handlers.get(READ_FILE)?.({ uri, largest })) ?? { reason: 'no handler' };
  editor.stat.mockReset().mockResolvedValue({ type: 1, size: 4 });
  editor.readFile.mockReset().mockResolvedValue(new TextEncoder().encode('{ }\n'));
});

test('a file is read, also by a link', async () => {
  expect(await read('memfs:/a')).toEqual({ text: '{ }\n' });
  editor.stat.mockResolvedValue({ type: 65, size: 4 });
  expect(await read('memfs:/a')).toEqual({ text: '{ }\n' });
});

test.each([
  ['a folder', 2, /^it is a folder; name a file in it$/],
  ['a link to a folder', 66, /^it is a link to a folder/],
  ['something else', 0, /^it is neither a file nor a folder; put a regular file in its place$/],
])('%s is refused, and not read', async (_, type, reason) => {
  editor.stat.mockResolvedValue({ type, size: 4 });
  expect(await read('memfs:/a')).toEqual({ reason: expect.stringMatching(reason) });
  expect(editor.readFile).not.toHaveBeenCalled();
});

test('a file that is too large is not read; one that is larger than it was said to be is refused', async () => {
  editor.stat.mockResolvedValue({ type: 1, size: 101 });
  expect(await read('memfs:/a')).toEqual({
    reason: expect.stringMatching(/^it has 101 bytes, more than the 100 bytes/),
  });
  expect(editor.readFile).not.toHaveBeenCalled();
  editor.stat.mockResolvedValue({ type: 1, size: 4 });
  editor.readFile.mockResolvedValue(new Uint8Array(5000));
  expect(await read('memfs:/a')).toEqual({
    reason: expect.stringMatching(/raise the setting bookend\.largestMachineFile$/),
  });
});

test('what the editor says of a missing file is told in words', async () => {
  editor.stat.mockRejectedValue(Object.assign(new Error('x'), { code: 'FileNotFound' }));
  expect(await read('memfs:/a')).toEqual({ reason: 'there is no such file' });
});

test('a file system without an answer is given up after its time', async () => {
  vi.useFakeTimers();
  editor.stat.mockReturnValue(new Promise(() => {}));
  const answer = read('memfs:/a');
  await vi.advanceTimersByTimeAsync(5000);
  expect(await answer).toEqual({ reason: expect.stringMatching(/^there was no answer for 5 seconds/) });
});
