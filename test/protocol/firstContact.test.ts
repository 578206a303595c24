import { afterEach, describe, expect, test } from 'vitest';
import type { ClientCapabilities, CodeAction, Diagnostic } from 'vscode-languageserver';
import { type Client, type Options, startClient } from './client.ts';

// A text in another placeholder language, over the real protocol, in memory.

const HOME = 'file:///yard';
const TEXT = `${HOME}/bench/brought.start.gcode`;
const MACHINE = `${HOME}/bench/wagtail.machine.json`;
const OTHER = `${HOME}/other/loom.placeholders.json`;
const machine = (more: object = {}) =>
  JSON.stringify(
    {
      name: 'Wagtail 204',
      bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
      reach: { shape: 'rectangle', left: -3, right: 209, front: -3, back: 193, bottom: 0, top: 226 },
      heat: { nozzle: { max: 275 }, bed: { max: 105 } },
      ...more,
    },
    null,
    2,
  );
const loom = JSON.stringify({
  delimiters: [['«', '»']],
  keywords: { if: 'falls', end: 'fertig' },
  names: { slab: { standsFor: 'heat.bed.first' }, quill: { standsFor: 'heat.nozzle.first' } },
});
const text = 'G21\nG90\nG28\nM190 S«slab»\nM109 S«quill + 5»\n«falls quill > 220»\nM117 hot\n«fertig»\nG92 E0\n';

const capabilities: ClientCapabilities = {
  textDocument: {
    diagnostic: {},
    codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: ['quickfix'] } } },
  },
};

let client: Client;
const start = async (disk: Record<string, string>, options: Options = {}) => {
  client = await startClient({ disk: new Map(Object.entries(disk)), folders: [HOME], capabilities, ...options });
  client.open(TEXT, text);
};
afterEach(async () => client.end());

const actions = (diagnostics: readonly Diagnostic[] = []): Promise<CodeAction[]> =>
  client.connection.sendRequest('textDocument/codeAction', {
    textDocument: { uri: TEXT },
    range: { start: { line: 3, character: 8 }, end: { line: 3, character: 8 } },
    context: { diagnostics },
  });
/** What an action writes, by file: each edit's text. */
const written = ({ edit }: CodeAction): Record<string, string[]> =>
  Object.fromEntries(
    Object.entries(edit?.changes ?? {}).map(([uri, edits]) => [uri, edits.map(({ newText }) => newText)]),
  );
const titled = async (begins: string): Promise<CodeAction | undefined> =>
  (await actions()).find(({ title }) => title.startsWith(begins));

describe('a text in a language that another vocabulary of the workspace describes', () => {
  test('has one finding of it', async () => {
    await start({ [MACHINE]: machine(), [OTHER]: loom });
    const found = await client.pull(TEXT);
    expect(found.map(({ code }) => code)).toEqual(['unknown-language']);
    expect(found[0]?.message).toContain('placeholders in « » 4 times, with sections');
  });

  test('offers to name that vocabulary in the machine file', async () => {
    await start({ [MACHINE]: machine(), [OTHER]: loom });
    const use = await titled('Use loom.placeholders.json for Wagtail 204');
    expect(use).toBeDefined();
    expect(written(use as CodeAction)[MACHINE]?.join('')).toContain(
      '"placeholders": "../other/loom.placeholders.json"',
    );
    // With that file the text has nothing unknown any more.
    await client.end();
    await start({ [MACHINE]: machine({ placeholders: '../other/loom.placeholders.json' }), [OTHER]: loom });
    expect((await client.pull(TEXT)).map(({ code }) => code)).not.toContain('unknown-language');
  });

  test('offers to write its placeholders as the machine’s vocabulary has them', async () => {
    await start({ [MACHINE]: machine(), [OTHER]: loom });
    const write = await titled('Write these placeholders');
    expect(written(write as CodeAction)[TEXT]).toEqual([
      '{{ heat.bed.first }}',
      '{{ heat.nozzle.first + 5 }}',
      '{{# heat.nozzle.first > 220 }}',
      '{{/}}',
    ]);
  });

  test('offers to write them as the built-in names where no machine is chosen', async () => {
    await start({ [OTHER]: loom });
    const write = await titled('Write these placeholders as Bookend has them');
    expect(written(write as CodeAction)[TEXT]?.[0]).toBe('{{ heat.bed.first }}');
    expect(await titled('Use')).toBeUndefined();
  });

  test('what mends the finding belongs to it, and stands before what silences it', async () => {
    await start({ [MACHINE]: machine(), [OTHER]: loom }, { options: { draftsPlaceholders: true } });
    const found = await client.pull(TEXT);
    const all = (await actions(found)).filter(({ diagnostics }) => diagnostics?.length === 1);
    const ranks = all.map(({ title }) =>
      ['Draft', 'Use', 'Write', 'Ignore'].findIndex((word) => title.startsWith(word)),
    );
    expect(ranks.slice(0, 4)).toEqual([0, 1, 2, 3]);
  });

  test('offers neither where no vocabulary reads it, and the draft only to clients that can', async () => {
    await start({ [MACHINE]: machine(), [OTHER]: loom.replace('slab', 'other').replace('quill', 'another') });
    expect((await actions()).filter(({ title }) => /^(Use|Write)/.test(title))).toEqual([]);
    expect(await titled('Draft')).toBeUndefined();
    await client.end();
    await start({ [MACHINE]: machine() }, { options: { draftsPlaceholders: true } });
    expect((await titled('Draft'))?.command?.command).toBe('bookend.draftPlaceholders');
  });
});
