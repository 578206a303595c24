import { describe, expect, test } from 'vitest';
import { analyze } from '../../../server/src/service/analyze.ts';
import { commandPlace, declaredAt, factPlace, namePlace } from '../../../server/src/service/definition.ts';
import {
  fixedBecause,
  newNameFault,
  renamedFault,
  vocabularyNameAt,
  vocabularyPlaces,
} from '../../../server/src/service/rename.ts';
import { signatureHelp } from '../../../server/src/service/signatureHelp.ts';
import { usesOf } from '../../../server/src/service/uses.ts';
import { slice } from '../../../server/src/text/span.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { analysed, HERON } from './support.ts';

describe('uses of a name', () => {
  test('in values, sections and closing tags, each as the name that it is in a job', () => {
    const text =
      '{{#tools}}\nT{{ number }} ; {{ number + layer.first }}\n{{/tools}}\n{{^ heat.chamber }}{{/ heat.chamber }}';
    const uses = usesOf(analysed(text));
    expect(uses.map(({ span, key }) => [slice(text, span), key])).toEqual([
      ['tools', 'tools'],
      ['number', 'tools[].number'],
      ['number', 'tools[].number'],
      ['layer.first', 'layer.first'],
      ['tools', 'tools'],
      ['heat.chamber', 'heat.chamber'],
      ['heat.chamber', 'heat.chamber'],
    ]);
  });
});

describe('definition', () => {
  const machine = `{ "name": "Heron", "bed": { "shape": "circle", "centre": { "x": 1, "y": 2 }, "radius": 90 },
    "nozzle": { "diameter": 0.4 }, "commands": [{ "name": "bask", "meaning": "x" }, { "name": "G029", "meaning": "y" }] }`;
  const at = (span: { start: number; end: number } | null): string | null => span && slice(machine, span);
  test.each([
    ['nozzle.diameter', '"diameter"'],
    ['bed.centre.x', '"x"'],
    ['bed.right', '"bed"'],
    ['reach.right', '"bed"'],
    ['filament.diameter', null],
    ['home.x', null],
  ])('of %s', (name, want) => expect(at(factPlace(machine, name))).toBe(want));
  test('of a fact that stands twice: the one that is read', () => {
    const twice = '{"nozzle": {"diameter": 0.4}, "nozzle": {"diameter": 0.6}}';
    expect(factPlace(twice, 'nozzle.diameter')?.start).toBe(twice.lastIndexOf('"diameter"'));
  });
  test('without a reach: the sides are the bed’s, a height is nowhere', () => {
    const flat = '{"bed": {"shape": "rectangle", "left": 0, "right": 9, "front": 0, "back": 9}}';
    expect(factPlace(flat, 'reach.left')?.start).toBe(flat.indexOf('"left"'));
    expect(factPlace(flat, 'reach.top')).toBeNull();
    for (const broken of ['', '[1]', '{"reach": 3}', '{"bed"']) expect(factPlace(broken, 'bed.left')).toBeNull();
  });
  test('of a command, in any way of writing it', () => {
    expect(at(commandPlace(machine, 'BASK'))).toBe('"bask"');
    expect(at(commandPlace(machine, 'G29'))).toBe('"G029"');
    expect(commandPlace(machine, 'OTHER')).toBeNull();
    for (const broken of ['', '[', '{"commands": 3}', '{"commands": [1, {"name": 2}]}'])
      expect(commandPlace(broken, 'BASK')).toBeNull();
  });
  test('what stands at an offset', () => {
    const text = 'G28\nDUST_THE_TIP STROKES=3\nG1 Z{{ part.top + 2 }}';
    const a = analysed(text);
    expect(declaredAt(a, text.indexOf('TIP'))).toMatchObject({ what: 'command', code: 'DUST_THE_TIP' });
    expect(declaredAt(a, text.indexOf('part'))).toMatchObject({ what: 'placeholder', name: 'part.top' });
    for (const offset of [0, text.indexOf('STROKES'), text.indexOf('+'), -1, 999, Number.NaN])
      expect(declaredAt(a, offset)).toBeNull();
  });
});

describe('names in a vocabulary file', () => {
  const file = `{ // own
  "names": { "west": { "kind": "length", "atMost": "east" }, "east": { "kind": "length", "atLeast": "west" } } }`;
  const listed = '{"names": [{"name": "west", "kind": "length"}]}';
  test('declared as a property or in a list, without quotation marks', () => {
    for (const text of [file, listed]) {
      const span = namePlace(text, 'west');
      expect(span && slice(text, span)).toBe('west');
    }
    expect(namePlace(file, 'north')).toBeNull();
  });
  test('with the places where other names refer to it', () => {
    const spans = vocabularyPlaces(file, 'east');
    expect(spans.map((span) => slice(file, span))).toEqual(['east', 'east']);
    expect(spans[0]?.start).toBe(file.indexOf('"east": {') + 1);
    expect(vocabularyNameAt(file, file.indexOf('"atLeast": "west"') + 13)?.name).toBe('west');
    expect(vocabularyNameAt(file, 3)).toBeNull();
  });

  const names = vocabularyFor(HERON, readVocabulary(file).vocabulary);
  test('names that are built in or unknown cannot be renamed', () => {
    expect(fixedBecause(names, 'west', true)).toBeNull();
    expect(fixedBecause(names, 'bed.right', false)).toMatch(/figure of the machine/);
    expect(fixedBecause(vocabularyFor(HERON), 'part.top', false)).toMatch(/built-in name/);
    expect(fixedBecause(names, 'nowhere', false)).toMatch(/not in the vocabulary/);
  });
  test.each(['', 'a b', '1st', 'true', 'west + 1', '.', 'x'.repeat(101)])('%j is no new name', (to) =>
    expect(newNameFault(names, 'west', to, [])).toMatch(/cannot be used/),
  );
  test('nor is one that is taken, or that means something else where it would stand', () => {
    expect(newNameFault(names, 'west', 'east', [])).toMatch(/already/);
    expect(newNameFault(names, 'west', 'bed.right', [])).toMatch(/already/);
    const words = '{"keywords": {"if": "when", "end": "done"}, "names": {"west": {"kind": "length"}}}';
    const steered = vocabularyFor(HERON, readVocabulary(words).vocabulary);
    expect(newNameFault(steered, 'west', 'when', [])).toMatch(/keyword/);
    const own = '{"extends": "bookend", "names": {"west": {"kind": "length"}}}';
    const both = vocabularyFor(HERON, readVocabulary(own).vocabulary);
    const inList = analyze('{{#tools}}\nG1 X{{ west }}\n{{/tools}}', 'start', HERON, both);
    expect(newNameFault(both, 'west', 'number.first', [inList])).toMatch(/element’s own/);
    expect(newNameFault(both, 'west', 'left.edge', [inList])).toBeNull();
  });
});

describe('a new name that the vocabulary file would not take', () => {
  const file = '{"names": {"west": {"kind": "length"}, "east": {"kind": "length"}, "a.b": {"kind": "flag"}}}';
  test.each([
    ['east.side', /“east.side” and “east” shadow each other/],
    ['a', /“a.b” and “a” shadow each other/],
    ['bed.right', /“bed.right” is the machine’s own figure/],
  ])('%s', (to, why) => expect(renamedFault(file, 'west', to)).toMatch(why));
  test('and one that it takes; a file that holds nothing loses nothing', () => {
    expect(renamedFault(file, 'west', 'a.c')).toBeNull();
    expect(renamedFault('{', 'west', 'a.c')).toBeNull();
  });
});

describe('signature help', () => {
  /** Function, and the parameter that is being written; `▮` is the cursor. */
  const shown = (marked: string): string | null => {
    const found = signatureHelp(analysed(marked.replace('▮', '')), marked.indexOf('▮'));
    if (!found) return null;
    const span = found.parameters[found.active];
    return `${found.signature} ${span ? slice(found.signature, span) : '-'}`;
  };
  test.each([
    ['G1 Z{{ min(▮', 'min(a, b, …) a'],
    ['G1 Z{{ min(part.top,▮ }}', 'min(a, b, …) b'],
    ['G1 Z{{ min(1, 2, 3, 4▮) }}', 'min(a, b, …) …'],
    ['G1 Z{{ min(max(1, 2), ▮) }}', 'min(a, b, …) b'],
    ['G1 Z{{ min(max(1, ▮2), 3) }}', 'max(a, b, …) b'],
    ['G1 Z{{ min(1, (2 + ▮3)) }}', 'min(a, b, …) b'],
    ['G1 Z{{ round(1, ▮) }}', 'round(a) -'],
    ['{{# abs(▮part.left) > 3 }}{{/}}', 'abs(a) a'],
    ['M117 {{ min("a, b(", ▮) }}', 'min(a, b, …) b'],
    ['G1 Z{{ min(1, 2)▮ }}', null],
    ['G1 Z{{ ▮min(1, 2) }}', null],
    ['G1 Z{{ min(1, 2) }▮}', null],
    ['G1 X1 ; min(▮', null],
    ['{{! min(▮ }}', null],
    ['M117 {{ min("a▮', null],
  ])('%s', (marked, want) => expect(shown(marked)).toBe(want));
});
