import { expect, test } from 'vitest';
import { complete } from '../../../server/src/service/completion.ts';
import { analysed, type Case, runFixture } from './support.ts';

const FIRST = 10;

/** The items in the order in which an editor shows them, and the text that the first one leaves behind. */
function shown({ analysis, offset, text }: Case): string {
  const items = complete(analysis, offset).items.toSorted((a, b) => (a.sort < b.sort ? -1 : a.sort > b.sort ? 1 : 0));
  const [first] = items;
  if (!first) return 'nothing';
  const applied = text.slice(0, first.span.start) + first.text + text.slice(first.span.end);
  const rows = items.slice(0, FIRST).map((i) => `${i.kind} ${i.label}: ${i.detail}`);
  if (items.length > FIRST) rows.push('…');
  return [...rows, `=> ${applied.slice(applied.lastIndexOf('\n', first.span.start) + 1).split('\n')[0]}`].join('\n');
}

const update = process.env.UPDATE !== undefined;

for (const { title, want, got } of runFixture('completion', shown)) {
  test(`completion: ${title}`, () => {
    expect(got).not.toBe('');
    if (!update) expect(got).toBe(want);
  });
}

test('every command of the catalog is offered once at a line’s beginning, with its page', () => {
  const a = analysed('G28\n');
  const { items } = complete(a, 4);
  expect(items.map((i) => i.label)).toEqual(a.catalog.all().map((r) => r.code));
  expect(new Set(items.map((i) => i.label)).size).toBe(items.length);
  expect(items.length).toBeGreaterThanOrEqual(70);
  for (const item of items) expect(item.documentation).toContain(item.detail.replace(/[[\]()]/g, '').slice(0, 5));
});

test('a command that the machine’s controller lacks is not offered', () => {
  expect(complete(analysed(''), 0).items.map((i) => i.label)).not.toContain('M600');
  expect(complete(analysed('', 'start', null), 0).items.map((i) => i.label)).toContain('M600');
});

test('names that only the simulator knows are not offered', () => {
  const text = 'G1 X{{ ';
  const labels = complete(analysed(text, 'end'), text.length).items.map((i) => i.label);
  expect(labels).toContain('part.right');
  expect(labels).not.toContain('last.x');
});

test('what is inserted is read as meant: no unclosed tag, no bad expression, the name known', () => {
  for (const text of [
    'M104 S{{▮',
    'M104 S{{▮}}',
    'M104 S{{ ▮ }}',
    'M104 S{{he▮}}',
    'M104 S{{ heat.▮ ; first',
    'M104 S{{ 5 + ▮',
  ]) {
    const offset = text.indexOf('▮');
    const plain = text.replace('▮', '');
    const item = complete(analysed(plain), offset).items.find((i) => i.label === 'heat.nozzle.first');
    if (!item) throw new Error(`not offered in ${text}`);
    const after = plain.slice(0, item.span.start) + item.text + plain.slice(item.span.end);
    const problems = analysed(`G28\n${after}`).findings.map((f) => f.rule);
    expect(problems, after).not.toContain('unclosed-placeholder');
    expect(problems, after).not.toContain('bad-expression');
    expect(problems, after).not.toContain('unknown-placeholder');
    expect(after).toMatch(/\{\{ .*heat\.nozzle\.first \}\}/);
  }
});

test('nothing outside of the text', () => {
  const a = analysed('G28');
  for (const offset of [-1, 99, Number.NaN, Number.POSITIVE_INFINITY]) expect(complete(a, offset).items).toEqual([]);
});
