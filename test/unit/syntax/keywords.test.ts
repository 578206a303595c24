import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Tree } from '../../../server/src/syntax/nodes.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { type GivenTags, languageOf } from '../../../server/src/syntax/tagLanguage.ts';
import type { TagLanguage } from '../../../server/src/syntax/tagStyle.ts';
import { slice } from '../../../server/src/text/span.ts';

// Other delimiters and section keywords than the Mustache specification has: all of them are invented here.

const WORDS = { if: 'when', elseIf: 'or when', else: 'otherwise', end: 'done' };
const STYLE = languageOf({ delimiters: [['«', '»']], keywords: WORDS });
const tags = ({ tags: all, text }: Tree): string[] =>
  all.map((t) => [t.keyword ?? t.kind, slice(text, t.inner)].join(' ').trim());

describe('several pairs of delimiters at once', () => {
  const style = languageOf({
    delimiters: [
      ['{', '}'],
      ['<<', '>>'],
      ['%', '%'],
    ],
  });

  it('are each found, whichever comes first', () => {
    expect(tags(parse('G1 X{a} Y<<b + 1>> Z%c% {#d}E1{/d}', { tags: style }))).toEqual([
      'value a',
      'value b + 1',
      'value c',
      'section d',
      'close d',
    ]);
  });

  it('do not end one another', () => {
    expect(tags(parse('X{a >> b} Y<<c>>', { tags: style }))).toEqual(['value a >> b', 'value c']);
  });

  it('of two that begin alike the longer one counts', () => {
    const both = languageOf({
      delimiters: [
        ['<', '>'],
        ['<<', '>>'],
      ],
    });
    expect(tags(parse('X<<a>> Y<b>', { tags: both }))).toEqual(['value a', 'value b']);
  });

  it('an unclosed tag ends with its row, and the others go on', () => {
    const tree = parse('X{a\nY<<b>>', { tags: style });
    expect(tags(tree)).toEqual(['value a', 'value b']);
    expect(tree.problems).toMatchObject([{ kind: 'unclosed-tag', replacement: '{a}' }]);
  });
});

describe('section keywords', () => {
  const text = '«when a»\nG1\n«or when b > 2»\nG2\n«otherwise»\nG3\n«done»\n';

  it('make one chain of branches, each unless the ones before', () => {
    const tree = parse(text, { tags: STYLE });
    expect(tree.problems).toEqual([]);
    expect(tags(tree)).toEqual(['if a', 'elseIf b > 2', 'else', 'end']);
    const [first, second, third] = tree.sections;
    expect(tree.sections.map((s) => s.unless)).toEqual([[], [first?.open], [first?.open, second?.open]]);
    expect(new Set(tree.sections.map((s) => s.chain))).toEqual(new Set([first?.open]));
    expect([first?.close, second?.close]).toEqual([second?.open, third?.open]);
    const blocks = tree.items.flatMap((item) => (item.type === 'block' ? [item.items.length] : []));
    expect(blocks).toEqual([1, 1, 1]);
  });

  it('nest', () => {
    const tree = parse('«when a»\n«when b»\nG1\n«done»\n«otherwise»\nG2\n«done»', { tags: STYLE });
    expect(tree.problems).toEqual([]);
    expect(tree.sections.map((s) => [s.parent?.open === tree.tags[0], s.unless.length])).toEqual([
      [false, 0],
      [true, 0],
      [false, 1],
    ]);
  });

  it('may stand within one row, where they make no block', () => {
    const tree = parse('G1 X«when a»1«otherwise»2«done» Y3', { tags: STYLE });
    expect(tree.items.map((item) => item.type)).toEqual(['line']);
    expect(tree.lines[0]?.commands[0]?.words.map((w) => w.key)).toEqual(['X', 'Y']);
    expect(tree.problems).toEqual([]);
  });

  it('are told from names that begin alike', () => {
    expect(tags(parse('«whenever» «when.now» «done_at» «otherwise + 1» «when(a)»', { tags: STYLE }))).toEqual([
      'value whenever',
      'value when.now',
      'value done_at',
      'value otherwise + 1',
      'if (a)',
    ]);
  });

  it('take blanks between their words as one', () => {
    expect(tags(parse('« or  when a »', { tags: STYLE }))).toEqual(['elseIf a']);
  });

  it('leave the Mustache marks to expressions, where both ends are words', () => {
    expect(tags(parse('«!a» «#b»', { tags: STYLE }))).toEqual(['value !a', 'value #b']);
    const half = languageOf({ delimiters: [['«', '»']], keywords: { else: 'otherwise' } });
    expect(tags(parse('«#a»1«otherwise»2«/»', { tags: half }))).toEqual(['section a', 'else', 'close']);
  });

  it('tell what does not fit, in their own spelling', () => {
    const messages = (t: string) => parse(t, { tags: STYLE }).problems.map((p) => p.message);
    expect(messages('«when a»\nG1')[0]).toBe('The section "«when a»" is never closed. Put «done» where it is to end.');
    expect(messages('«done»')[0]).toMatch(/closes a section that was never opened/);
    expect(messages('«otherwise»')[0]).toMatch(/belongs to no section/);
    expect(messages('«when a»«otherwise»«otherwise»«done»')[0]).toMatch(/already takes all other cases. Only «done»/);
  });
});

/** What must hold for any text in any style. */
function check(text: string, given: GivenTags): void {
  const { tokens, tags: all, lines, sections } = parse(text, { tags: languageOf(given) });
  let at = 0;
  for (let i = 0; i < tokens.count; i++) {
    if ((tokens.ends[i] as number) <= at) throw new Error(`token ${i} is empty or goes back`);
    at = tokens.ends[i] as number;
  }
  expect(at).toBe(text.length);
  let end = 0;
  for (const tag of all) {
    expect(tag.span.start).toBeGreaterThanOrEqual(end);
    expect(tag.inner.start).toBeGreaterThanOrEqual(tag.span.start);
    expect(tag.inner.end).toBeLessThanOrEqual(tag.span.end);
    end = tag.span.end;
  }
  expect(lines.at(-1)?.eol.end).toBe(text.length);
  for (const s of sections) {
    if (s.close) expect(s.close.span.end).toBeLessThanOrEqual(s.span.end);
    if (s.unless.length > 0) expect(s.unless[0]).toBe(s.chain);
  }
}

describe('any text in any style', () => {
  const mark = fc.string({ unit: fc.constantFrom(...'{}[]<>%$«»#@|~(;'), minLength: 1, maxLength: 3 });
  const word = fc.option(fc.constantFrom('when', 'or when', 'otherwise', 'done', 'a', '?'), { nil: undefined });
  const style = fc.record({
    delimiters: fc.array(fc.tuple(mark, mark), { minLength: 1, maxLength: 4 }),
    keywords: fc.option(
      fc.record({ if: word, elseIf: word, else: word, end: word }, { requiredKeys: [] }) as fc.Arbitrary<object>,
      { nil: null },
    ),
  });
  const pieces = [
    'when ',
    'or when ',
    'otherwise',
    'done',
    'a',
    ' ',
    '\n',
    '\r\n',
    'G1 X',
    '1',
    ';',
    '(',
    ')',
    '#',
    '/',
    '=',
  ];

  it('gives tokens that cover it', () => {
    fc.assert(
      fc.property(style, fc.array(fc.oneof(fc.constantFrom(...pieces), fc.nat(7)), { maxLength: 60 }), (s, parts) => {
        // Numbers stand for the delimiters, so that random texts have tags.
        const text = parts.map((p) => (typeof p === 'string' ? p : (s.delimiters[p >> 1]?.[p & 1] ?? 'b'))).join('');
        check(text, s);
      }),
      { seed: 11, numRuns: 2000 },
    );
    check('', {
      delimiters: [
        ['', ''],
        ['{', '}'],
      ],
      keywords: { if: ' ' },
    });
  });

  it('takes work that grows with its length only', () => {
    const steps = (text: string, s: TagLanguage): number => {
      const work = { steps: 0 };
      parse(text, { tags: s, work });
      return work.steps;
    };
    const pairs = languageOf({
      delimiters: [
        ['{', '}'],
        ['<', '>'],
        ['%', '%'],
        ['[[', ']]'],
      ],
      keywords: WORDS,
    });
    const pieces = ['{a ', '<a\n', '{when a}\n', '{when a}{or when b}', '{a}<b>%c%', '[[ { < % '];
    for (const piece of [...pieces, 'X%min(a, b)% ', 'X%a, b% ', 'X%((a ', 'X%a']) {
      const [small, large] = [steps(piece.repeat(2000), pairs), steps(piece.repeat(8000), pairs)];
      expect(large / small, piece).toBeLessThan(4.5);
    }
  });

  it('a chain of 20,000 branches takes no more room than as many sections', () => {
    const tree = parse(`«when a»\n${'«or when b»\nG1\n'.repeat(20_000)}«done»`, { tags: STYLE });
    expect(tree.problems).toEqual([]);
    expect(tree.sections.at(-1)?.unless.length).toBe(20_000);
  });
});
