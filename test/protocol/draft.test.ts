import { afterEach, describe, expect, test } from 'vitest';
import type { ClientCapabilities, CodeAction } from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { DRAFT_PLACEHOLDERS } from '../../server/src/lsp/messages.ts';
import { type Client, startClient } from './client.ts';

// A vocabulary drafted in the editor, and what is done with the draft there, over the real protocol, in memory.

const HOME = 'file:///yard';
const START = `${HOME}/bench/brought.start.gcode`;
const END = `${HOME}/bench/brought.end.gcode`;
const ELSEWHERE = `${HOME}/other/another.start.gcode`;
const OTHER = `${HOME}/bench/own.layer.gcode`;
const PROGRAM = `${HOME}/bench/finished.gcode`;
const DRAFT = 'untitled:Untitled-1';
const text = 'M140 S«slab»\n«falls eilig»\nG28\n«fertig»\nG1 X«west / 2»\n';

const capabilities: ClientCapabilities = {
  textDocument: {
    diagnostic: {},
    codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: ['quickfix'] } } },
  },
};

let client: Client;
afterEach(async () => client.end());
const start = async (disk: Record<string, string> = {}): Promise<void> => {
  client = await startClient({ disk: new Map(Object.entries(disk)), folders: [HOME], capabilities });
  client.open(START, text);
};
const draft = (): Promise<string | null> => client.connection.sendRequest(DRAFT_PLACEHOLDERS, { uri: START });

describe('a draft from the open sequence', () => {
  test('alone', async () => {
    await start();
    expect(await draft()).toContain('drafted from one sequence');
  });

  test('and from those in its folder that are written alike, and from no other', async () => {
    await start({
      [END]: 'M140 S«off»\n',
      [ELSEWHERE]: 'M140 S«elsewhere»\n',
      [OTHER]: 'M117 {{ other }}\nM104 S{{ two }}\n',
      [PROGRAM]: 'M140 S«finished»\n',
    });
    const made = await draft();
    expect(made).toContain('drafted from 2 sequences');
    expect(made).toContain('"off": { "kind": "temperature"');
    expect(made).toMatch(/"off": .* line 1 of brought\.end\.gcode/);
    for (const name of ['elsewhere', 'other', 'finished']) expect(made).not.toContain(`"${name}"`);
  });
});

describe('in the draft', () => {
  const actions = async (line: number): Promise<CodeAction[]> => {
    const at = { line, character: 4 };
    return client.connection.sendRequest('textDocument/codeAction', {
      textDocument: { uri: DRAFT },
      range: { start: at, end: at },
      context: { diagnostics: [] },
    });
  };
  const applied = (made: string, action: CodeAction | undefined): string =>
    TextDocument.applyEdits(TextDocument.create(DRAFT, '', 1, made), action?.edit?.changes?.[DRAFT] ?? []);
  const rowOf = (made: string, part: string): number => made.slice(0, made.indexOf(part)).split('\n').length - 1;

  test('each guess is confirmed by the preferred action of its line, each answer kept by one of its own', async () => {
    await start();
    let made = (await draft()) ?? '';
    client.open(DRAFT, made, 'bookend-placeholders');
    const [confirm, all] = await actions(rowOf(made, '"if": "falls"'));
    expect([confirm?.title, confirm?.isPreferred]).toEqual(['Confirm', true]);
    expect(all?.title).toMatch(/^Confirm all \d+ guesses$/);
    expect(applied(made, confirm)).toContain('"if": "falls",\n');
    const answers = await actions(rowOf(made, '// answer: "wholeDivision": true'));
    expect(answers.map(({ title }) => title)).toEqual([
      'Keep "wholeDivision": false (3.5)',
      'Keep "wholeDivision": true (3)',
    ]);
    made = applied(made, answers[1]);
    expect(made).toContain('    "wholeDivision": true,\n');
    expect(made).not.toContain('7 / 2');
  });

  test('lines without a guess offer nothing, nor does a machine file', async () => {
    await start();
    const made = (await draft()) ?? '';
    client.open(DRAFT, made, 'bookend-placeholders');
    expect(await actions(0)).toEqual([]);
    const machine = `${HOME}/x.machine.json`;
    client.open(machine, '{ // guess: no\n}', 'bookend-machine');
    const at = { line: 0, character: 3 };
    expect(
      await client.connection.sendRequest('textDocument/codeAction', {
        textDocument: { uri: machine },
        range: { start: at, end: at },
        context: { diagnostics: [] },
      }),
    ).toEqual([]);
  });
});
