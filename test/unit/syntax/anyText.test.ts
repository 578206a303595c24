import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeAt } from '../../../server/src/syntax/at.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { decode } from '../../../server/src/text/decode.ts';
import { FORMS } from './forms.ts';
import { checkTree, within } from './holds.ts';

/** An invented start sequence with everything the syntax knows. */
const SEQUENCE = [
  '\ufeff; Heron 228, warm start (bed first)',
  '%',
  'N10 G21 G90*33',
  'M140 S{{heat.bed.first}} ; {{! keep this order }}',
  'M117 Heating to {{heat.nozzle.first}} C',
  'G28 X Y',
  '{{# heat.chamber > 0 }}',
  'STEEP_BED MINUTES={{ max(5,\n  heat.chamber / 10) }} NAME="part {{part.kind}}" FAST',
  '{{^ filament.kind == "soft" }}',
  'G1 E-{{retract}}.5 F1800 (short',
  '{{/}}',
  '{{/ heat.chamber > 0 }}',
  'g1x10y+.5e2 X1e3 Y1,5 Z\u22125 E1 2 ,',
  'G1 X{{#a}}1{{/a}}{{^a}}2{{/a}} Y[1+2] "odd" \u201cquoted\u201d',
  '{{=<% %>=}}G1 Z<% layer.first %> {{no}} <%={{ }}=%>',
  'T{{tool.number}}',
  'G{{a}} {{b}} X\u00a05',
].join('\r\n');

// `npm run fuzz` asks for so many random texts and edits in all, half of each, from another seed on.
const TEXTS = Number(process.env.BOOKEND_TEXTS ?? 0);
const FIRST = Number(process.env.BOOKEND_FIRST ?? 0);

/** Parameters of a property: so many runs, or its share of the texts that are asked for. */
const runs = (seed: number, numRuns: number, share: number) => ({
  seed: FIRST + seed,
  numRuns: TEXTS > 0 ? Math.ceil(TEXTS * share) : numRuns,
});

/** Small pieces that mean something, so that random texts meet every path. */
const PIECES = [
  '{{',
  '}}',
  '{{{',
  '{{#a}}',
  '{{/}}',
  '{{/a}}',
  '{{^b}}',
  '{{!',
  '{{=< >=}}',
  '<',
  '>',
  '{{a}}',
  'G',
  'M117 ',
  'X',
  'E',
  'e',
  'O',
  'N',
  'T',
  '*',
  ';',
  '(',
  ')',
  '"',
  '[',
  ']',
  '1',
  '.',
  '-',
  ',',
  ' ',
  '\t',
  '\n',
  '\r',
  '\r\n',
  '_',
  'KEY=',
  '=',
  '%',
  '\u00a0',
  '\u2212',
  '\u201c',
  '\ufeff',
  '\uff27',
  '\uff11',
  '😀',
  '\0',
  '\u200b',
  'STEEP_BED ',
  'key:',
  'fast-',
  'minutes',
  'GO',
];

describe('any text at all', () => {
  it('gives a tree whose tokens cover it and whose nodes lie in one another, in order', () => {
    checkTree('');
    checkTree(SEQUENCE);
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...PIECES), { maxLength: 60 }), fc.constantFrom(...FORMS), (p, named) =>
        checkTree(p.join(''), { named }),
      ),
      runs(1, 3000, 0.2),
    );
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (text) => checkTree(text)),
      runs(2, 500, 0.1),
    );
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (b) => checkTree(decode(b).text)),
      runs(3, 500, 0.1),
    );
  });

  it('also while a real sequence is being edited', () => {
    const edit = fc.record({ at: fc.nat(SEQUENCE.length), cut: fc.nat(12), put: fc.constantFrom('', ...PIECES) });
    fc.assert(
      fc.property(fc.array(edit, { minLength: 1, maxLength: 8 }), (edits) => {
        let text = SEQUENCE;
        for (const { at, cut, put } of edits) text = text.slice(0, at) + put + text.slice(at + cut);
        checkTree(text);
      }),
      runs(4, 500, 0.5),
    );
    for (let end = 0; end <= SEQUENCE.length; end++) checkTree(SEQUENCE.slice(0, end));
  });

  it('also where a line begins with a named command, in every form', () => {
    const line = fc.array(fc.constantFrom(...PIECES), { maxLength: 20 }).map((p) => `warm-up ${p.join('')}`);
    fc.assert(
      fc.property(fc.array(line, { maxLength: 4 }), fc.constantFrom(...FORMS), (lines, named) =>
        checkTree(lines.join('\n'), { named }),
      ),
      runs(5, 2000, 0.1),
    );
  });

  it('gives the same tree again', () => {
    expect(parse(SEQUENCE)).toEqual(parse(SEQUENCE));
  });

  it('answers what stands at every offset', () => {
    const tree = parse(SEQUENCE);
    for (let at = -1; at <= SEQUENCE.length + 1; at++) {
      const { line, command, word, tag } = placeAt(tree, at);
      const inside = Math.min(Math.max(at, 0), SEQUENCE.length);
      within({ start: inside, end: inside }, { start: line.span.start, end: line.eol.end });
      for (const node of [command, word, tag]) if (node) within({ start: inside, end: inside }, node.span);
    }
  });
});
