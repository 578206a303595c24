import { expect, test } from 'vitest';
import type { ReadLimits } from '../../server/src/files/read.ts';
import { clientFiles, eitherFiles } from '../../server/src/lsp/files.ts';
import { LIST_FOLDER, READ_FILE } from '../../server/src/lsp/messages.ts';

// What the server makes of the client's answers about files: it trusts neither their form, nor their size, nor that
// they come.

const LIMITS: ReadLimits = { largest: 10, raise: 'the limit', within: null };
const never = { after: () => () => {} };
const read = (answer: unknown, limits: Partial<ReadLimits> = {}, uri = 'memfs:/shop/a') =>
  clientFiles(async () => answer, never).read(uri, { ...LIMITS, ...limits });

test('a text is taken in either form, with the limit told to the client', async () => {
  const asked: unknown[] = [];
  const files = clientFiles(async (...what) => {
    asked.push(what);
    return { text: 'G28' };
  }, never);
  expect(await files.read('memfs:/a', LIMITS)).toEqual({ text: 'G28' });
  expect(asked).toEqual([[READ_FILE, { uri: 'memfs:/a', largest: 10 }]]);
  expect(await read('G28')).toEqual({ text: 'G28' });
});

test.each([
  [{ reason: 'it is a folder' }, 'it is a folder'],
  [null, 'there is no such file, or the editor cannot read it'],
  [undefined, 'there is no such file, or the editor cannot read it'],
  [7, 'there is no such file, or the editor cannot read it'],
  [{ text: 7, reason: 8 }, 'there is no such file, or the editor cannot read it'],
  [['G28'], 'there is no such file, or the editor cannot read it'],
  ['x'.repeat(11), 'it has 11 bytes, more than the 10 bytes that are read; shorten it, or raise the limit'],
])('the answer %j is refused', async (answer, reason) => {
  expect(await read(answer)).toEqual({ reason });
});

test('an answer that fails or never comes is a reason as well', async () => {
  const failing = clientFiles(async () => {
    throw new Error('no such request');
  }, never);
  expect(await failing.read('memfs:/a', LIMITS)).toEqual({ reason: 'no such request' });
  expect(await failing.list('memfs:/')).toEqual([]);
  let runOut = (): void => {};
  const clock = {
    after(_: number, run: () => void) {
      runOut = run;
      return () => {};
    },
  };
  const silent = clientFiles(() => new Promise(() => {}), clock);
  const text = silent.read('memfs:/a', LIMITS);
  runOut();
  expect(await text).toEqual({ reason: expect.stringMatching(/^there was no answer for 5 seconds/) });
  const list = silent.list('memfs:/');
  runOut();
  expect(await list).toEqual([]);
});

test('outside of its folders a file is not even asked for', async () => {
  const within = ['memfs:/shop'];
  expect(await read('G28', { within })).toEqual({ text: 'G28' });
  for (const uri of ['memfs:/far', 'memfs:/shopping/a', 'other:/shop/a'])
    expect(await read('G28', { within }, uri), uri).toEqual({
      reason: expect.stringMatching(/^it lies outside this workspace/),
    });
});

test('a listing keeps what has a name; without a client nothing is there', async () => {
  const files = clientFiles(
    async (method) => (method === LIST_FOLDER ? [{ name: 'a' }, null, { name: 7 }] : null),
    never,
  );
  expect(await files.list('memfs:/')).toEqual([{ name: 'a' }]);
  expect(await clientFiles(async () => ({ length: 3 }), never).list('memfs:/')).toEqual([]);
  const none = eitherFiles(null, null);
  expect(await none.read('file:///a', LIMITS)).toHaveProperty('reason');
  expect(await none.list('file:///')).toEqual([]);
});
