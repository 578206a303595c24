import { describe, expect, test } from 'vitest';
import type { ClientCapabilities, CodeAction } from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { FEATURES } from '../../server/src/lsp/features.ts';
import { startClient } from '../protocol/client.ts';
import { countWork, grownBeyond, sumOf, type Work } from './counting.ts';

// Every request of the table of features, asked about texts whose lines are very long: its work grows as the text does.
// Asked over the real protocol, so that what turns offsets into places and the answer into a message counts as well.

const HOME = 'file:///shop';
const URI = `${HOME}/long.start.gcode`;
const machine = (commandsPerLine: 'one' | 'many'): string =>
  JSON.stringify({
    name: 'Plover 204',
    bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    reach: { left: -3, right: 211, front: -2, back: 193, bottom: 0, top: 226 },
    heat: { nozzle: { max: 262, minExtrude: 168 }, bed: { max: 104 } },
    controller: { commandsPerLine },
  });

const capabilities: ClientCapabilities = {
  workspace: { workspaceEdit: { documentChanges: true } },
  textDocument: {
    diagnostic: {},
    documentSymbol: { hierarchicalDocumentSymbolSupport: true },
    codeAction: {
      dataSupport: true,
      resolveSupport: { properties: ['edit'] },
      codeActionLiteralSupport: { codeActionKind: { valueSet: ['quickfix', 'source.fixAll'] } },
    },
  },
};

/** What stands on the line, over and over. */
const PIECES: Readonly<Record<string, string>> = {
  moves: 'G1 X10 Y20 E1 F1200 ',
  'many findings': 'G28 M104 S999 G1 X300 E5 M1049 S2 G1 X1O G4 Q5 T9 ',
  'tags and unknown names': 'G1 X{{ part.left }} Y{{ part.fron }} M104 S{{ heat.nozzle.first }} ',
  sections: '{{# heat.bed.first > 60 }}G1 X{{ part.left - 50 }}{{/}}{{^ heat.bed.first > 60}}M106 S900{{/}} ',
  'unclosed sections': '{{# heat.bed.first > 60 }}G1 X5 ',
  'unclosed tags': 'G1 X{{ part.left ',
  comments: 'G1 X5 (note) ',
};

/** The work of each request about a text. The first is that for findings, so the text's analysis counts as its. */
async function workOn(text: string, perLine: 'one' | 'many'): Promise<Map<string, Work>> {
  const disk = new Map([[`${HOME}/plover.machine.json`, machine(perLine)]]);
  const client = await startClient({ disk, folders: [HOME], capabilities, pull: true });
  client.open(URI, text);
  const document = TextDocument.create(URI, 'bookend', 1, text);
  const place = (word: string) => document.positionAt(text.lastIndexOf(word, text.length / 2) + 1);
  const position = place(text.includes('{{') ? 'part.' : 'G1');
  const range = { start: { line: 0, character: 0 }, end: document.positionAt(text.length) };
  const asked: object = {
    ...{ textDocument: { uri: URI }, uri: URI, position, positions: [position, range.end], range },
    ...{ context: { diagnostics: [], includeDeclaration: true }, options: { tabSize: 2, insertSpaces: true } },
    ...{ newName: 'own.name', job: {} },
  };
  const works = new Map<string, Work>();
  const ask = async (name: string, method: string, params: object): Promise<unknown> => {
    let answer: unknown;
    works.set(
      name,
      await countWork(async () => {
        answer = await client.connection.sendRequest(method, params).catch(() => null);
      }),
    );
    return answer;
  };
  for (const { method } of FEATURES) {
    if (method.endsWith('/resolve')) continue;
    const answer = await ask(method, method, asked);
    const resolve = FEATURES.find((one) => one.method === method.replace('textDocument/', '').concat('/resolve'));
    const items = (Array.isArray(answer) ? answer : []) as CodeAction[];
    const late = items.filter(({ data }) => data !== undefined).slice(0, 3);
    for (const item of resolve ? late : []) await ask(`${method} ${item.title}`, resolve?.method ?? '', item);
  }
  await client.end();
  return works;
}

/** The tests for machines that take one command a line, or many: in files of their own, so that all cores have work. */
export const requestsGrow = (perLine: 'one' | 'many'): void => {
  describe('the work of every request grows as the text does', () => {
    test.each(Object.entries(PIECES))(`%s, on a machine that takes ${perLine} a line`, async (_, piece) => {
      const of = (n: number) => workOn(`G28 ${piece.repeat(n)}`, perLine);
      await of(2); // what is made once
      // Of nested sections the outer 64 are followed, so that more than these are needed to see how it goes on.
      const n = piece.startsWith('{{#') && !piece.includes('{{/') ? 200 : 60;
      const [short, long] = [await of(n), await of(2 * n)];
      expect(long.size).toBeGreaterThanOrEqual(FEATURES.length - 2);
      for (const [name, work] of long) {
        const before = short.get(name);
        if (!before) continue;
        expect(sumOf(work), name).toBeLessThan(2.2 * sumOf(before) + 3000);
        // A small part of the work may grow faster and not show in the sum yet.
        expect(grownBeyond(before, work), name).toEqual([]);
      }
    });
  });
};
