import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between, closedBy, encloses, openedBy, sectionAt } from '../../../server/src/syntax/at.ts';
import { PROGRAM, readableUntil, SEQUENCE } from '../../../server/src/syntax/budget.ts';
import type { Section, Tree } from '../../../server/src/syntax/nodes.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { languageOf } from '../../../server/src/syntax/tagLanguage.ts';
import { MUSTACHE } from '../../../server/src/syntax/tagStyle.ts';

// Places are looked up by index. Here each answer is compared with what going through everything gives.

const KEYWORDS = languageOf({ keywords: { if: 'if', elseIf: 'elsif', else: 'else', end: 'end' } });
const PIECES = [
  ...['{{#a}}', '{{^a}}', '{{/a}}', '{{/}}', '{{#b}}', '{{/b}}', '{{if c}}', '{{elsif d}}', '{{else}}', '{{end}}'],
  ...[
    '{{ x\n }}',
    '{{ y }}',
    '{{',
    '{{! z }}',
    'G1 X5 ',
    'M117 a ',
    '; c ',
    '(d)',
    '\n',
    '\r\n',
    '\r',
    ' ',
    '1.5',
    '{{=<% %>=}}',
    '<% e %>',
  ],
];
const texts = fc.array(fc.constantFrom(...PIECES), { maxLength: 40 }).map((pieces) => pieces.join(''));
const styles = fc.constantFrom(MUSTACHE, KEYWORDS);

const around = (inner: Section | null): (Section | null)[] => {
  const all: (Section | null)[] = [null];
  for (let s = inner; s; s = s.parent) all.push(s);
  return all;
};

/** The innermost one whose span holds the offset; of two at one place the one that begins there. */
const sectionBySearch = ({ sections }: Tree, offset: number): Section | null => {
  const holding = sections.filter(({ span }) => span.start <= offset && offset < span.end);
  return holding.sort((a, b) => b.span.start - a.span.start)[0] ?? null;
};

describe('what is looked up by index', () => {
  it('is what a search through all sections and tags finds', () => {
    fc.assert(
      fc.property(texts, styles, (text, tags) => {
        const tree = parse(text, { tags });
        for (let offset = 0; offset <= text.length; offset++)
          expect(sectionAt(tree, offset)).toBe(sectionBySearch(tree, offset));
        for (const tag of tree.tags) {
          expect(openedBy(tree, tag)).toBe(tree.sections.find(({ open }) => open === tag));
          expect(closedBy(tree, tag)).toBe(tree.sections.find(({ close }) => close === tag));
        }
        for (const inner of [null, ...tree.sections])
          for (const outer of [null, ...tree.sections])
            expect(encloses(outer, inner)).toBe(around(inner).includes(outer));
        for (const start of [0, 3, 9, 20])
          expect(between(tree.tags, { start, end: start + 7 })).toEqual(
            tree.tags.filter(({ span }) => span.start <= start + 7 && span.end >= start),
          );
      }),
      { numRuns: 400, seed: 11 },
    );
  });
});

describe('the budget of reading', () => {
  it('stops at the beginning of a line, outside of tags, with no more tokens before it than it has', () => {
    fc.assert(
      fc.property(texts, styles, fc.integer({ min: 0, max: 60 }), (text, tags, most) => {
        const until = readableUntil(text, { most, token: 1, tag: 3 }, tags);
        const whole = parse(text, { tags });
        if (until === text.length) return;
        expect(whole.lines.map(({ span }) => span.start)).toContain(until);
        const part = parse(text, { tags, until });
        // All but the one that stands for the rest.
        const spent = part.tokens.count - 1 + 2 * part.tags.length;
        expect(spent).toBeLessThanOrEqual(most);
        expect(part.rest).toEqual({ start: until, end: text.length });
        expect(part.tokens.ends[part.tokens.count - 1]).toBe(text.length);
        expect(part.tags.map(({ span }) => span)).toEqual(
          whole.tags.slice(0, part.tags.length).map(({ span }) => span),
        );
      }),
      { numRuns: 1000, seed: 5 },
    );
  });

  it('reads all that fits', () => {
    const text = 'G1 X10 Y20\n'.repeat(1000);
    const tokens = parse(text).tokens.count;
    expect(readableUntil(text, { most: tokens, token: 1, tag: 3 })).toBe(text.length);
    expect(readableUntil(text, { most: tokens - 1, token: 1, tag: 3 })).toBe(text.length - 11);
    expect(readableUntil('G1 X10 Y20 E0.5\n'.repeat(200_000), PROGRAM)).toBe(3_200_000);
    expect(readableUntil('{{a}}\n'.repeat(200_000), PROGRAM)).toBe(6 * Math.floor(PROGRAM.most / PROGRAM.tag));
    expect(readableUntil('{{a}}\n'.repeat(200_000), SEQUENCE)).toBe((6 * SEQUENCE.most) / 4);
  });
});
