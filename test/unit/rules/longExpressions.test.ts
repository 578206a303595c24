import { describe, expect, it } from 'vitest';
import { analyze } from '../../../server/src/service/analyze.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { fixtureMachine } from './support.ts';

// An expression is read up to 4000 characters and 100 levels; whatever is longer or deeper gives one clear finding.
// Chains within that are thousands of operations deep on their left side, and every walk must come back from them.

const EGRET = fixtureMachine('egret');
const VOCABULARY = vocabularyFor(EGRET);
const HEAD = 'G21\nG90\nG28\nM109 S{{ heat.nozzle.first }}\n';
const findings = (text: string) => analyze(`${HEAD}${text}\n`, 'start', EGRET, VOCABULARY).findings;

const DEEP: readonly [string, string][] = [
  ['brackets', `${'('.repeat(10_000)}1${')'.repeat(10_000)}`],
  ['open brackets', '('.repeat(10_000)],
  ['minus signs', `${'-'.repeat(10_000)}1`],
  ['minus signs apart', `${'- '.repeat(10_000)}1`],
  ['negations', `${'!'.repeat(10_000)}tools`],
  ['choices', `${'part.top > 5 ? 1 : '.repeat(10_000)}2`],
  ['choices inside', `${'tools ? '.repeat(10_000)}1${' : 2'.repeat(10_000)}`],
  ['calls', `${'abs('.repeat(10_000)}1${')'.repeat(10_000)}`],
  ['powers', `1${'**1'.repeat(10_000)}`],
  ['assignments', `${'a='.repeat(10_000)}1`],
  ['arrows', `${'a=>'.repeat(10_000)}1`],
  ['sums', `1${' + part.top'.repeat(10_000)}`],
  ['dots', `a${'.a'.repeat(10_000)}`],
  ['elements', `${'['.repeat(10_000)}1${']'.repeat(10_000)}`],
  ['objects', `${'({a:'.repeat(10_000)}1${'})'.repeat(10_000)}`],
];

describe('an expression 10,000 deep gives one clear finding', () => {
  it.each(DEEP)('%s, in a word', (_, source) => {
    const found = findings(`M117 {{ ${source} }}`).filter((f) => f.severity !== 'hint');
    expect(found.map((f) => f.rule)).toEqual(['bad-expression']);
    expect(found[0]?.message).toMatch(/Split it into smaller ones\.$/);
  });

  it.each(DEEP)('%s, in a section', (_, source) => {
    const found = findings(`{{# ${source} }}\nM117 a\n{{/}}`);
    expect(found.map((f) => f.rule)).toEqual(['bad-expression']);
  });

  it.each(DEEP.map(([name, source]) => [name, source.slice(0, 3990)] as const))(
    '%s, as long as is read: whatever is found, no rule fails',
    (_, source) => {
      const found = findings(`M117 {{ ${source} }}\n{{# ${source} }}\nM117 a\n{{/}}`);
      expect(found.map((f) => f.rule)).not.toContain('rule-failed');
    },
  );
});

/** As many links as are read, so that the tree is hundreds or thousands deep on its left side. */
const chain = (link: string, first: string): string =>
  first + link.repeat(Math.floor((3990 - first.length) / link.length));

describe('long chains', () => {
  it.each([
    ['sums', chain('+1', '1'), []],
    ['sums of names', chain('+part.top', 'part.top'), []],
    ['products of areas', chain('*layer.first', 'layer.first'), []],
    ['texts', chain('+"a"', '"a"'), []],
    ['conditions', chain(' && part.top>5', 'part.top>5'), ['always-same']],
    ['alternatives', chain(' || part.top<5', 'part.top<5'), ['always-same']],
    ['comparisons', chain('>part.top', 'part.top'), ['unit-mismatch']],
    ['quotients', chain('/layer.count', '1'), []],
    ['quotients by what may be zero', chain('/heat.bed.first', '1'), ['divides-by-zero']],
    ['mismatches', chain('+heat.bed.first-part.top', '1'), ['unit-mismatch']],
    ['arguments', `min(${chain(',part.top', 'part.top')})`, []],
  ] as const)('%s: every walk comes back', (_, source, allowed) => {
    for (const text of [`M117 {{ ${source} }}`, `{{# ${source} }}\nM117 a\n{{/}}`]) {
      const rules = new Set(findings(text).map((f) => f.rule));
      // A number as a condition is always true where none of its parts can be zero.
      for (const rule of rules) expect([...allowed, 'always-same', 'long-line']).toContain(rule);
      for (const rule of allowed) if (rule !== 'always-same') expect([...rules]).toContain(rule);
    }
  });

  it('forty of them are checked in seconds: no work that doubles with each link', () => {
    const one = `M117 {{ ${chain(' && part.top>5', 'part.top>5')} }}\n`;
    const before = process.cpuUsage();
    findings(one.repeat(40));
    const { user, system } = process.cpuUsage(before);
    expect((user + system) / 1e6).toBeLessThan(8);
  });
});
