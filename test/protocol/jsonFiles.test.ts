import { afterEach, describe, expect, test } from 'vitest';
import {
  type CompletionItem,
  type CompletionList,
  CompletionTriggerKind,
  type DocumentSymbol,
  type FoldingRange,
  type Hover,
  type SelectionRange,
  type SymbolInformation,
  type TextEdit,
} from 'vscode-languageserver/node';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { type Client, type Options, startClient } from './client.ts';

// Editor features of machine and vocabulary files, in any editor: what the JSON library makes of our schemas.

const MACHINE = 'file:///loft/siskin.machine.json';
const NAMES = 'file:///loft/loft.placeholders.json';
const START = 'file:///loft/siskin.start.gcode';
const BED = '"bed": { "shape": "rectangle", "left": 0, "right": 204, "front": 0, "back": 188 }';
const SNIPPETS: Options = {
  capabilities: { textDocument: { completion: { completionItem: { snippetSupport: true } } } },
};

let client: Client;
afterEach(() => client.end());

/** Opens a text whose `|` marks the cursor, and asks about that place. */
async function at<T>(what: string, marked: string, more: object = {}, uri = MACHINE, language = 'bookend-machine') {
  const text = marked.replace('|', '');
  const before = marked.slice(0, marked.indexOf('|')).split('\n');
  const position = { line: before.length - 1, character: before.at(-1)?.length ?? 0 };
  client.open(uri, text, language);
  return ask<T>(what, { position, ...more }, uri);
}
const ask = <T>(what: string, params: object, uri = MACHINE): Promise<T> =>
  client.connection.sendRequest<T>(`textDocument/${what}`, { textDocument: { uri }, ...params });
const labels = (list: CompletionList | null): string[] => (list?.items ?? []).map(({ label }) => label);
const labelled = (list: CompletionList | null, label: string): CompletionItem | undefined =>
  list?.items.find((item) => item.label === label);

describe('completion', () => {
  test('keys that are not there yet, with what they mean', async () => {
    client = await startClient(SNIPPETS);
    const list = await at<CompletionList>('completion', '{ "name": "Siskin", | }');
    expect(labels(list)).toEqual(expect.arrayContaining(['bed', 'reach', 'keepOut', 'heat', '$schema']));
    expect(labels(list)).not.toContain('name');
    expect(JSON.stringify(labelled(list, 'mostFlow')?.documentation)).toContain('nozzle can melt');
  });

  test('a file that names a schema of its own gets the keys all the same', async () => {
    client = await startClient(SNIPPETS);
    for (const named of ['./machine.schema.json', 'https://example.com/other.json', '']) {
      const list = await at<CompletionList>('completion', `{ "$schema": "${named}", | }`);
      expect(labels(list), named).toContain('keepOut');
      client.close(MACHINE);
    }
  });

  test('values, in nested objects, with comments about', async () => {
    client = await startClient(SNIPPETS);
    const list = await at<CompletionList>('completion', '{ // measured\n "bed": { "shape": | } }');
    expect(labels(list)).toEqual(expect.arrayContaining(['"rectangle"', '"circle"', '"polygon"']));
  });

  test('a vocabulary file has its own keys, by its name alone', async () => {
    client = await startClient(SNIPPETS);
    const list = await at<CompletionList>('completion', '{ /* loft */ | }', {}, NAMES, 'json');
    expect(labels(list)).toEqual(expect.arrayContaining(['names', 'extends', 'delimiters']));
    expect(labels(list)).not.toContain('bed');
  });

  test('places to fill in only for clients that know them', async () => {
    client = await startClient(SNIPPETS);
    const withPlaces = await at<CompletionList>('completion', '{ | }');
    expect(labelled(withPlaces, 'heat')?.textEdit?.newText).toMatch(/"heat": \$\d|"heat": \{/);
    expect(JSON.stringify(withPlaces)).toMatch(/\$\{?1/);
    await client.end();
    client = await startClient();
    const plain = await at<CompletionList>('completion', '{ | }');
    expect(labels(plain)).toEqual(labels(withPlaces));
    for (const { textEdit, insertText } of plain.items) {
      expect(`${textEdit?.newText} ${insertText}`).not.toMatch(/\$\d|\$\{|\\[$}]/);
    }
    // What is left is JSON as far as it goes.
    const edit = labelled(plain, 'keepOut')?.textEdit?.newText ?? '';
    expect(edit.startsWith('"keepOut":')).toBe(true);
  });

  test('after " and : only here: in a sequence nothing begins there', async () => {
    client = await startClient(SNIPPETS);
    const context = { triggerKind: CompletionTriggerKind.TriggerCharacter, triggerCharacter: '"' };
    expect(labels(await at<CompletionList>('completion', '{ "|" }', { context }))).toContain('bed');
    expect(await at('completion', 'G1 X"|"', { context }, START, 'bookend')).toEqual([]);
    client.close(START);
    // Asked for by hand there is something.
    expect(await at<unknown[]>('completion', 'G1 |', {}, START, 'bookend')).not.toEqual([]);
  });
});

describe('hover', () => {
  test('says what a key means', async () => {
    client = await startClient();
    const hover = await at<Hover>('hover', '{ "mostF|low": 9.3 }');
    expect(hover.contents).toMatchObject({ kind: 'markdown', value: expect.stringMatching(/nozzle can melt/) });
    expect(hover.range).toEqual({ start: { line: 0, character: 2 }, end: { line: 0, character: 12 } });
  });

  test('nothing on what nobody knows, or where there is nothing', async () => {
    client = await startClient();
    expect(await at('hover', '{ "pla|nk": 3 }')).toBeNull();
    expect(await ask('hover', { position: { line: 9, character: 4 } })).toBeNull();
    expect(await ask('hover', { position: { line: 0, character: 0 } }, 'file:///loft/none.machine.json')).toBeNull();
  });
});

test('one mistake, one finding: a wrong key, a wrong value and broken JSON', async () => {
  client = await startClient({ pull: true });
  const text = `{ "name": "Siskin", ${BED}, "tols": 2, "nozzle": { "diameter": "wide" } "mostFlow": 9.3 }`;
  client.open(MACHINE, text, 'bookend-machine');
  // The part that knows JSON is at work by now.
  await ask('documentSymbol', {});
  const found = await client.pull(MACHINE);
  const marked = found.map(({ range }) => text.slice(range.start.character, range.end.character));
  expect(marked.sort()).toEqual(['"mostFlow"', '"tols"', '"wide"']);
});

test('comments and a comma at the end are allowed in vocabulary files', async () => {
  client = await startClient({ pull: true });
  client.open(
    NAMES,
    '{ // loft\n "names": { /* one */ "loft.glow": { "kind": "length", "range": [0, 3] }, } }',
    'json',
  );
  expect(await client.pull(NAMES)).toEqual([]);
});

test('outline, folds, selections and format', async () => {
  client = await startClient({
    capabilities: { textDocument: { documentSymbol: { hierarchicalDocumentSymbolSupport: true } } },
  });
  const text = `{ "name": "Siskin",\n// measured\n${BED},\n"heat": {\n"bed": { "max": 84 }\n} }\n`;
  client.open(MACHINE, text, 'bookend-machine');
  const symbols = await ask<DocumentSymbol[]>('documentSymbol', {});
  expect(symbols.map(({ name }) => name)).toEqual(['name', 'bed', 'heat']);
  expect(symbols[2]?.children?.[0]?.children?.map(({ name }) => name)).toEqual(['max']);
  const folds = await ask<FoldingRange[]>('foldingRange', {});
  expect(folds.map(({ startLine }) => startLine)).toEqual(expect.arrayContaining([0, 3]));
  const [chain] = await ask<SelectionRange[]>('selectionRange', { positions: [{ line: 4, character: 16 }] });
  expect(chain?.range).toEqual({ start: { line: 4, character: 16 }, end: { line: 4, character: 18 } });
  const edits = await ask<TextEdit[]>('formatting', { options: { tabSize: 2, insertSpaces: true } });
  const formatted = TextDocument.applyEdits(TextDocument.create(MACHINE, 'json', 1, text), edits);
  expect(formatted).toContain('\n  // measured\n  "bed": {\n    "shape": "rectangle",');
  expect(formatted.replace(/\s/g, '')).toBe(text.replace(/\s/g, ''));
});

test('an outline is flat where the client knows no nested one', async () => {
  const documentSymbol = { hierarchicalDocumentSymbolSupport: false };
  client = await startClient({ capabilities: { textDocument: { documentSymbol } } });
  client.open(MACHINE, '{ "heat": { "bed": { "max": 84 } } }', 'bookend-machine');
  const symbols = await ask<SymbolInformation[]>('documentSymbol', {});
  expect(symbols.map(({ name, location }) => [name, location.uri])).toEqual([
    ['heat', MACHINE],
    ['bed', MACHINE],
    ['max', MACHINE],
  ]);
});

describe('whatever stands in such a file', () => {
  const everything = async () => {
    const position = { line: 0, character: 5 };
    return [
      await ask('completion', { position }),
      await ask('hover', { position }),
      await ask('documentSymbol', {}),
      await ask('foldingRange', {}),
      await ask('selectionRange', { positions: [position] }),
    ];
  };

  test('above the limit of the setting nothing is read, and one finding says so', async () => {
    client = await startClient({ pull: true });
    client.open(MACHINE, `{ "name": "Siskin", "more": "${'x'.repeat(10_000_000)}" }`, 'bookend-machine');
    expect(await everything()).toEqual([[], null, [], [], null]);
    expect((await client.pull(MACHINE)).map(({ message }) => message)).toEqual([
      expect.stringMatching(/^This file is not read: .*bookend\.largestMachineFile/),
    ]);
    expect(client.log.filter((line) => line.includes('failed'))).toEqual([]);
  });

  test.each([
    ['nested 400,000 deep', '['.repeat(400_000)],
    ['nested deep, with lines', '{"a":\n'.repeat(100_000)],
    ['many keys', `{ ${Array.from({ length: 40_000 }, (_, i) => `"k${i}": ${i}`).join(', ')} }`],
    ['many items', `{ "keepOut": [${'{"name":"arm","left":3},'.repeat(30_000)}] }`],
    ['a mark and half a character', '\uFEFF{ "\ud83d": 1 '],
    ['nothing', ''],
  ])('%s: answered, and nothing failed', async (_, text) => {
    client = await startClient({ pull: true });
    client.open(MACHINE, text, 'bookend-machine');
    const [, , symbols, folds] = await everything();
    expect((symbols as unknown[]).length).toBeLessThanOrEqual(5000);
    expect((folds as unknown[]).length).toBeLessThanOrEqual(5000);
    const edits = await ask('formatting', { options: { tabSize: 2, insertSpaces: true } });
    expect(Array.isArray(edits) || edits === null).toBe(true);
    expect(client.log.filter((line) => line.includes('failed'))).toEqual([]);
  });
});
