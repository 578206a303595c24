import { afterEach, describe, expect, test } from 'vitest';
import type {
  ClientCapabilities,
  CodeAction,
  DocumentHighlight,
  Location,
  SignatureHelp,
  WorkspaceEdit,
} from 'vscode-languageserver';
import { type Client, type Options, startClient } from './client.ts';

// Code actions, definition, references, rename and signature help over the real protocol, in memory.

const HOME = 'file:///shop';
const START = `${HOME}/warm.start.gcode`;
const END = `${HOME}/deep/cool.end.gcode`;
const LISTED = 'file:///elsewhere/far.gcode';
const NAMES = `${HOME}/own.placeholders.json`;
const MACHINE = `${HOME}/heron.machine.json`;
const heron = JSON.stringify(
  {
    name: 'Heron 228',
    bed: { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 },
    reach: { shape: 'rectangle', left: 0, right: 234, front: 0, back: 217, bottom: 0, top: 232 },
    commands: [{ name: 'BASK', meaning: 'Waits.' }],
    sequences: { pause: '../elsewhere/far.gcode' },
    placeholders: './own.placeholders.json',
  },
  null,
  2,
);
const own = `{
  "extends": "bookend",
  "names": {
    "west": { "kind": "length", "range": [0, 200], "atMost": "east" },
    "east": { "kind": "length", "range": [0, 200] }
  }
}`;
const START_TEXT =
  'G21\nG90\nG28\nBASK\nG1 X{{ west }} F6000\nG1 Z{{ part.top + 10 }}\n{{#west > 5}}\nM105\n{{/west > 5}}\n';
const END_TEXT = 'G1 X{{ west + 1 }}\nG1 X{{ east }}\n';

const capabilities: ClientCapabilities = {
  workspace: { workspaceEdit: { documentChanges: true, changeAnnotationSupport: {} } },
  textDocument: {
    diagnostic: {},
    codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: ['quickfix'] } } },
  },
};
const files = (): Map<string, string> =>
  new Map([
    [MACHINE, heron],
    [NAMES, own],
    [START, START_TEXT],
    [END, END_TEXT],
    [LISTED, 'M117 {{ west }}'],
    [`${HOME}/job.gcode`, 'M117 {{ west }}'],
  ]);

let client: Client;
const start = async (options: Options = {}) => {
  client = await startClient({
    disk: files(),
    folders: [HOME],
    capabilities,
    options: { showsFilledIn: true },
    ...options,
  });
  client.open(START, START_TEXT);
};
afterEach(async () => client.end());

const ask = <R>(method: string, line: number, character: number, more: object = {}, uri = START): Promise<R> =>
  client.connection.sendRequest<R>(`textDocument/${method}`, {
    textDocument: { uri },
    position: { line, character },
    ...more,
  });
const at = (line: number, from: number, to: number) => ({
  start: { line, character: from },
  end: { line, character: to },
});
const act = (line: number, more: object = {}): Promise<CodeAction[]> =>
  client.connection.sendRequest('textDocument/codeAction', {
    textDocument: { uri: START },
    range: at(line, 0, 20),
    context: { diagnostics: [], ...more },
  });

describe('code actions', () => {
  test('offer the edit for this version of the text, and the job of the finding', async () => {
    await start();
    const diagnostics = await client.pull(START);
    const [clamp, show] = await act(5, { diagnostics });
    expect(clamp).toMatchObject({ kind: 'quickfix', isPreferred: true, diagnostics: [{ code: 'beyond-reach' }] });
    expect(clamp?.edit?.documentChanges).toEqual([
      {
        textDocument: { uri: START, version: 1 },
        edits: [{ range: at(5, 7, 20), newText: 'min(part.top + 10, reach.top)' }],
      },
    ]);
    expect(show?.command).toMatchObject({
      command: 'bookend.showFilledIn',
      arguments: [{ uri: START, line: 5, job: { 'part.top': expect.any(Number) } }],
    });
  });

  test('declare a named command in the machine file, for the version of it that is open', async () => {
    await start();
    client.edit(START, 2, null, 'G28\nBASK\nDUST TIMES=3\nSPURT LENGTH=20\n');
    client.open(MACHINE, heron);
    const found = (await act(2)).filter(({ title }) => title.startsWith('Declare'));
    expect(found.map(({ title }) => title)).toEqual([
      'Declare DUST in the machine file of Heron 228, to be filled in',
      'Declare all 2 unknown named commands of this text in the machine file',
    ]);
    const [change] = (found[0]?.edit?.documentChanges ?? []) as {
      textDocument: object;
      edits: { newText: string; range: { start: { line: number; character: number } } }[];
    }[];
    expect(change?.textDocument).toEqual({ uri: MACHINE, version: 1 });
    expect(change?.edits).toHaveLength(1);
    expect(change?.edits[0]?.newText).toContain('"name": "DUST"');
    const rows = heron.split('\n');
    const { line, character } = change?.edits[0]?.range.start ?? { line: 0, character: 0 };
    const at = rows.slice(0, line).join('\n').length + 1 + character;
    const after = heron.slice(0, at) + change?.edits[0]?.newText + heron.slice(at);
    expect(JSON.parse(after).commands.map(({ name }: { name: string }) => name)).toEqual(['BASK', 'DUST']);
    // A command that is known is not offered, and neither is anything where no command stands.
    expect((await act(1)).filter(({ title }) => title.startsWith('Declare'))).toEqual([]);
  });

  test('follow the text: after an edit they are for what stands there then', async () => {
    await start();
    client.edit(START, 2, null, START_TEXT.replace('part.top', 'part.tpo'));
    const [first] = await act(5);
    expect(first?.edit?.documentChanges).toMatchObject([
      { textDocument: { version: 2 }, edits: [{ newText: 'part.top' }] },
    ]);
  });

  test('work for clients to which findings are pushed, and without versions', async () => {
    const { codeAction } = capabilities.textDocument ?? {};
    await start({ capabilities: codeAction ? { textDocument: { codeAction } } : {}, options: {} });
    const { diagnostics } = await client.until(START, (latest) => latest.diagnostics.length > 0);
    const actions = await act(5, { diagnostics });
    expect(actions.filter(({ command }) => command)).toEqual([]);
    expect(actions[0]?.edit?.changes?.[START]).toHaveLength(1);
    expect(actions[0]?.diagnostics).toHaveLength(1);
  });

  test('nothing for other kinds, for rules that are off, and for clients that take none', async () => {
    await start({
      settings: () => ({ rules: { 'beyond-reach': 'off' } }),
      capabilities: { ...capabilities, workspace: { configuration: true } },
    });
    expect(await act(5)).toEqual([]);
    await client.end();
    await start();
    expect(await act(5, { only: ['refactor'] })).toEqual([]);
    expect(await act(5, { only: ['quickfix'] })).not.toEqual([]);
    await client.end();
    await start({ capabilities: {} });
    expect(await act(5)).toEqual([]);
  });
});

describe('definition', () => {
  test('of a name in the vocabulary file, of a command in the machine file, of nothing for built-in names', async () => {
    await start();
    expect(await ask<Location>('definition', 4, 8)).toEqual({ uri: NAMES, range: at(3, 5, 9) });
    const command = await ask<Location>('definition', 3, 2);
    expect(command.uri).toBe(MACHINE);
    expect(heron.split('\n')[command.range.start.line]).toContain('BASK');
    expect(await ask('definition', 5, 9)).toBeNull();
    expect(await ask('definition', 0, 1)).toBeNull();
  });

  test('of a figure of the machine’s in its file', async () => {
    await start();
    client.edit(START, 2, null, 'G28\nG1 Z{{ reach.top }}');
    const fact = await ask<Location>('definition', 1, 10);
    expect(fact.uri).toBe(MACHINE);
    expect(heron.split('\n')[fact.range.start.line]).toContain('"top": 232');
  });
});

describe('references', () => {
  test('highlights in the document, closing tags included', async () => {
    await start();
    const found = await ask<DocumentHighlight[]>('documentHighlight', 4, 8);
    expect(found.map(({ range }) => range)).toEqual([at(4, 7, 11), at(6, 3, 7), at(8, 3, 7)]);
  });

  test('over open texts, the folder’s sequences and those that the machine lists', async () => {
    await start();
    const found = await ask<Location[]>('references', 4, 8, { context: { includeDeclaration: false } });
    expect(found.map(({ uri }) => uri)).toEqual([START, START, START, LISTED, END]);
    const all = await ask<Location[]>('references', 4, 8, { context: { includeDeclaration: true } });
    expect(all[0]).toEqual({ uri: NAMES, range: at(3, 5, 9) });
  });

  test('from the vocabulary file, relations between names included', async () => {
    await start();
    client.open(NAMES, own, 'bookend-placeholders');
    const found = await ask<Location[]>('references', 4, 6, { context: { includeDeclaration: false } }, NAMES);
    expect(found.map(({ uri, range }) => `${uri} ${range.start.line}`)).toEqual([`${NAMES} 3`, `${END} 1`]);
  });

  test('a text in an editor counts as it is there', async () => {
    await start();
    client.open(END, 'M105\n');
    const found = await ask<Location[]>('references', 4, 8, { context: { includeDeclaration: false } });
    expect(found.map(({ uri }) => uri)).toEqual([START, START, START, LISTED]);
  });
});

describe('rename', () => {
  test('asks for confirmation, and names the version of what is open', async () => {
    await start();
    const edit = await ask<WorkspaceEdit>('rename', 4, 8, { newName: 'near.west' });
    const [note] = Object.values(edit.changeAnnotations ?? {});
    expect(note).toEqual({
      label: 'Rename “west” to “near.west”',
      description: '6 places in 4 texts',
      needsConfirmation: true,
    });
    const changes = (edit.documentChanges ?? []).flatMap((change) => ('edits' in change ? [change] : []));
    expect(changes.map(({ textDocument: { uri, version }, edits }) => [uri, version, edits.length])).toEqual([
      [NAMES, null, 1],
      [START, 1, 3],
      [LISTED, null, 1],
      [END, null, 1],
    ]);
    for (const one of changes.flatMap(({ edits }) => edits))
      expect(one).toMatchObject({ newText: 'near.west', annotationId: expect.any(String) });
  });

  test('goes by plain changes for clients that know no others', async () => {
    await start({ capabilities: {} });
    const edit = await ask<WorkspaceEdit>('rename', 4, 8, { newName: 'w' });
    expect(Object.keys(edit.changes ?? {})).toEqual([NAMES, START, LISTED, END]);
    expect(edit.changeAnnotations).toBeUndefined();
  });

  test('says what can be renamed, and why the rest cannot', async () => {
    await start();
    expect(await ask('prepareRename', 4, 8)).toEqual({ range: at(4, 7, 11), placeholder: 'west' });
    await expect(ask('prepareRename', 5, 9)).rejects.toThrow(/“part.top” is a built-in name/);
    await expect(ask('rename', 5, 9, { newName: 'x' })).rejects.toThrow(/built-in name/);
    await expect(ask('rename', 4, 8, { newName: 'east' })).rejects.toThrow(/already/);
    await expect(ask('rename', 4, 8, { newName: 'a b' })).rejects.toThrow(/cannot be used/);
    expect(await ask('prepareRename', 0, 1)).toBeNull();
    expect(await ask('rename', 0, 1, { newName: 'x' })).toBeNull();
  });

  test('a name of the same spelling that another vocabulary declares stays', async () => {
    const disk = files();
    disk.set('file:///shop/deep/heron.machine.json', heron);
    disk.set('file:///shop/deep/own.placeholders.json', own);
    await start({ disk });
    const edit = await ask<WorkspaceEdit>('rename', 4, 8, { newName: 'w' });
    expect(JSON.stringify(edit)).not.toContain(END);
  });
});

test('signature help while a call is written', async () => {
  await start();
  client.edit(START, 2, null, 'G28\nG1 Z{{ min(part.top, ');
  const help = await ask<SignatureHelp>('signatureHelp', 1, 21);
  expect(help.signatures[0]?.label).toBe('min(a, b, …)');
  expect(help.activeParameter).toBe(1);
  expect(await ask('signatureHelp', 0, 1)).toBeNull();
  expect(client.initialized.capabilities.signatureHelpProvider?.triggerCharacters).toEqual(['(', ',', ' ']);
});
