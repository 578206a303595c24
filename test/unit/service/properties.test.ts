import fc from 'fast-check';
import { expect, test } from 'vitest';
import { complete } from '../../../server/src/service/completion.ts';
import { hover } from '../../../server/src/service/hover.ts';
import { type Outline, symbols } from '../../../server/src/service/symbols.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { fewest } from '../../quick/share.ts';
import { analysed, HERON, PLOVER } from './support.ts';

// Pieces that mean something, so that random texts reach every branch; and any characters at all.
const PIECES =
  'G1|G28|G2|G91|G20|G92|M104|M109|M117|M106|G4|T0|T|N10|*71|X|Y10|Z{{|E-1|F|S2|S{{heat.bed.first}}|I5 J0|R-3|P500|{{| {{ |}}| }}|{{{|}}}|{{#|{{^|{{/|{{!|{{=<% %>=}}|<%|%>|{{# tools }}|{{/}}|part.top|min(|max(1,|)| + | - |?|:|,|"|\'|;|(| |\t|\n|\r\n|\r|DUST_THE_TIP|STROKES=|=|heat.|.|1e3|O|\u2212|\u00a0|😀|\ufeff|; heat up|----'.split(
    '|',
  );
const texts = fc.oneof(
  fc.array(fc.constantFrom(...PIECES), { maxLength: 40 }).map((pieces) => pieces.join('')),
  fc.array(fc.constantFrom(...PIECES), { maxLength: 30 }).map((pieces) => pieces.join(' ')),
  fc.array(fc.constantFrom(...PIECES), { maxLength: 30 }).map((pieces) => pieces.join('\n')),
  fc.string({ unit: 'binary', maxLength: 60 }),
);
const roles = fc.constantFrom<Role>('start', 'end', 'layer', 'program');
const machines = fc.constantFrom(HERON, PLOVER, null);
const places = fc.tuple(texts, roles, machines, fc.nat(200));
const SEEDED = { seed: 20, numRuns: 700 };
// Only so that a busy machine is no failure.

test('hover: never throws, and its span touches the offset', () => {
  let found = 0;
  fc.assert(
    fc.property(places, ([text, role, machine, at]) => {
      const offset = at % (text.length + 1);
      const shown = hover(analysed(text, role, machine), offset);
      if (!shown) return;
      found++;
      expect(shown.span.start).toBeLessThanOrEqual(offset);
      expect(shown.span.end).toBeGreaterThanOrEqual(offset);
      expect(shown.span.end).toBeLessThanOrEqual(text.length);
      expect(shown.markdown.trim()).not.toBe('');
      expect(shown.markdown).not.toMatch(/undefined|NaN|\[object|Infinity/);
    }),
    SEEDED,
  );
  expect(found).toBeGreaterThan(fewest(100));
});

test('completion: never throws, and every edit holds the offset and stays on its row', () => {
  let found = 0;
  fc.assert(
    fc.property(places, ([text, role, machine, at]) => {
      const offset = at % (text.length + 1);
      const { items } = complete(analysed(text, role, machine), offset);
      if (items.length > 0) found++;
      for (const { span, text: insert, label } of items) {
        expect(span.start).toBeLessThanOrEqual(offset);
        expect(span.end).toBeGreaterThanOrEqual(offset);
        expect(text.slice(span.start, span.end)).not.toMatch(/[\r\n]/);
        expect(insert).not.toMatch(/[\r\n]/);
        expect(insert).toContain(label);
      }
    }),
    SEEDED,
  );
  expect(found).toBeGreaterThan(fewest(100));
});

test('symbols: never throws; spans nest, stand in order and hold what is selected', () => {
  let found = 0;
  const check = (entries: readonly Outline[], within: { start: number; end: number }): void => {
    let last = within.start;
    for (const { span, selection, children, name } of entries) {
      found++;
      expect(name).not.toBe('');
      expect(span.start).toBeGreaterThanOrEqual(last);
      expect(span.end).toBeLessThanOrEqual(within.end);
      expect(selection.start).toBeGreaterThanOrEqual(span.start);
      expect(selection.end).toBeLessThanOrEqual(span.end);
      last = span.start;
      check(children, span);
    }
  };
  fc.assert(
    fc.property(fc.tuple(texts, roles, machines), ([text, role, machine]) => {
      check(symbols(analysed(text, role, machine)), { start: 0, end: text.length });
    }),
    SEEDED,
  );
  expect(found).toBeGreaterThan(fewest(100));
});

test('typing a sequence letter by letter: hover and completion answer after each', () => {
  const text =
    'G28\nM104 S{{ max(heat.nozzle.first, 200) }} ; hot\nDUST_THE_TIP STROKES={{ tool.number + 2 }}\nG1 X10 Y{{ part.back - 5 }} F3000\n';
  for (let end = 0; end <= text.length; end++) {
    const a = analysed(text.slice(0, end));
    hover(a, end);
    for (const { span } of complete(a, end).items) expect(span.end).toBe(end);
  }
});
