import { afterEach, describe, expect, test } from 'vitest';
import type { ClientCapabilities, CodeAction, Diagnostic } from 'vscode-languageserver';
import { type Client, startClient } from './client.ts';

// Questions about the controller, answered from the text into the machine file, over the real protocol, in memory.

const HOME = 'file:///yard';
const TEXT = `${HOME}/dunnock.end.gcode`;
const MACHINE = `${HOME}/dunnock.machine.json`;
const file = (controller = '') =>
  `{\n  // ours\n  "name": "Dunnock 193",\n  "bed": { "shape": "rectangle", "left": 0, "right": 193, "front": 0, "back": 171 }${controller}\n}\n`;
const text = 'M83\nG91\nG1 Z4 F600\nG90\nG1 E-1.5 F1800\nM104 S0\nM140 S0\nM107\n';
const capabilities: ClientCapabilities = {
  textDocument: {
    diagnostic: {},
    codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: ['quickfix'] } } },
  },
};

let client: Client;
afterEach(async () => client.end());
const start = async (machine: string): Promise<readonly Diagnostic[]> => {
  client = await startClient({ disk: new Map([[MACHINE, machine]]), folders: [HOME], capabilities });
  client.open(TEXT, text);
  return (await client.pull(TEXT)).filter(({ code }) => code === 'unstated-habit');
};
const answers = async (asked: Diagnostic): Promise<readonly CodeAction[]> => {
  const all: CodeAction[] = await client.connection.sendRequest('textDocument/codeAction', {
    textDocument: { uri: TEXT },
    range: asked.range,
    context: { diagnostics: [asked] },
  });
  return all.filter(({ title }) => title.startsWith('G90, G91 and E'));
};

describe('a question about the controller', () => {
  test('is asked where its answer matters, and answered by one click into the machine file', async () => {
    const [asked, ...more] = await start(file());
    expect(more).toEqual([]);
    expect(asked?.range.start).toEqual({ line: 3, character: 0 });
    const offered = await answers(asked as Diagnostic);
    expect(offered.map(({ title }) => title)).toEqual([
      'G90, G91 and E on Dunnock 193: yes',
      'G90, G91 and E on Dunnock 193: no',
    ]);
    const edits = offered[1]?.edit?.changes?.[MACHINE] ?? [];
    expect(edits.map(({ newText }) => newText).join('')).toContain('"distanceGovernsE": false');
  });

  test('is not asked where the machine file has the answer', async () => {
    expect(await start(file(',\n  "controller": { "distanceGovernsE": false }'))).toEqual([]);
  });
});
