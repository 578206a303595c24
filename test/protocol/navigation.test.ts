import { afterEach, describe, expect, test } from 'vitest';
import type {
  DocumentHighlight,
  Location,
  PrepareRenameResult,
  Range,
  SignatureHelp,
  TextDocumentEdit,
  WorkspaceEdit,
} from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { type Client, startClient } from './client.ts';

// Going about by placeholder names, over the real protocol (Language Server Protocol 3.17), in memory.

const HOME = 'file:///shop';
const START = `${HOME}/warm.start.gcode`;
const END = `${HOME}/away/cool.end.gcode`;
const OTHER = 'file:///elsewhere/other.start.gcode';
const NAMES = `${HOME}/own.placeholders.json`;
const MACHINE = `${HOME}/heron.machine.json`;

const machine = `{
  "name": "Heron 228",
  "bed": { "shape": "rectangle", "left": 0, "right": 228, "front": 0, "back": 206 },
  "reach": { "shape": "rectangle", "left": 0, "right": 234, "front": 0, "back": 217, "bottom": 0, "top": 232 },
  "commands": [{ "name": "dust", "meaning": "Wipes the nozzle." }],
  "placeholders": "./own.placeholders.json",
  "sequences": { "end": "./away/cool.end.gcode" }
}`;
const names = `{
  "delimiters": [["«", "»"]],
  "names": {
    "west": { "kind": "length", "range": [0, 200], "atMost": "east" },
    "east": { "kind": "length", "range": [0, 200] }
  }
}`;
const text = 'G28\r\nDUST\r\nG1 X«west» Y«min(west, reach.top)»\r\nG1 X«max(1, min(2, east))»\r\n';
const endText = '; «west» in a comment counts\nG1 X«west + 1»\n';

let client: Client;
const DISK = { [MACHINE]: machine, [NAMES]: names, [END]: endText, [OTHER]: 'G1 X{{ west }}\n' };
const start = async (workspaceEdit: object = { documentChanges: true, changeAnnotationSupport: {} }) => {
  client = await startClient({
    disk: new Map(Object.entries(DISK)),
    folders: [HOME],
    capabilities: { workspace: { workspaceFolders: true, workspaceEdit } },
  });
  client.open(START, text);
  return client;
};
afterEach(async () => client.end());

/** The place of the n-th time that `word` stands in the text, in its middle. */
function at(uri: string, source: string, word: string, nth = 0) {
  let offset = source.indexOf(word);
  for (let i = 0; i < nth; i++) offset = source.indexOf(word, offset + 1);
  const position = TextDocument.create(uri, '', 0, source).positionAt(offset + 1);
  return { textDocument: { uri }, position };
}
const covered = (source: string, range: Range) => TextDocument.create('', '', 0, source).getText(range);
const ask = <R>(method: string, params: object) => client.connection.sendRequest<R>(`textDocument/${method}`, params);

describe('definition', () => {
  test.each([
    ['west', NAMES, names, 'west'],
    ['reach.top', MACHINE, machine, '"top"'],
    ['DUST', MACHINE, machine, '"dust"'],
  ])('of %s', async (word, uri, source, want) => {
    await start();
    const found = await ask<Location>('definition', at(START, text, word));
    expect(found.uri).toBe(uri);
    expect(covered(source, found.range)).toBe(want);
  });

  test('follows the vocabulary file that is being edited', async () => {
    const { open } = await start();
    open(NAMES, `\n\n${names}`, 'bookend-placeholders');
    const found = await ask<Location>('definition', at(START, text, 'west'));
    expect(found.range.start).toEqual({ line: 5, character: 5 });
  });

  test('nothing for built-in names, commands that are not the machine’s own, and plain words', async () => {
    const { open } = await start();
    for (const word of ['28', 'G1', 'Y«']) expect(await ask('definition', at(START, text, word))).toBeNull();
    const usual = 'file:///plain/a.start.gcode';
    open(usual, 'M104 S{{ heat.nozzle.first }}');
    expect(await ask('definition', at(usual, 'M104 S{{ heat.nozzle.first }}', 'heat'))).toBeNull();
  });
});

describe('references', () => {
  const shown = (list: readonly Location[]) =>
    list
      .map(({ uri, range: { start } }) => `${uri.slice(uri.lastIndexOf('/') + 1)} ${start.line}:${start.character}`)
      .sort();

  test('in this document as highlights', async () => {
    await start();
    const found = await ask<DocumentHighlight[]>('documentHighlight', at(START, text, 'west'));
    expect(found.map(({ range }) => range.start)).toEqual([
      { line: 2, character: 5 },
      { line: 2, character: 17 },
    ]);
    expect(found.every(({ range }) => covered(text, range) === 'west')).toBe(true);
  });

  test('in open texts, in the sequences of the machine, and in the vocabulary where it is asked for', async () => {
    await start();
    const params = at(START, text, 'west');
    // Comments are filled in too (Mustache specification: a tag counts wherever it stands).
    const uses = ['cool.end.gcode 0:3', 'cool.end.gcode 1:5', 'warm.start.gcode 2:17', 'warm.start.gcode 2:5'];
    const inTexts = await ask<Location[]>('references', { ...params, context: { includeDeclaration: false } });
    expect(shown(inTexts)).toEqual(uses);
    const all = await ask<Location[]>('references', { ...params, context: { includeDeclaration: true } });
    expect(shown(all)).toContain('own.placeholders.json 3:5');
    // Another workshop's “west” is another name.
    expect(all.some(({ uri }) => uri === OTHER)).toBe(false);
  });

  test('from the vocabulary file the same', async () => {
    const { open } = await start();
    open(NAMES, names, 'bookend-placeholders');
    const context = { includeDeclaration: true };
    const fromText = await ask<Location[]>('references', { ...at(START, text, 'west'), context });
    const fromFile = await ask<Location[]>('references', { ...at(NAMES, names, 'west'), context });
    expect(shown(fromFile)).toEqual(shown(fromText));
  });

  test('an open text counts as its editor has it', async () => {
    const { open } = await start();
    open(END, 'G28\n');
    const found = await ask<Location[]>('references', {
      ...at(START, text, 'west'),
      context: { includeDeclaration: false },
    });
    expect(found.some(({ uri }) => uri === END)).toBe(false);
  });
});

describe('rename', () => {
  const rename = (word: string, newName: string) => ask<WorkspaceEdit>('rename', { ...at(START, text, word), newName });

  test('asks for confirmation, edits every place, and the result means the same', async () => {
    const { open } = await start();
    expect(await ask<PrepareRenameResult>('prepareRename', at(START, text, 'west'))).toMatchObject({
      placeholder: 'west',
    });
    const edit = await rename('west', 'part.west');
    const [id, annotation] = Object.entries(edit.changeAnnotations ?? {})[0] ?? [];
    expect(annotation).toMatchObject({ needsConfirmation: true, label: 'Rename “west” to “part.west”' });
    const changes = (edit.documentChanges ?? []) as TextDocumentEdit[];
    const sources: Record<string, string> = { ...DISK, [START]: text };
    const after = new Map<string, string>();
    for (const { textDocument, edits } of changes) {
      expect(textDocument.version).toBe(textDocument.uri === START ? 1 : null);
      expect(edits.every((one) => 'annotationId' in one && one.annotationId === id)).toBe(true);
      const document = TextDocument.create(textDocument.uri, '', 0, sources[textDocument.uri] ?? '');
      after.set(textDocument.uri, TextDocument.applyEdits(document, edits as never));
    }
    expect([...after.keys()].sort()).toEqual([END, NAMES, START].sort());
    expect(after.get(START)).toBe(text.replaceAll('west', 'part.west'));
    expect(after.get(NAMES)).toBe(names.replace('"west"', '"part.west"'));
    expect(after.get(END)).toBe(endText.replaceAll('west', 'part.west'));

    const renamed = after.get(START) ?? '';
    open(NAMES, after.get(NAMES) ?? '', 'bookend-placeholders');
    client.edit(START, 2, null, renamed);
    const found = await ask<Location>('definition', at(START, renamed, 'part.west'));
    expect(covered(after.get(NAMES) ?? '', found.range)).toBe('part.west');
  });

  test('relations between names follow', async () => {
    await start();
    const edit = await rename('east', 'right');
    const inFile = (edit.documentChanges as TextDocumentEdit[]).find(({ textDocument }) => textDocument.uri === NAMES);
    const document = TextDocument.create(NAMES, '', 0, names);
    expect(TextDocument.applyEdits(document, (inFile?.edits ?? []) as never)).toBe(names.replaceAll('east', 'right'));
  });

  test('a client that knows neither versions nor annotations gets plain changes', async () => {
    await start({});
    const edit = await rename('east', 'right');
    expect(edit.documentChanges).toBeUndefined();
    expect(Object.keys(edit.changes ?? {}).sort()).toEqual([NAMES, START].sort());
  });

  test('the machine’s figures refuse, with the reason', async () => {
    await start();
    const place = at(START, text, 'reach.top');
    await expect(ask('prepareRename', place)).rejects.toThrow(/reach\.top.*cannot be changed/);
    await expect(ask('rename', { ...place, newName: 'roof' })).rejects.toThrow(/reach\.top.*cannot be changed/);
    expect(await ask('prepareRename', at(START, text, 'DUST'))).toBeNull();
  });

  test.each([
    ['no name', /cannot be used as a name/],
    ['east', /already/],
    ['east.side', /shadow/],
  ])('“%s” is refused', async (to, why) => {
    await start();
    await expect(rename('west', to)).rejects.toThrow(why);
  });
});

describe('signature help', () => {
  const help = (word: string, nth = 0) => ask<SignatureHelp | null>('signatureHelp', at(START, text, word, nth));

  test('of the innermost call, with the parameter that is being written', async () => {
    const { initialized } = await start();
    expect(initialized.capabilities.signatureHelpProvider?.triggerCharacters).toEqual(['(', ',', ' ']);
    const inner = await help('2, east');
    expect(inner?.signatures[0]?.label).toBe('min(a, b, …)');
    expect(inner?.activeParameter).toBe(0);
    expect(inner?.signatures[0]?.parameters?.map(({ label }) => label)).toEqual([
      [4, 5],
      [7, 8],
      [10, 11],
    ]);
    expect((await help(', east'))?.activeParameter).toBe(1);
    const outer = await help('1, min');
    expect(outer?.signatures[0]?.label).toBe('max(a, b, …)');
  });

  test('nothing outside of calls and tags', async () => {
    await start();
    expect(await help('G28')).toBeNull();
    expect(await help('west')).toBeNull();
  });
});
