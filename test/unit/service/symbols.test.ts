import { expect, test } from 'vitest';
import { prepare } from '../../../server/src/service/analyze.ts';
import { type Outline, symbols } from '../../../server/src/service/symbols.ts';
import { analysed, HERON, runFixture } from './support.ts';

const update = process.env.UPDATE !== undefined;

function rows(entries: readonly Outline[], text: string, indent = ''): string[] {
  return entries.flatMap((e) => [
    `${indent}${e.kind} ${e.name}${e.detail === '' ? '' : ` (${e.detail})`}  [${rowOf(text, e.span.start)}-${rowOf(text, e.span.end)}]`,
    ...rows(e.children, text, `${indent}  `),
  ]);
}

const rowOf = (text: string, offset: number): number => text.slice(0, offset).split('\n').length;

for (const { title, want, got } of runFixture('symbols', ({ analysis, text }) =>
  symbols(analysis).length === 0 ? 'nothing' : rows(symbols(analysis), text).join('\n'),
)) {
  test(`symbols: ${title}`, () => {
    expect(got).not.toBe('');
    if (!update) expect(got).toBe(want);
  });
}

test('sections nested 20,000 deep give an outline of bounded depth', () => {
  const deep = 20_000;
  const text = `${'{{# layer.number }}\n'.repeat(deep)}G28\n${'{{/}}\n'.repeat(deep)}`;
  // The outline reads the text, not the run: the trace of a short one will do.
  const view = { ...analysed('G28', 'layer'), ...prepare(text, 'layer', HERON) };
  let depth = 0;
  for (let level: readonly Outline[] = symbols(view); level.length > 0; level = level[0]?.children ?? []) depth++;
  expect(depth).toBeGreaterThan(5);
  expect(depth).toBeLessThan(20);
});
