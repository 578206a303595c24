import { existsSync, readdirSync, readFileSync } from 'node:fs';
import mustache from 'mustache';
import { describe, expect, it } from 'vitest';
import { fill } from '../../server/src/placeholders/fill.ts';
import { CASES } from './support.ts';

// Filling in against the Mustache specification 1.4 (its own test data), and against the npm package `mustache` 4.

const pure = (template: string, data: unknown): string => fill(template, data, { pure: true }).text;

describe('rows of cases.json', () => {
  const rows = CASES.filter(({ id }) => id.startsWith('mustache-'));
  it('are there', () => expect(rows.length).toBeGreaterThanOrEqual(4));
  it.each(rows.map((row) => [row.id, row] as const))('%s', (_, { input, expect: wanted }) => {
    expect(pure(input.template, input.data)).toBe(wanted.output);
  });
});

/** The specification's data, laid beside the repository; another folder can be named. */
const SPEC = process.env.MUSTACHE_SPEC ?? new URL('../../../shared/references/mustache/', import.meta.url).pathname;
const CORE = ['comments', 'delimiters', 'interpolation', 'inverted', 'sections'];

interface SpecCase {
  readonly name: string;
  readonly data: unknown;
  readonly template: string;
  readonly expected: string;
  readonly partials?: unknown;
}

/** The documented difference: nothing is HTML-escaped. What comes out instead, by the case's name. */
const UNESCAPED: Readonly<Record<string, string>> = {
  'interpolation HTML Escaping': 'These characters should be HTML escaped: & " < >\n',
  'interpolation Implicit Iterators - HTML Escaping': 'These characters should be HTML escaped: & " < >\n',
  'sections Implicit Iterator - HTML Escaping': '"(&)(")(<)(>)"',
};

const present = existsSync(SPEC);
describe(`the Mustache specification's own cases${present ? '' : ` (not run: ${SPEC} is absent; our own set runs all the same)`}`, () => {
  const cases = (present ? CORE : []).flatMap((file) =>
    (JSON.parse(readFileSync(`${SPEC}/${file}.json`, 'utf8')).tests as SpecCase[]).map(
      (one) => [`${file} ${one.name}`, one] as const,
    ),
  );
  const whole = cases.filter(([, { partials }]) => partials === undefined);

  it(present ? 'all files of the core are there' : 'are absent here, which is said and is no failure', () => {
    if (!present) return console.warn(`mustache.test.ts: no specification data at ${SPEC}; its cases were skipped.`);
    const files = readdirSync(SPEC).filter((name) => name.endsWith('.json'));
    expect(files.sort()).toEqual(CORE.map((name) => `${name}.json`));
    expect(whole.length).toBeGreaterThan(100);
    // Partials are another module of the specification: the two cases that need them are the only ones left out.
    expect(cases.length - whole.length).toBe(2);
  });

  for (const [name, { template, data, expected }] of whole) {
    it(name, () => {
      const result = fill(template, data, { pure: true });
      if (UNESCAPED[name] !== undefined) {
        expect(result.text).toBe(UNESCAPED[name]);
        expect(result.text).not.toBe(expected);
      } else expect(result.text).toBe(expected);
      // "null" is a value in ECMA-262 and so no name of ours: the two cases that use it as one are told.
      const told = template.includes('null') ? ['tag'] : [];
      expect(result.problems.map(({ kind }) => kind)).toEqual(told);
    });
  }
});

/** A small seeded generator (mulberry32, public domain). */
function generator(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), a | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

const NAMES = [
  'yes',
  'no',
  'none',
  'zero',
  'seven',
  'half',
  'word',
  'blank',
  'ones',
  'empty',
  'deep',
  'deep.er',
  'gone',
];
const DATA = {
  yes: true,
  no: false,
  none: null,
  zero: 0,
  seven: 7,
  half: -0.5,
  word: 'a<b>&"c"',
  blank: '',
  ones: [{ seven: 1 }, { seven: 2, word: 'two' }, { deep: { er: 'inner' } }],
  empty: [],
  deep: { er: 'outer', yes: false, seven: 70 },
};
/** Lists and groups have no text of their own: `mustache` prints them as JavaScript would. */
const NO_TEXT = new Set(['ones', 'deep']);
const TEXT = ['G1 X', ' ', '\n', '\r\n', '  ', 'M104 S', '\t', '; note\n', ' { ', ' } ', '"'];

/** A template in which no row holds several steering tags and nothing else: see the last test. */
function template(next: () => number): string {
  const pick = <T>(list: readonly T[]): T => list[Math.floor(next() * list.length)] as T;
  let [left, right] = ['{{', '}}'];
  let size = 0;
  const part = (depth: number): string => {
    size++;
    const kind = next();
    const name = pick(NAMES);
    const pad = pick(['', ' ', '  ']);
    if (kind < 0.35 || size > 40) return pick(TEXT);
    if (kind < 0.55) return NO_TEXT.has(name) ? 'x' : `${left}${pad}${name}${pad}${right}`;
    if (kind < 0.6) return NO_TEXT.has(name) ? 'x' : `${left}&${pad}${name}${pad}${right}`;
    if (kind < 0.65) return left === '{{' && !NO_TEXT.has(name) ? `{{{${pad}${name}${pad}}}}` : 'y';
    if (kind < 0.72) return `${pick(['x', '\n', '\n  '])}${left}! told\n aside ${right}${pick(['x', '\n', ' \r\n'])}`;
    if (kind < 0.76) {
      const [a, b] = pick([
        ['{{', '}}'],
        ['<%', '%>'],
        ['[[', ']]'],
        ['@', '@'],
      ]) as [string, string];
      const tag = `${left}=${a} ${b}=${right}`;
      [left, right] = [a, b];
      return `${pick(['x', '\n'])}${tag}${pick(['x', '\n'])}`;
    }
    if (depth > 4) return 'z';
    const mark = pick(['#', '#', '^']);
    const open = `${left}${mark}${pad}${name}${pad}${right}`;
    const [before, after] = [pick(['x', '\n', '\n \t']), pick(['x', '\n', ' \n', '\r\n'])];
    const inside = parts(depth + 1);
    const [before2, after2] = [pick(['x', '\n', '\n  ']), pick(['x', '\n', '\r\n'])];
    return `${before}${open}${after}${inside}${before2}${left}/${pad}${name}${pad}${right}${after2}`;
  };
  const parts = (depth: number): string =>
    Array.from({ length: 1 + Math.floor(next() * 5) }, () => part(depth)).join('');
  return parts(0);
}

describe('a second opinion: mustache 4, escaping off', () => {
  it('fills 2,000 seeded random templates in alike', () => {
    const kinds = { sections: 0, standalone: 0, delimiters: 0, lists: 0 };
    for (let seed = 1; seed <= 2000; seed++) {
      const text = template(generator(seed));
      const theirs = mustache.render(text, DATA, undefined, { escape: String });
      expect(pure(text, DATA), `seed ${seed}: ${JSON.stringify(text)}`).toBe(theirs);
      if (text.includes('#')) kinds.sections++;
      if (/^[ \t]*\{\{[#^/!][^\n]*\}\}[ \t]*\r?$/m.test(text)) kinds.standalone++;
      if (text.includes('%>')) kinds.delimiters++;
      if (/#\s*ones/.test(text)) kinds.lists++;
    }
    // The comparison is worth something only where all of it occurs.
    for (const [kind, count] of Object.entries(kinds)) expect(count, kind).toBeGreaterThan(100);
  });

  it('differs where a row holds several steering tags: the specification says "standalone" of a tag, mustache of a row', () => {
    const text = 'a\n{{#yes}}{{/yes}}\nb\n';
    expect(mustache.render(text, DATA)).toBe('a\nb\n');
    expect(pure(text, DATA)).toBe('a\n\nb\n');
  });
});
