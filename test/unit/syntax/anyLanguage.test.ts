import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { closedBy, openedBy, sectionAt } from '../../../server/src/syntax/at.ts';
import { readableUntil } from '../../../server/src/syntax/budget.ts';
import type { Section } from '../../../server/src/syntax/nodes.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { type GivenTags, languageOf } from '../../../server/src/syntax/tagLanguage.ts';
import { slice } from '../../../server/src/text/span.ts';
import { FORMS } from './forms.ts';
import { checkTree } from './holds.ts';

// Languages that nobody would invent, and texts in them that nobody would write.

const sign = fc.string({ unit: fc.constantFrom(...'{}[]<>%$«»#@|~(^'), minLength: 1, maxLength: 3 });
const close = fc.oneof({ weight: 4, arbitrary: sign }, { weight: 1, arbitrary: fc.constant('') });
const holds = fc.constantFrom('anything' as const, 'values' as const, 'statements' as const, 'comments' as const);
const forms = (...all: string[]) => fc.option(fc.subarray(all, { minLength: 1 }), { nil: undefined });

const languages: fc.Arbitrary<GivenTags> = fc.record(
  {
    delimiters: fc.array(
      fc.oneof(
        fc.tuple(sign, close, holds),
        sign.map((one) => [one, one, 'anything'] as const),
      ),
      { maxLength: 5 },
    ),
    lineStatements: fc.array(fc.constantFrom('@', '%', '##', '$'), { maxLength: 2 }),
    escapes: fc.dictionary(sign, sign, { maxKeys: 2 }),
    raw: fc.array(fc.tuple(sign, sign), { maxLength: 1 }),
    trims: fc.array(fc.constantFrom('-', '~', '- ', '+'), { maxLength: 2 }),
    quotes: fc.subarray(['"', "'", '`']),
    keywords: fc.option(
      fc.record(
        {
          if: forms('if', 'when CONDITION', 'if (CONDITION) {', '#if', 'if(CONDITION)'),
          unless: forms('unless', 'if not'),
          elseIf: forms('else if', '} else if (CONDITION) {', 'or when'),
          else: forms('else', '} else {', 'otherwise', 'elsefor'),
          end: forms('end', '}', '/if', 'endif', 'endfor', 'end LIST', '/'),
          each: forms('for ITEM in LIST', 'LIST as ITEM, INDEX', 'LIST.forEach((ITEM, INDEX) => {', '#each', 'each'),
          switch: forms('switch', 'choose by VALUE'),
          case: forms('case VALUE:', 'is'),
          set: forms('set NAME = VALUE', 'NAME = VALUE', 'let'),
          include: forms('include', '>'),
        },
        { requiredKeys: [] },
      ),
      { nil: null },
    ),
  },
  { requiredKeys: [] },
) as fc.Arbitrary<GivenTags>;

const PIECES = [
  ...['a', 'b.c', 'x[0]', '1', '.', '-', '+', ' ', '  ', '\n', '\r\n', '\r', '\\\n', '"', "'", '`', '\\', ','],
  ...[
    'G1 X',
    'M117 ',
    'M104 S',
    'T',
    'E',
    ';',
    '(',
    ')',
    '=',
    '==',
    ' in ',
    ' as ',
    '{',
    '}',
    '%',
    '@',
    '$',
    'HEAT K=',
  ],
];

/** A text in a language: numbers stand for what the language has. */
function textIn(given: GivenTags, parts: readonly (string | number)[]): string {
  const own = [
    ...(given.delimiters ?? []).flat(),
    ...(given.lineStatements ?? []).map((mark) => `\n${mark}`),
    ...Object.keys(given.escapes ?? {}),
    ...(given.raw ?? []).flat(),
    ...(given.trims ?? []),
    ...Object.values(given.keywords ?? {})
      .flatMap((form) => form ?? [])
      .map((form) => form.replace(/[A-Z]{4,}/g, 'a')),
  ];
  return parts.map((part) => (typeof part === 'string' ? part : (own[part % (own.length || 1)] ?? 'b'))).join('');
}

const parts = fc.array(fc.oneof(fc.constantFrom(...PIECES), fc.nat(40)), { maxLength: 60 });
const texts = languages.chain((given) =>
  fc.tuple(
    fc.constant(given),
    parts.map((all) => textIn(given, all)),
  ),
);

const sectionBySearch = (sections: readonly Section[], offset: number): Section | null =>
  sections
    .filter(({ span }) => span.start <= offset && offset < span.end)
    .sort((a, b) => b.span.start - a.span.start || b.span.end - a.span.end)[0] ?? null;

describe('any text in any language', () => {
  it('gives tokens that cover it, and nodes in one another, in order', () => {
    fc.assert(
      fc.property(texts, fc.constantFrom(...FORMS), ([given, text], named) => {
        const tags = languageOf(given);
        checkTree(text, { tags, named });
        const tree = parse(text, { tags });
        for (const s of tree.sections) {
          if (s.unless.length > 0) expect(s.unless[0]).toBe(s.chain);
          if (s.each) expect(slice(text, s.each.list)).toBe(slice(text, s.open.inner));
          if (s.subject) expect(s.parent?.open).toBe(s.subject);
        }
      }),
      { seed: 131, numRuns: 4000 },
    );
  });

  it('has its sections where a search through all finds them', () => {
    fc.assert(
      fc.property(texts, ([given, text]) => {
        const tree = parse(text, { tags: languageOf(given) });
        for (const { span } of tree.tags)
          for (const offset of [span.start, span.end - 1, span.end])
            expect(sectionAt(tree, offset)).toBe(sectionBySearch(tree.sections, offset));
        for (const tag of tree.tags) {
          expect(openedBy(tree, tag)).toBe(tree.sections.find(({ open }) => open === tag));
          expect(closedBy(tree, tag)).toBe(tree.sections.find(({ close: end }) => end === tag));
        }
      }),
      { seed: 132, numRuns: 1000 },
    );
  });

  it('is read in part as it is read whole', () => {
    fc.assert(
      fc.property(texts, fc.integer({ min: 0, max: 60 }), ([given, text], most) => {
        const tags = languageOf(given);
        const until = readableUntil(text, { most, token: 1, tag: 3 }, tags);
        if (until === text.length) return;
        const whole = parse(text, { tags });
        expect(whole.lines.map(({ span }) => span.start)).toContain(until);
        const part = parse(text, { tags, until });
        expect(part.tags.map(({ span }) => span)).toEqual(
          whole.tags.slice(0, part.tags.length).map(({ span }) => span),
        );
      }),
      { seed: 133, numRuns: 2000 },
    );
  });
});
