import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { declareCommands } from '../../../server/src/service/declareCommands.ts';
import { unknownNamed } from '../../../server/src/service/draftCommands.ts';
import { applyEdits } from '../../../server/src/text/edit.ts';
import { analysed } from './support.ts';

const drafted = (text: string) => {
  const a = analysed(text);
  return unknownNamed(a, a.vocabulary);
};
const declared = (file: string, text = 'BASK MINUTES=5\n'): string | null => {
  const edit = declareCommands(file, drafted(text));
  return edit && applyEdits(file, [edit]);
};
const FILE = `{
  // The workshop's first machine.
  "name": "Heron 228",
  "bed": { "shape": "rectangle", "left": 0, "right": 228, "front": 0, "back": 206 }, // measured
  "commands": [
    { "name": "DUST_THE_TIP", "meaning": "Draws the nozzle over the brush." } // by the door
    // more to come
  ]
}
`;

describe('the named commands that a machine file does not know', () => {
  test('with their words, in the order of the text', () => {
    const found = drafted(
      'bask minutes=5 PLATE_AT={{ heat.bed.first }}\nDUST_THE_TIP STROKES=3\nSPURT NOTE="a b" AMOUNT={{ layer.height }} TEMP=5 BRISK\nBASK MINUTES=7\n',
    );
    expect(found.map(({ name, words }) => [name, words.map(({ meaning: _, ...word }) => word)])).toEqual([
      [
        'bask',
        [
          { key: 'minutes', required: true },
          { key: 'PLATE_AT', unit: 'degrees C' },
        ],
      ],
      [
        'SPURT',
        [
          { key: 'NOTE', unit: 'text' },
          { key: 'AMOUNT', unit: 'mm' },
          // Its name tells nothing.
          { key: 'TEMP' },
          { key: 'BRISK', unit: 'none' },
        ],
      ],
    ]);
    for (const { meaning, words } of found)
      for (const one of [meaning, ...words.map((w) => w.meaning)]) expect(one).toMatch(/^fill in: /);
  });

  test('codes and slips are none', () => {
    expect(drafted('G999 X5\nGO X5\nM104 S200\n')).toEqual([]);
  });
});

describe('added to a machine file', () => {
  test('behind the ones it has; comments and all else stay', () => {
    const text = declared(FILE) ?? '';
    expect(text).toBe(
      FILE.replace('the brush." } //', 'the brush." }, //').replace(
        '    // more to come\n',
        `    // more to come
    {
      "name": "BASK",
      "meaning": "fill in: what BASK does, and its effects.",
      "words": [
        {
          "key": "MINUTES",
          "meaning": "fill in: what MINUTES sets, and its unit."
        }
      ]
    }
`,
      ),
    );
    const { machine, problems } = readMachine(text);
    expect(problems).toEqual([]);
    expect(machine?.commands.map(({ name }) => name)).toEqual(['DUST_THE_TIP', 'BASK']);
  });

  test('to a file without a list, with its own ends of line and indentation', () => {
    const file =
      '{\r\n\t"name": "A",\r\n\t"bed": { "shape": "rectangle", "left": 0, "right": 9, "front": 0, "back": 9 }, // x\r\n}\r\n';
    const text = declared(file) ?? '';
    expect(text.startsWith(file.slice(0, -4))).toBe(true);
    expect(text).toContain('\r\n\t"commands": [\r\n\t\t{\r\n\t\t\t"name": "BASK",');
    expect(text.replaceAll('\r\n', '')).not.toContain('\n');
    expect(readMachine(text).problems).toEqual([]);
  });

  test('not where the file is broken', () => {
    for (const file of ['', '[]', '{ "name": ', FILE.replace('[', '{').replace(/\]\n/, '}\n'), '{"commands": 5}'])
      expect(declared(file)).toBe(null);
  });

  test('whatever the sequence says: the file loads, knows the commands, and only has text added', () => {
    const name = fc.stringMatching(/^[A-Z]{3}[A-Z0-9_]{0,9}$/);
    const value = fc.constantFrom('5', '"a b"', '{{ part.top }}', '-3.5', 'word', '');
    const line = fc.tuple(name, fc.array(fc.tuple(name, value), { maxLength: 4 }));
    fc.assert(
      fc.property(fc.array(line, { minLength: 1, maxLength: 5 }), (lines) => {
        const text = lines.map(([n, words]) => [n, ...words.map(([k, v]) => `${k}=${v}`)].join(' ')).join('\n');
        const commands = drafted(text);
        if (commands.length === 0) return;
        const edit = declareCommands(FILE, commands);
        expect(edit).not.toBe(null);
        if (!edit) return;
        const { machine, problems } = readMachine(applyEdits(FILE, [edit]));
        expect(problems).toEqual([]);
        const a = analysed(text, 'start', machine);
        expect(unknownNamed(a, a.vocabulary)).toEqual([]);
        expect(a.findings.filter(({ rule }) => rule === 'unknown-command' || rule === 'unknown-word')).toEqual([]);
      }),
      { seed: 7, numRuns: 300 },
    );
  });
});
