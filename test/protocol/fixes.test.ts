import { afterEach, describe, expect, test } from 'vitest';
import type { ClientCapabilities, CodeAction, TextEdit } from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { type Analysis, type Engine, engine } from '../../server/src/lsp/engine.ts';
import { finish, type Pieces } from '../../server/src/text/pieces.ts';
import { type Client, type Options, startClient } from './client.ts';

// What an editor gets beside the fix of one finding: all of a rule, all on saving, comments that ignore a rule, and
// how a rule counts in the settings and in the machine file. Over the real protocol, in memory.

const HOME = 'file:///shop';
const END = `${HOME}/cool.end.gcode`;
const MACHINE = `${HOME}/heron.machine.json`;
const heron = `{
  // Measured last spring.
  "name": "Heron 228",
  "bed": { "shape": "rectangle", "left": 0, "right": 228, "front": 0, "back": 206 }
}
`;
/** Lifts, and leaves nozzle, bed and fan on. */
const TEXT = 'G21\r\nG90\r\nG1 Z{{ min(part.top + 5, reach.top) }} F600\r\nM106 S255\r\nM84\r\n';

const capabilities: ClientCapabilities = {
  workspace: { workspaceEdit: { documentChanges: true } },
  textDocument: {
    diagnostic: {},
    codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: ['quickfix', 'source.fixAll'] } } },
  },
};

let client: Client;
const start = async (options: Options = {}, text = TEXT, machine = heron) => {
  client = await startClient({ disk: new Map([[MACHINE, machine]]), folders: [HOME], capabilities, ...options });
  client.open(END, text);
};
afterEach(async () => client.end());

const act = (line: number, more: object = {}): Promise<CodeAction[]> =>
  client.connection.sendRequest('textDocument/codeAction', {
    textDocument: { uri: END },
    range: { start: { line, character: 0 }, end: { line, character: 30 } },
    context: { diagnostics: [], ...more },
  });

interface Change {
  readonly textDocument: { readonly uri: string; readonly version: number | null };
  readonly edits: TextEdit[];
}
const changes = (action: CodeAction | undefined): Change[] => (action?.edit?.documentChanges ?? []) as Change[];
const applied = (action: CodeAction | undefined, text = TEXT): string =>
  TextDocument.applyEdits(TextDocument.create(END, '', 1, text), changes(action)[0]?.edits ?? []);
const rulesOf = async (): Promise<unknown[]> => (await client.pull(END)).map(({ code }) => code);

describe('fix all', () => {
  test('on saving: everything that may be fixed unseen, for this version, and nothing where nothing is', async () => {
    await start();
    expect(await rulesOf()).toEqual(expect.arrayContaining(['heat-left-on', 'fan-left-on']));
    const [all, ...more] = await act(0, { only: ['source.fixAll'] });
    expect(more).toEqual([]);
    expect(all?.kind).toBe('source.fixAll.bookend');
    expect(changes(all)[0]?.textDocument).toEqual({ uri: END, version: 1 });
    const after = applied(all);
    expect(after).toMatch(/M104 S0\r\n/);
    expect(after).toMatch(/M140 S0\r\n/);
    client.edit(END, 2, null, after);
    expect(await rulesOf()).not.toEqual(expect.arrayContaining(['heat-left-on']));
    expect(await rulesOf()).not.toEqual(expect.arrayContaining(['fan-left-on']));
    expect(await act(0, { only: ['source.fixAll.bookend'] })).toEqual([]);
  });

  test('of one rule, where it has several', async () => {
    const text = 'G21\nG90\nG28\nG1 X10 Y10 F6000\nM220 S50\nM221 S80\nG1 X20\n';
    await start({}, text);
    client.open(`${HOME}/warm.start.gcode`, text);
    const actions: CodeAction[] = await client.connection.sendRequest('textDocument/codeAction', {
      textDocument: { uri: `${HOME}/warm.start.gcode` },
      range: { start: { line: 4, character: 0 }, end: { line: 5, character: 4 } },
      context: { diagnostics: [] },
    });
    const all = actions.find(({ title }) => title === 'Fix all of factors-left');
    expect(changes(all)[0]?.textDocument.version).toBe(1);
    expect(applied(all, text)).toMatch(/M220 S100/);
    expect(applied(all, text)).toMatch(/M221 S100/);
  });

  test('not what the settings or the machine file switch off', async () => {
    await start(
      {
        settings: () => ({ rules: { 'fan-left-on': 'off' } }),
        capabilities: { ...capabilities, workspace: { ...capabilities.workspace, configuration: true } },
      },
      TEXT,
      heron.replace('"name"', '"rules": { "heat-left-on": "off" },\n  "name"'),
    );
    expect(await rulesOf()).not.toEqual(expect.arrayContaining(['heat-left-on']));
    expect(await act(0, { only: ['source.fixAll'] })).toEqual([]);
  });
});

describe('fix all, made when it is chosen', () => {
  const WARM = `${HOME}/warm.start.gcode`;
  const text = 'G21\nG90\nG28\nG1 X10 Y10 F6000\nM220 S50\nM221 S80\nG1 X20\n';
  const late: ClientCapabilities = {
    ...capabilities,
    textDocument: {
      ...capabilities.textDocument,
      codeAction: {
        ...capabilities.textDocument?.codeAction,
        dataSupport: true,
        resolveSupport: { properties: ['edit', 'command'] },
      },
    },
  };

  let analysed = 0;
  const counting: Engine = {
    ...engine,
    analyze: (...given) => {
      analysed++;
      return engine.analyze(...given);
    },
  };
  let shown: string[] = [];
  const warm = async (options: Options = {}) => {
    analysed = 0;
    shown = [];
    await start({ capabilities: late, engine: counting, ...options });
    client.connection.onNotification('window/showMessage', ({ message }: { message: string }) => {
      shown.push(message);
    });
    client.open(WARM, text);
    await client.pull(WARM);
    analysed = 0;
  };
  const offered = async (only?: string[]): Promise<CodeAction | undefined> => {
    const actions: CodeAction[] = await client.connection.sendRequest('textDocument/codeAction', {
      textDocument: { uri: WARM },
      range: { start: { line: 4, character: 0 }, end: { line: 5, character: 4 } },
      context: { diagnostics: [], ...(only ? { only } : {}) },
    });
    return actions.find(({ title }) => title.startsWith('Fix all'));
  };
  const chosen = (action: CodeAction | undefined): Promise<CodeAction> =>
    client.connection.sendRequest('codeAction/resolve', action as CodeAction);

  test('offering it checks nothing again; choosing it gives the edit that other clients get at once', async () => {
    await warm();
    expect(client.initialized.capabilities.codeActionProvider).toMatchObject({ resolveProvider: true });
    const action = await offered();
    expect(action).toMatchObject({ title: 'Fix all of factors-left', kind: 'quickfix' });
    expect(action?.edit).toBeUndefined();
    expect(analysed).toBe(0);
    const made = await chosen(action);
    expect(made).toMatchObject({ title: 'Fix all of factors-left', kind: 'quickfix' });
    expect(changes(made)[0]?.textDocument).toEqual({ uri: WARM, version: 1 });
    const late = applied(made, text);
    expect(late).toMatch(/M220 S100/);
    expect(late).toMatch(/M221 S100/);
    // Made once: asked again, it is there.
    const before = analysed;
    expect(before).toBeGreaterThan(0);
    expect((await chosen(action)).edit).toEqual(made.edit);
    expect(analysed).toBe(before);
    await client.end();

    await warm({ capabilities });
    expect(client.initialized.capabilities.codeActionProvider).not.toHaveProperty('resolveProvider');
    const whole = await offered();
    expect(applied(whole, text)).toBe(late);
    expect(whole).not.toHaveProperty('data');
    // The light bulb opens at every step of the cursor; the edit is made once for each state of the text.
    const once = analysed;
    await offered();
    expect(analysed).toBe(once);
  });

  test('as one of all rules, which is what is asked for on saving', async () => {
    await warm();
    const action = await offered(['source.fixAll']);
    expect(action).toMatchObject({ kind: 'source.fixAll.bookend' });
    expect(action?.edit).toBeUndefined();
    expect(applied(await chosen(action), text)).toMatch(/M220 S100/);
  });

  test('a text that has changed meanwhile gets the edit for what it is now', async () => {
    await warm();
    const action = await offered();
    const now = `; warmed up before\n${text}`;
    client.edit(WARM, 2, null, now);
    const made = await chosen(action);
    expect(changes(made)[0]?.textDocument).toEqual({ uri: WARM, version: 2 });
    const after = applied(made, now);
    expect(after.startsWith('; warmed up before\n')).toBe(true);
    expect(after).toMatch(/M220 S100/);
    expect(after.replace(/^M22[01] S100\n/gm, '')).toBe(now);
  });

  test('a text that needs no fix any more, or is closed, is left alone, and the person is told', async () => {
    await warm();
    const action = await offered();
    client.edit(WARM, 2, null, 'G21\nG90\nG28\n');
    expect((await chosen(action)).edit).toBeUndefined();
    expect(shown).toEqual([expect.stringContaining('no fix of factors-left is left')]);
    client.close(WARM);
    expect((await chosen(action)).edit).toBeUndefined();
  });

  test('fixes that turn out to go with nothing are told once, and not offered again for this text', async () => {
    const worse = finish(engine.analyze(`${text}G1 X9999 Z-9\n`, 'start', null, engine.vocabularyFor(null)));
    // biome-ignore lint/correctness/useYield: it is one piece
    const analysed = function* (result: Analysis): Pieces<Analysis> {
      return result;
    };
    const spoiled: Engine = {
      ...engine,
      analyze: (given, ...more) => (given.includes('M220 S100') ? analysed(worse) : engine.analyze(given, ...more)),
    };
    await warm({ engine: spoiled });
    const action = await offered();
    expect(action?.title).toBe('Fix all of factors-left');
    expect((await chosen(action)).edit).toBeUndefined();
    expect(shown).toHaveLength(1);
    expect(await offered()).toBeUndefined();
    client.edit(WARM, 2, null, `${text}\n`);
    expect((await offered())?.title).toBe('Fix all of factors-left');
    // On saving nobody is told.
    const saving = await offered(['source.fixAll']);
    expect(await chosen(saving)).toBeDefined();
    expect(shown).toHaveLength(1);
  });

  test('what is not asked for, and what has come back broken, is handed back as it came', async () => {
    await warm();
    const strange: CodeAction[] = [
      { title: 'a' },
      { title: 'b', data: 7 },
      { title: 'c', data: { uri: 'file:///no' } },
    ];
    for (const action of strange) expect(await chosen(action)).toEqual(action);
  });
});

describe('rules that do not count', () => {
  test('a comment above the line, or at the top', async () => {
    await start();
    const [finding] = (await client.pull(END)).filter(({ code }) => code === 'fan-left-on');
    const line = finding?.range.start.line ?? -1;
    const actions = await act(line);
    const here = actions.find(({ title }) => title === 'Ignore fan-left-on on this line');
    const file = actions.find(({ title }) => title === 'Ignore fan-left-on in this text');
    const rows = TEXT.split('\r\n');
    const commented = [...rows.slice(0, line), '; bookend-ignore-next-line fan-left-on', ...rows.slice(line)];
    expect(applied(here)).toBe(commented.join('\r\n'));
    expect(applied(file)).toBe(`; bookend-ignore-file fan-left-on\r\n${TEXT}`);
    client.edit(END, 2, null, `${applied(here)}`);
    // It is quiet, and asks for the reason.
    expect(await rulesOf()).toEqual(expect.arrayContaining(['unused-ignore']));
    expect(await rulesOf()).not.toContain('fan-left-on');
  });

  test('the machine file, its comments kept; then the rule is off for every text of that machine', async () => {
    await start();
    const off = (await act(4)).find(({ title }) => title.startsWith('Switch heat-left-on off for Heron 228'));
    expect(changes(off)[0]?.textDocument).toEqual({ uri: MACHINE, version: null });
    const after = TextDocument.applyEdits(TextDocument.create(MACHINE, '', 1, heron), changes(off)[0]?.edits ?? []);
    expect(after).toContain('// Measured last spring.');
    expect(after).toMatch(/"rules": \{\s*"heat-left-on": "off"\s*\}/);
    client.open(MACHINE, after, 'bookend-machine');
    expect(await rulesOf()).not.toContain('heat-left-on');
  });

  test('the person’s own settings win over the machine file', async () => {
    await start(
      {
        settings: () => ({ rules: { 'heat-left-on': 'hint' } }),
        capabilities: { ...capabilities, workspace: { ...capabilities.workspace, configuration: true } },
      },
      TEXT,
      heron.replace('"name"', '"rules": { "heat-left-on": "off", "fan-left-on": "error" },\n  "name"'),
    );
    const severities = new Map((await client.pull(END)).map(({ code, severity }) => [code, severity]));
    expect(severities.get('heat-left-on')).toBe(4);
    expect(severities.get('fan-left-on')).toBe(1);
  });

  test('the settings, where the client can ask for them', async () => {
    await start({ options: { setsSeverity: true } });
    const set = (await act(4)).find(({ command }) => command?.command === 'bookend.setSeverity');
    expect(set?.command?.arguments).toEqual([{ uri: END, rule: 'heat-left-on' }]);
    await client.end();
    await start();
    expect((await act(4)).filter(({ command }) => command)).toEqual([]);
  });
});

describe('fixes that change several places', () => {
  const text = 'G21\nG90\nM83\nG29\nG28\nM190 S60\nM109 S200\n';
  const swap = async (given: ClientCapabilities): Promise<CodeAction | undefined> => {
    await start({ capabilities: given });
    const uri = `${HOME}/level.start.gcode`;
    client.open(uri, text);
    const actions: CodeAction[] = await client.connection.sendRequest('textDocument/codeAction', {
      textDocument: { uri },
      range: { start: { line: 3, character: 0 }, end: { line: 3, character: 3 } },
      context: { diagnostics: [] },
    });
    return actions.find(({ edit }) => (changes({ title: '', edit: edit ?? {} })[0]?.edits.length ?? 0) > 1);
  };

  test('are shown before they are made, where the client can', async () => {
    const asks = { ...capabilities.workspace, workspaceEdit: { documentChanges: true, changeAnnotationSupport: {} } };
    const action = await swap({ ...capabilities, workspace: asks });
    const [annotation] = Object.values(action?.edit?.changeAnnotations ?? {});
    expect(annotation?.needsConfirmation).toBe(true);
    expect(annotation?.label).toBe(action?.title);
    await client.end();
    expect((await swap(capabilities))?.edit?.changeAnnotations).toBeUndefined();
  });
});
