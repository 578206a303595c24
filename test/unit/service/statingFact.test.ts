import { describe, expect, test } from 'vitest';
import { statingFact } from '../../../server/src/service/statingFact.ts';
import { applyEdits } from '../../../server/src/text/edit.ts';

const stated = (text: string, value: boolean | string = false): string =>
  applyEdits(text, statingFact(text, ['controller', 'dwell'], value));

describe('a fact that is written into a machine file', () => {
  test('stands in a group of its own where there is none, and the rest stays as it was written', () => {
    expect(stated('{\n  // ours\n  "name": "Ruff",\n  "bed": { "left": 0, "right": 9 }\n}\n', 'ms')).toBe(
      '{\n  // ours\n  "name": "Ruff",\n  "bed": { "left": 0, "right": 9 },\n  "controller": { "dwell": "ms" }\n}\n',
    );
  });
  test('stands beside the others of its group, on their row or on one of its own', () => {
    expect(stated('{ "controller": { "arcs": true } }', 's')).toBe('{ "controller": { "arcs": true, "dwell": "s" } }');
    expect(stated('{ "controller": {} }', 's')).toBe('{ "controller": { "dwell": "s" } }');
    expect(stated('{\n  "controller": {\n    "arcs": true // yes\n  }\n}\n', 's')).toBe(
      '{\n  "controller": {\n    "arcs": true, // yes\n    "dwell": "s"\n  }\n}\n',
    );
  });
  test('takes the place of another answer; the same one is left alone', () => {
    expect(stated('{ "controller": { "dwell": "ms" } }', 's')).toBe('{ "controller": { "dwell": "s" } }');
    expect(statingFact('{ "controller": { "dwell": "ms" } }', ['controller', 'dwell'], 'ms')).toEqual([]);
  });
  test('is not written into a file that cannot be read, or where something else stands', () => {
    for (const text of ['{ "controller": ', '[]', '', '{ "controller": 3 }', '{ "controller": {}, "controller": {} }'])
      expect(statingFact(text, ['controller', 'dwell'], 's')).toEqual([]);
  });
});
