import fc from 'fast-check';
import { afterEach, describe, expect, test } from 'vitest';
import type { CompletionItem, DocumentSymbol, Hover, SymbolInformation } from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { engine } from '../../server/src/lsp/engine.ts';
import { CHOOSE_MACHINE, CHOOSE_ROLE, MACHINES, type Status } from '../../server/src/lsp/messages.ts';
import { type Client, type Options, startClient } from './client.ts';

// Sessions over the real protocol (Language Server Protocol 3.17), in memory.

const heron = (more: object = {}) =>
  JSON.stringify({
    name: 'Heron 228',
    bed: { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 },
    reach: { shape: 'rectangle', left: 0, right: 234, front: 0, back: 217, bottom: 0, top: 232 },
    heat: { nozzle: { max: 268 } },
    ...more,
  });
const wren = heron({
  name: 'Wren 120',
  reach: { shape: 'rectangle', left: 0, right: 120, front: 0, back: 120, bottom: 0, top: 100 },
});

const HOME = 'file:///shop';
const START = `${HOME}/warm.start.gcode`;
/** Homed, then a move to this X. */
const moveTo = (x: number, eol = '\n') => ['G21', 'G90', 'G28', `G1 X${x} F6000`, ''].join(eol);
const codes = (items: readonly { code?: unknown }[]) => items.map(({ code }) => code);

let client: Client;
const start = async (options: Options = {}) => {
  client = await startClient({
    disk: new Map([[`${HOME}/heron.machine.json`, heron()]]),
    folders: [HOME],
    ...options,
  });
  return client;
};
afterEach(async () => client.end());

describe('what the server says of itself', () => {
  test('a client that pulls is offered diagnostics that depend on other files', async () => {
    const { initialized } = await start({ pull: true });
    expect(initialized.capabilities).toMatchObject({
      positionEncoding: 'utf-16',
      textDocumentSync: { openClose: true, change: 2 },
      diagnosticProvider: { interFileDependencies: true, workspaceDiagnostics: false },
      hoverProvider: true,
      completionProvider: { triggerCharacters: [' ', '{', '.', '"', ':'], resolveProvider: true },
      documentSymbolProvider: true,
      codeActionProvider: { codeActionKinds: ['quickfix', 'source.fixAll.bookend'] },
      definitionProvider: true,
      referencesProvider: true,
      documentHighlightProvider: true,
      renameProvider: { prepareProvider: true },
      signatureHelpProvider: { triggerCharacters: ['(', ',', ' '] },
    });
  });

  test('a client that knows nothing at all is served by push', async () => {
    const { initialized, until, open } = await start({ capabilities: {} });
    expect(initialized.capabilities.diagnosticProvider).toBeUndefined();
    open(START, moveTo(300));
    const { diagnostics } = await until(START, ({ diagnostics }) => diagnostics.length > 0);
    expect(codes(diagnostics)).toContain('beyond-reach');
  });

  test('it asks to be told of machine files and settings', async () => {
    const { registered, untilTrue } = await start();
    await untilTrue(() => registered.length === 2);
    expect(registered[0]).toBe('workspace/didChangeConfiguration {"section":"bookend"}');
    expect(registered[1]).toContain('**/*.machine.json');
  });
});

describe('push', () => {
  test('opening publishes findings with the version and the place', async () => {
    const { open, until } = await start();
    open(START, moveTo(300));
    const { version, diagnostics } = await until(START, () => true);
    expect(version).toBe(1);
    const found = diagnostics.find(({ code }) => code === 'beyond-reach');
    expect(found).toMatchObject({
      source: 'Bookend',
      severity: 1,
      range: { start: { line: 3, character: 3 }, end: { line: 3, character: 7 } },
    });
    expect(found?.message).toContain('Heron 228');
  });

  test('of fast edits no version is published twice, late or out of order', async () => {
    const { open, edit, until, published } = await start();
    open(START, moveTo(10));
    await until(START, ({ version }) => version === 1);
    for (let version = 2; version <= 40; version++) edit(START, version, null, moveTo(190 + version));
    const { diagnostics } = await until(START, ({ version }) => version === 40);
    expect(diagnostics.find(({ code }) => code === 'beyond-reach')).toBeUndefined();
    edit(START, 41, null, moveTo(236));
    await until(START, ({ version }) => version === 41);
    const versions = published.map(({ version }) => version ?? 0);
    expect(versions).toEqual([...new Set(versions)].sort((a, b) => a - b));
    expect(versions[0]).toBe(1);
    expect(versions.slice(-2)).toEqual([40, 41]);
  });

  test('incremental edits arrive at the same text as opening it', async () => {
    const { open, edit, until } = await start();
    open(START, moveTo(10));
    const at = (line: number, from: number, to: number) => ({
      start: { line, character: from },
      end: { line, character: to },
    });
    edit(START, 2, at(3, 4, 6), '300');
    const edited = await until(START, ({ version }) => version === 2);
    const other = `${HOME}/same.start.gcode`;
    open(other, moveTo(300));
    const opened = await until(other, () => true);
    expect(edited.diagnostics.length).toBeGreaterThan(0);
    expect(edited.diagnostics).toEqual(opened.diagnostics);
  });

  test('after any edits the findings are those of the text opened afresh', async () => {
    const { open, edit, until } = await start();
    const pieces = [
      'G1 X300',
      '\n',
      '\r\n',
      '\r',
      '{{',
      '}}',
      ' heat.bed.first ',
      '1,5',
      '; \u{1f525}',
      ' E5',
      '#tools',
      '/',
      '"',
    ];
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(), fc.nat(12), fc.constantFrom(...pieces, '')), { minLength: 1, maxLength: 25 }),
        fc.uuid(),
        async (edits, name) => {
          const uri = `${HOME}/${name}.start.gcode`;
          open(uri, moveTo(10));
          // The client's own idea of the text, as an editor keeps it.
          const text = TextDocument.create(uri, 'bookend', 1, moveTo(10));
          for (const [i, [from, length, piece]] of edits.entries()) {
            const at = from % (text.getText().length + 1);
            const range = { start: text.positionAt(at), end: text.positionAt(at + length) };
            TextDocument.update(text, [{ range, text: piece }], i + 2);
            edit(uri, i + 2, range, piece);
          }
          const edited = await until(uri, ({ version }) => version === edits.length + 1);
          const fresh = `${HOME}/fresh-${name}.start.gcode`;
          open(fresh, text.getText());
          const opened = await until(fresh, () => true);
          expect(edited.diagnostics).toEqual(opened.diagnostics);
        },
      ),
      { numRuns: 60, seed: 2 },
    );
  });

  test('closing clears, and a result that comes later is dropped', async () => {
    const { open, edit, close, until, published } = await start();
    open(START, moveTo(300));
    await until(START, ({ diagnostics }) => diagnostics.length > 0);
    edit(START, 2, null, moveTo(310));
    close(START);
    await until(START, ({ diagnostics }) => diagnostics.length === 0);
    const other = `${HOME}/other.start.gcode`;
    open(other, moveTo(300));
    await until(other, () => true);
    expect(published.filter(({ uri }) => uri === START).at(-1)?.diagnostics).toEqual([]);
  });

  test('a deleted file loses its findings', async () => {
    const { open, watched, until } = await start();
    open(START, moveTo(300));
    await until(START, ({ diagnostics }) => diagnostics.length > 0);
    watched(START, 3);
    await until(START, ({ diagnostics }) => diagnostics.length === 0);
  });
});

describe('pull', () => {
  test('findings come by request, and nothing is pushed', async () => {
    const { open, pull, published } = await start({ pull: true });
    open(START, moveTo(300));
    expect(codes(await pull(START))).toContain('beyond-reach');
    expect(published).toEqual([]);
  });

  test('a text that is not open has none', async () => {
    const { pull } = await start({ pull: true });
    expect(await pull(START)).toEqual([]);
  });

  test('a machine file edited on disk has the client ask again', async () => {
    const disk = new Map([[`${HOME}/heron.machine.json`, heron()]]);
    const { open, pull, watched, untilTrue, counts } = await start({ pull: true, disk });
    open(START, moveTo(200));
    expect(codes(await pull(START))).not.toContain('beyond-reach');
    const before = counts.refreshed;
    disk.set(`${HOME}/heron.machine.json`, wren);
    watched(`${HOME}/heron.machine.json`, 2);
    await untilTrue(() => counts.refreshed > before);
    const found = (await pull(START)).find(({ code }) => code === 'beyond-reach');
    expect(found?.message).toContain('Wren 120');
  });
});

describe('the text of a document', () => {
  test.each([
    ['LF', '\n'],
    ['CRLF', '\r\n'],
    ['a lone CR', '\r'],
  ])('rows end at %s', async (_name, eol) => {
    const { open, pull } = await start({ pull: true });
    open(START, moveTo(300, eol));
    const found = (await pull(START)).find(({ code }) => code === 'beyond-reach');
    expect(found?.range).toEqual({ start: { line: 3, character: 3 }, end: { line: 3, character: 7 } });
  });

  test('columns count UTF-16 code units: an emoji before a tag counts two', async () => {
    const { open, pull } = await start({ pull: true });
    open(START, 'M117 \u{1f525}{{no.such.name}}\n');
    const found = (await pull(START)).find(({ code }) => code === 'unknown-placeholder');
    // 'M117 ' is 5, the emoji 2, '{{' 2: the name begins at 9 and has 12 characters.
    expect(found?.range).toEqual({ start: { line: 0, character: 9 }, end: { line: 0, character: 21 } });
  });

  test('an edit behind an emoji lands where the client means it', async () => {
    const { open, edit, pull } = await start({ pull: true });
    open(START, 'M117 \u{1f525}{{heat.bed.first}}\n');
    expect(codes(await pull(START))).not.toContain('unknown-placeholder');
    const place = { start: { line: 0, character: 9 }, end: { line: 0, character: 13 } };
    edit(START, 2, place, 'heap');
    const found = (await pull(START)).find(({ code }) => code === 'unknown-placeholder');
    expect(found?.range.start).toEqual({ line: 0, character: 9 });
  });
});

describe('settings', () => {
  test('two folders have settings of their own', async () => {
    const disk = new Map([
      ['file:///a/m.machine.json', heron()],
      ['file:///b/m.machine.json', heron()],
    ]);
    const settings = (uri: string) =>
      uri.startsWith('file:///a/') ? { rules: { 'beyond-reach': 'off' } } : { rules: { 'beyond-reach': 'hint' } };
    const { open, pull } = await start({ pull: true, disk, settings, folders: ['file:///a', 'file:///b'] });
    open('file:///a/x.start.gcode', moveTo(300));
    open('file:///b/x.start.gcode', moveTo(300));
    expect(codes(await pull('file:///a/x.start.gcode'))).not.toContain('beyond-reach');
    const found = (await pull('file:///b/x.start.gcode')).find(({ code }) => code === 'beyond-reach');
    expect(found?.severity).toBe(4);
  });

  test('a change is read again and every open text is checked again', async () => {
    let severity = 'warning';
    const { connection, open, until } = await start({ settings: () => ({ rules: { 'beyond-reach': severity } }) });
    open(START, moveTo(300));
    const severityOf = ({ diagnostics }: { diagnostics: { code?: unknown; severity?: number }[] }) =>
      diagnostics.find(({ code }) => code === 'beyond-reach')?.severity;
    await until(START, (latest) => severityOf(latest) === 2);
    severity = 'info';
    void connection.sendNotification('workspace/didChangeConfiguration', { settings: null });
    await until(START, (latest) => severityOf(latest) === 3);
  });

  test('a client without workspace/configuration sends them at the start and with each change', async () => {
    const { connection, open, until } = await start({
      capabilities: {},
      options: { bookend: { rules: { 'beyond-reach': 'off' } } },
    });
    open(START, moveTo(300));
    const first = await until(START, () => true);
    expect(codes(first.diagnostics)).not.toContain('beyond-reach');
    void connection.sendNotification('workspace/didChangeConfiguration', { settings: { bookend: {} } });
    await until(START, ({ diagnostics }) => codes(diagnostics).includes('beyond-reach'));
  });

  test('nonsense counts as not set', async () => {
    const { open, pull } = await start({
      pull: true,
      settings: () => ({ rules: { 'beyond-reach': 'loud', x: 3 }, largestFile: 'much', defaultMachine: 7 }),
    });
    open(START, moveTo(300));
    expect((await pull(START)).find(({ code }) => code === 'beyond-reach')?.severity).toBe(1);
  });

  test('a text over the size limit is not checked, and the status says so', async () => {
    const { connection, open, pull } = await start({ pull: true, settings: () => ({ largestFile: 0.0001 }) });
    open(START, moveTo(300).repeat(10));
    expect(await pull(START)).toEqual([]);
    const status = await connection.sendRequest<Status>(MACHINES, { uri: START });
    expect(status.state).toBe('too large');
    expect(status.reason).toContain('largestFile');
  });

  test('the client is told when a text grows past the limit', async () => {
    const { open, edit, pull, counts, untilTrue } = await start({
      pull: true,
      settings: () => ({ largestFile: 0.0001 }),
      options: { status: true },
    });
    open(START, moveTo(300));
    expect(await pull(START)).not.toEqual([]);
    const before = counts.changed;
    edit(START, 2, null, moveTo(300).repeat(10));
    expect(await pull(START)).toEqual([]);
    await untilTrue(() => counts.changed > before);
  });

  test('the default machine counts where nothing else decides', async () => {
    const disk = new Map([['file:///far/wren.machine.json', wren]]);
    const settings = () => ({ defaultMachine: '../far/wren.machine.json' });
    const { connection, open, pull } = await start({ pull: true, disk, settings });
    open(START, moveTo(200));
    expect(codes(await pull(START))).toContain('beyond-reach');
    const { current, reason } = await connection.sendRequest<Status>(MACHINES, { uri: START });
    expect(current?.name).toBe('Wren 120');
    expect(reason).toContain('default');
  });
});

describe('machine files', () => {
  test('the unsaved text in an editor counts, and closing it brings back the disk', async () => {
    const machine = `${HOME}/heron.machine.json`;
    const { open, edit, close, until } = await start();
    open(START, moveTo(200));
    await until(START, ({ diagnostics }) => !codes(diagnostics).includes('beyond-reach'));
    open(machine, heron(), 'bookend-machine');
    edit(machine, 2, null, wren);
    await until(START, ({ diagnostics }) => codes(diagnostics).includes('beyond-reach'));
    close(machine);
    await until(START, ({ diagnostics }) => !codes(diagnostics).includes('beyond-reach'));
  });

  test('a wrong value is a finding in the machine file, and its other facts hold', async () => {
    const machine = `${HOME}/heron.machine.json`;
    const { open, pull } = await start({ pull: true });
    open(machine, heron({ heat: { nozzle: { max: 'hot' } } }), 'bookend-machine');
    open(START, moveTo(300));
    const found = await pull(machine);
    expect(codes(found)).toEqual(['machine-file']);
    expect(found[0]?.message).toContain('hot');
    expect(codes(await pull(START))).toContain('beyond-reach');
  });

  test('a machine file that appears is used, one that goes is not', async () => {
    const disk = new Map<string, string>();
    const { open, watched, until } = await start({ disk });
    open(START, moveTo(300));
    await until(START, ({ diagnostics }) => !codes(diagnostics).includes('beyond-reach'));
    disk.set(`${HOME}/heron.machine.json`, heron());
    watched(`${HOME}/heron.machine.json`, 1);
    await until(START, ({ diagnostics }) => codes(diagnostics).includes('beyond-reach'));
    disk.clear();
    watched(`${HOME}/heron.machine.json`, 3);
    await until(START, ({ diagnostics }) => !codes(diagnostics).includes('beyond-reach'));
  });

  test('one that lists the sequence wins, wherever in the workspace it is', async () => {
    const disk = new Map([
      [`${HOME}/heron.machine.json`, heron()],
      [
        `${HOME}/machines/wren.machine.json`,
        JSON.stringify({ ...JSON.parse(wren), sequences: { start: '../warm.start.gcode' } }),
      ],
    ]);
    const { connection, open } = await start({ disk });
    open(START, moveTo(10));
    const status = await connection.sendRequest<Status>(MACHINES, { uri: START });
    expect(status).toMatchObject({ state: 'checked', current: { name: 'Wren 120', folder: 'machines' } });
    expect(status.known.map(({ name }) => name)).toEqual(['Heron 228', 'Wren 120']);
  });

  test('several in one folder: the status asks for a choice', async () => {
    const disk = new Map([
      [`${HOME}/heron.machine.json`, heron()],
      [`${HOME}/wren.machine.json`, wren],
    ]);
    const { connection, open, pull } = await start({ disk, pull: true });
    open(START, moveTo(300));
    const status = await connection.sendRequest<Status>(MACHINES, { uri: START });
    expect(status.state).toBe('several');
    expect(status.reason).toContain('Heron 228, Wren 120');
    expect(codes(await pull(START))).not.toContain('beyond-reach');
  });

  test('the pick decides, can be none, and can be forgotten', async () => {
    const disk = new Map([
      [`${HOME}/heron.machine.json`, heron()],
      [`${HOME}/wren.machine.json`, wren],
    ]);
    const { connection, open, until, counts } = await start({ disk, options: { status: true } });
    open(START, moveTo(200));
    await until(START, () => true);
    const { known } = await connection.sendRequest<Status>(MACHINES, { uri: START });
    expect(known.map(({ bed }) => bed)).toEqual([expect.stringContaining('228'), expect.stringContaining('228')]);
    const changed = counts.changed;
    await connection.sendRequest(CHOOSE_MACHINE, { uri: START, machine: known[1]?.uri });
    await until(START, ({ diagnostics }) => codes(diagnostics).includes('beyond-reach'));
    expect(counts.changed).toBeGreaterThan(changed);
    await connection.sendRequest(CHOOSE_MACHINE, { uri: START, machine: null });
    await until(START, ({ diagnostics }) => !codes(diagnostics).includes('beyond-reach'));
    expect(await connection.sendRequest(MACHINES, { uri: START })).toMatchObject({ state: 'no machine', picked: true });
    await connection.sendRequest(CHOOSE_MACHINE, { uri: START });
    expect(await connection.sendRequest(MACHINES, { uri: START })).toMatchObject({ state: 'several', picked: false });
  });

  test('picks of earlier sessions hold, however the client writes its URIs', async () => {
    const disk = new Map([
      ['file:///shop/my%20heron.machine.json', heron()],
      ['file:///shop/wren.machine.json', wren],
    ]);
    const { connection, open } = await start({
      disk,
      options: { picks: { 'file:///shop/a%5Bb%5D.start.gcode': 'file:///shop/my heron.machine.json' } },
    });
    open('file:///shop/a[b].start.gcode', moveTo(10));
    const status = await connection.sendRequest<Status>(MACHINES, { uri: 'file:///shop/a[b].start.gcode' });
    expect(status).toMatchObject({ state: 'checked', picked: true, current: { name: 'Heron 228' } });
  });

  test.each([
    ['missing', undefined, 'cannot be read'],
    ['empty', '', 'holds no machine'],
  ])('a %s machine file is a finding in the text that needs it; the rest goes on', async (_name, text, words) => {
    const gone = `${HOME}/gone.machine.json`;
    const disk = new Map<string, string>(text === undefined ? [] : [[gone, text]]);
    const { connection, open, pull } = await start({ pull: true, disk, options: { picks: { [START]: gone } } });
    open(START, 'G1 X1e3 F6000\n');
    const found = await pull(START);
    expect(found[0]).toMatchObject({ code: 'machine-file', severity: 2, range: { start: { line: 0, character: 0 } } });
    expect(found[0]?.message).toContain(words);
    expect(codes(found)).toContain('bad-number');
    expect(await connection.sendRequest(MACHINES, { uri: START })).toMatchObject({ state: 'unreadable' });
  });
});

describe('where documents come from', () => {
  test('an untitled text is a start sequence of the only workspace folder, until the user says otherwise', async () => {
    const { connection, open, pull } = await start({ pull: true });
    open('untitled:Untitled-1', moveTo(300));
    expect(codes(await pull('untitled:Untitled-1'))).toContain('beyond-reach');
    const status = await connection.sendRequest<Status>(MACHINES, { uri: 'untitled:Untitled-1' });
    expect(status.role).toBe('start');
    await connection.sendRequest(CHOOSE_ROLE, { uri: 'untitled:Untitled-1', role: 'end' });
    expect(await connection.sendRequest(MACHINES, { uri: 'untitled:Untitled-1' })).toMatchObject({ role: 'end' });
  });

  test('a virtual folder is read through the client', async () => {
    const virtual = new Map([['memory:/shop/heron.machine.json', heron()]]);
    const { open, pull } = await start({ pull: true, virtual, folders: ['memory:/shop'], options: { files: true } });
    open('memory:/shop/warm.start.gcode', moveTo(300));
    expect(codes(await pull('memory:/shop/warm.start.gcode'))).toContain('beyond-reach');
  });

  test('a client that cannot read for the server still gets everything that needs no machine', async () => {
    const { open, pull, log } = await start({ pull: true, folders: ['memory:/shop'] });
    open('memory:/shop/warm.start.gcode', 'G1 X1e3\n');
    expect(codes(await pull('memory:/shop/warm.start.gcode'))).toContain('bad-number');
    expect(log.filter((line) => line.includes('failed'))).toEqual([]);
  });

  test('a single file without a workspace finds the machine beside it', async () => {
    const { open, pull } = await start({ pull: true, folders: [] });
    open(START, moveTo(300));
    expect(codes(await pull(START))).toContain('beyond-reach');
  });

  test('a folder that is added brings its machine files', async () => {
    const disk = new Map([
      [`${HOME}/machines/heron.machine.json`, heron({ sequences: { start: '../../other/x.start.gcode' } })],
    ]);
    const uri = 'file:///other/x.start.gcode';
    const { connection, open, until } = await start({ disk, folders: ['file:///other'] });
    open(uri, moveTo(300));
    await until(uri, ({ diagnostics }) => !codes(diagnostics).includes('beyond-reach'));
    void connection.sendNotification('workspace/didChangeWorkspaceFolders', {
      event: { added: [{ uri: HOME, name: 'shop' }], removed: [] },
    });
    await until(uri, ({ diagnostics }) => codes(diagnostics).includes('beyond-reach'));
  });
});

describe('hover, completion, symbols', () => {
  test('hover speaks of the command under the cursor, with its range', async () => {
    const { connection, open } = await start();
    open(START, moveTo(10));
    const hover = await connection.sendRequest<Hover>('textDocument/hover', {
      textDocument: { uri: START },
      position: { line: 2, character: 1 },
    });
    expect(hover.range).toEqual({ start: { line: 2, character: 0 }, end: { line: 2, character: 3 } });
    expect(hover.contents).toMatchObject({ kind: 'markdown', value: expect.stringContaining('G28') });
  });

  test('every completion has an edit range that ends at the cursor', async () => {
    const { connection, open } = await start();
    open(START, 'G28\nM104 S{{heat.no\n');
    const items = await connection.sendRequest<CompletionItem[]>('textDocument/completion', {
      textDocument: { uri: START },
      position: { line: 1, character: 15 },
    });
    const item = items.find(({ label }) => label === 'heat.nozzle.first');
    expect(item?.textEdit).toMatchObject({
      range: { start: { line: 1, character: 8 }, end: { line: 1, character: 15 } },
    });
    expect(items.every(({ textEdit, documentation }) => textEdit && documentation)).toBe(true);
  });

  test('a client that can wait gets the pages of completions one by one', async () => {
    const { connection, open } = await start({
      capabilities: {
        textDocument: { completion: { completionItem: { resolveSupport: { properties: ['documentation'] } } } },
      },
    });
    open(START, 'G28\nM10\n');
    const items = await connection.sendRequest<CompletionItem[]>('textDocument/completion', {
      textDocument: { uri: START },
      position: { line: 1, character: 3 },
    });
    expect(items.some(({ documentation }) => documentation)).toBe(false);
    const item = items.find(({ label }) => label === 'M109');
    const whole = await connection.sendRequest<CompletionItem>('completionItem/resolve', item);
    expect(whole).toMatchObject({ label: 'M109', documentation: { value: expect.stringContaining('wait') } });
  });

  test('symbols are nested where the client knows nesting, else flat', async () => {
    const text = '; Warm up\nG28\n{{#tools}}\nG1 X1 F600\n{{/tools}}\n';
    const nested = await start();
    nested.open(START, text);
    const tree = await nested.connection.sendRequest<DocumentSymbol[]>('textDocument/documentSymbol', {
      textDocument: { uri: START },
    });
    expect(tree.length).toBeGreaterThan(0);
    expect(tree.every(({ range, selectionRange }) => range && selectionRange)).toBe(true);
    await nested.end();
    const flat = await start({ capabilities: {} });
    flat.open(START, text);
    const list = await flat.connection.sendRequest<SymbolInformation[]>('textDocument/documentSymbol', {
      textDocument: { uri: START },
    });
    expect(list.length).toBeGreaterThanOrEqual(tree.length);
    expect(list.every(({ location }) => location.uri === START)).toBe(true);
  });
});

describe('a crash', () => {
  const broken = {
    ...engine,
    hover: () => {
      throw new Error('hover broke');
    },
    checkMachineFile: () => {
      throw new Error('checking broke');
    },
  };

  test('in one handler is logged and answered with nothing; the session goes on', async () => {
    const { connection, open, pull, log, untilTrue } = await start({ pull: true, engine: broken });
    open(START, moveTo(300));
    const position = { line: 2, character: 1 };
    const hover = await connection.sendRequest('textDocument/hover', { textDocument: { uri: START }, position });
    expect(hover).toBeNull();
    await untilTrue(() => log.some((line) => line.includes('textDocument/hover') && line.includes('hover broke')));
    expect(codes(await pull(START))).toContain('beyond-reach');
    open(`${HOME}/heron.machine.json`, heron(), 'bookend-machine');
    expect(await pull(`${HOME}/heron.machine.json`)).toEqual([]);
    expect(codes(await pull(START))).toContain('beyond-reach');
  });

  test('while publishing is logged, and other texts are published', async () => {
    const { open, until, log, untilTrue } = await start({ engine: broken });
    open(`${HOME}/heron.machine.json`, heron(), 'bookend-machine');
    await untilTrue(() => log.some((line) => line.includes('checking broke')));
    open(START, moveTo(300));
    await until(START, ({ diagnostics }) => codes(diagnostics).includes('beyond-reach'));
  });

  test('requests that make no sense do not end the session', async () => {
    const { connection, open, pull } = await start({ pull: true });
    for (const [method, params] of [
      ['textDocument/hover', {}],
      ['textDocument/diagnostic', null],
      ['textDocument/completion', { textDocument: { uri: 3 }, position: {} }],
      [CHOOSE_MACHINE, {}],
      [MACHINES, 'nothing'],
    ] as const) {
      await connection.sendRequest(method, params).catch(() => null);
    }
    open(START, moveTo(300));
    expect(codes(await pull(START))).toContain('beyond-reach');
  });
});
