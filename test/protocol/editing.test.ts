import { afterEach, describe, expect, test } from 'vitest';
import type {
  DocumentHighlight,
  FoldingRange,
  Range,
  SelectionRange,
  SemanticTokens,
  SignatureHelp,
  TextEdit,
} from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { type Client, type Options, startClient } from './client.ts';

// Requests about the text itself, over the real protocol (Language Server Protocol 3.17), in memory.

const START = 'file:///shop/warm.start.gcode';
const MACHINE = 'file:///shop/heron.machine.json';
const TEXT =
  '; heat\r\ng1   X10\tE{{ part.left }} ;a\r\nM104 S200.0;b\r\n{{# part.top > 5 }}\r\nG1 Z{{ part.top }}\r\n{{/}}\r\n';

let client: Client;
const start = async (options: Options = {}) => {
  client = await startClient({ disk: new Map(), ...options });
  client.open(START, TEXT);
  return client;
};
afterEach(async () => client.end());

const ask = <R>(method: string, params: object = {}, uri = START): Promise<R> =>
  client.connection.sendRequest<R>(`textDocument/${method}`, { textDocument: { uri }, ...params });
const document = TextDocument.create(START, '', 1, TEXT);
const covered = (range: Range): string => document.getText(range);
const behind = (word: string) => document.positionAt(TEXT.indexOf(word) + word.length);

describe('semantic tokens', () => {
  /** The tokens with the words of the legend in place of its numbers. */
  const read = ({ data }: SemanticTokens): string[] => {
    const { legend } = client.initialized.capabilities.semanticTokensProvider ?? {};
    const shown: string[] = [];
    let [line, character] = [0, 0];
    for (let i = 0; i < data.length; i += 5) {
      const [down = 0, right = 0, length = 0, type = 0, bits = 0] = data.slice(i, i + 5);
      line += down;
      character = down > 0 ? right : character + right;
      const text = covered({ start: { line, character }, end: { line, character: character + length } });
      const modifiers = legend?.tokenModifiers.filter((_, bit) => bits & (1 << bit)) ?? [];
      shown.push([text, legend?.tokenTypes[type], ...modifiers].join(' '));
    }
    return shown;
  };

  test('of the whole text', async () => {
    await start();
    const want = [
      ['g1 keyword', 'X parameter coordinate', '10 number coordinate', 'E parameter extrusion', 'part.left variable'],
      ['M104 keyword', 'S parameter temperature', '200.0 number temperature'],
      ['part.top variable', '5 number', 'G1 keyword', 'Z parameter coordinate', 'part.top variable'],
    ];
    expect(read(await ask<SemanticTokens>('semanticTokens/full'))).toEqual(want.flat());
  });

  test('of a range', async () => {
    await start();
    const range = { start: { line: 2, character: 0 }, end: { line: 2, character: 4 } };
    const found = read(await ask<SemanticTokens>('semanticTokens/range', { range }));
    expect(found).toEqual(['M104 keyword', 'S parameter temperature', '200.0 number temperature']);
  });

  test('none in machine files and in texts that are not open', async () => {
    await start();
    client.open(MACHINE, '{ "name": "Heron 228" }', 'bookend-machine');
    for (const uri of [MACHINE, 'file:///shop/other.start.gcode'])
      expect(await ask('semanticTokens/full', {}, uri)).toEqual({ data: [] });
  });
});

describe('folding', () => {
  test('phases and sections, by rows', async () => {
    const { initialized } = await start();
    expect(initialized.capabilities.foldingRangeProvider).toBe(true);
    expect(await ask<FoldingRange[]>('foldingRange')).toEqual([
      { startLine: 0, endLine: 5, kind: 'region' },
      { startLine: 3, endLine: 4, kind: 'region' },
    ]);
  });

  test('nothing to fold', async () => {
    const { edit } = await start();
    edit(START, 2, null, 'G28\nM84\n');
    expect(await ask('foldingRange')).toEqual([]);
    expect(await ask('foldingRange', {}, 'file:///none.gcode')).toEqual([]);
  });
});

describe('selection ranges', () => {
  test('one chain for each position, in their order', async () => {
    await start();
    const positions = [behind('X10'), behind('part.l')];
    const found = await ask<SelectionRange[]>('selectionRange', { positions });
    const chains = found.map((one) => {
      const chain: string[] = [];
      for (let at: SelectionRange | undefined = one; at; at = at.parent) chain.push(covered(at.range));
      return chain;
    });
    const command = 'g1   X10\tE{{ part.left }}';
    expect(chains[0]?.slice(0, 3)).toEqual(['10', 'X10', command]);
    expect(chains[1]?.slice(0, 4)).toEqual(['part.left', '{{ part.left }}', 'E{{ part.left }}', command]);
    expect(chains.map((chain) => chain.at(-1))).toEqual([TEXT, TEXT]);
  });

  test('null where there is no text', async () => {
    await start();
    const positions = [{ line: 0, character: 0 }];
    expect(await ask('selectionRange', { positions }, 'file:///none.gcode')).toBeNull();
  });
});

describe('formatting', () => {
  const options = { tabSize: 2, insertSpaces: true };
  const even =
    '; heat\r\nG1 X10 E{{ part.left }} ;a\r\nM104 S200               ;b\r\n{{# part.top > 5 }}\r\nG1 Z{{ part.top }}\r\n{{/}}\r\n';

  test('the whole text; a second time there is nothing to do', async () => {
    const { initialized, edit } = await start();
    expect(initialized.capabilities.documentFormattingProvider).toBe(true);
    expect(initialized.capabilities.documentRangeFormattingProvider).toBe(true);
    const edits = await ask<TextEdit[]>('formatting', { options });
    expect(TextDocument.applyEdits(document, edits)).toBe(even);
    edit(START, 2, null, even);
    expect(await ask('formatting', { options })).toEqual([]);
  });

  test('a range', async () => {
    await start();
    const range = { start: { line: 2, character: 0 }, end: { line: 2, character: 1 } };
    const edits = await ask<TextEdit[]>('rangeFormatting', { options, range });
    const rows = TextDocument.applyEdits(document, edits).split('\r\n');
    expect(rows[1]).toBe(TEXT.split('\r\n')[1]);
    expect(rows[2]).toBe(even.split('\r\n')[2]);
  });

  test('a client that can be told for which languages is told: plain JSON has another formatter', async () => {
    const dynamic = { dynamicRegistration: true };
    const capabilities = { textDocument: { formatting: dynamic, rangeFormatting: dynamic } };
    const { initialized, registered, untilTrue } = await start({ capabilities });
    expect(initialized.capabilities.documentFormattingProvider).toBeUndefined();
    await untilTrue(() => registered.length === 2);
    const languages = '[{"language":"bookend"},{"language":"bookend-machine"},{"language":"bookend-placeholders"}]';
    expect(registered).toEqual([
      `textDocument/formatting {"documentSelector":${languages}}`,
      `textDocument/rangeFormatting {"documentSelector":${languages}}`,
    ]);
  });

  test('lines with problems stay as they are', async () => {
    const { edit } = await start();
    edit(START, 2, null, 'g1   x1,5');
    expect(await ask('formatting', { options })).toEqual([]);
  });
});

describe('highlights of commands and words', () => {
  const at = async (word: string) =>
    (await ask<DocumentHighlight[]>('documentHighlight', { position: behind(word) })).map(({ range }) =>
      covered(range),
    );

  test('the same command, the same axis, the same name', async () => {
    await start();
    expect(await at('g1')).toEqual(['g1', 'G1']);
    expect(await at('S2')).toEqual(['S']);
    expect(await at('part.t')).toEqual(['part.top', 'part.top']);
  });

  test('none in a comment', async () => {
    await start();
    expect(await at('; he')).toEqual([]);
  });
});

describe('signature help of commands', () => {
  const help = (word: string) => ask<SignatureHelp | null>('signatureHelp', { position: behind(word) });

  test('the words with their pages, and which one is being written', async () => {
    const { initialized } = await start();
    expect(initialized.capabilities.signatureHelpProvider?.triggerCharacters).toContain(' ');
    const found = await help('M104 S2');
    const { label = '', parameters = [] } = found?.signatures[0] ?? {};
    expect(label).toMatch(/^M104 /);
    const active = parameters[found?.activeParameter ?? -1];
    const [from, to] = (active?.label ?? [0, 0]) as [number, number];
    expect(label.slice(from, to)).toMatch(/S/);
    expect(active?.documentation).toMatchObject({ kind: 'markdown', value: expect.stringContaining('°C') });
  });

  test('none in comments', async () => {
    await start();
    expect(await help('; he')).toBeNull();
  });
});

describe('links of findings', () => {
  const FAULT = 'G28\nM9999\n';
  const docs = 'file:///home/extensions/bookend/docs/';

  test('to the page of the rule, where the client says where the pages are', async () => {
    const { edit, until } = await start({ options: { docs } });
    edit(START, 2, null, FAULT);
    const { diagnostics } = await until(START, ({ version }) => version === 2);
    const found = diagnostics.find(({ code }) => code === 'unknown-command');
    expect(found?.codeDescription?.href).toBe('file:///home/extensions/bookend/docs/rules/unknown-command.md');
  });

  test('where findings are pulled too', async () => {
    const { edit, pull } = await start({ pull: true, options: { docs } });
    edit(START, 2, null, FAULT);
    const found = (await pull(START)).find(({ code }) => code === 'unknown-command');
    expect(found?.codeDescription?.href).toMatch(/docs\/rules\/unknown-command\.md$/);
  });

  test('none without it, for what is no address, and for what has no page', async () => {
    const { edit, until } = await start({ options: { docs: 'docs' } });
    edit(START, 2, null, FAULT);
    const { diagnostics } = await until(START, ({ version }) => version === 2);
    expect(diagnostics.length).toBeGreaterThan(0);
    expect(diagnostics.every(({ codeDescription }) => codeDescription === undefined)).toBe(true);
    await client.end();
    const { open, until: untilThen } = await start({ options: { docs } });
    open(MACHINE, '{ "name": 5 }', 'bookend-machine');
    const own = await untilThen(MACHINE, (latest) => latest.diagnostics.length > 0);
    expect(own.diagnostics.every(({ codeDescription }) => codeDescription === undefined)).toBe(true);
  });
});
