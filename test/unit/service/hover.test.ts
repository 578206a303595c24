import { expect, test } from 'vitest';
import { describeCommand } from '../../../server/src/commands/describe.ts';
import { hover } from '../../../server/src/service/hover.ts';
import { analysed, HERON, runFixture } from './support.ts';

/** The headline and what holds at the place; the reference part of a command's page has tests of its own. */
function shown(markdown: string): string {
  return markdown
    .split('\n\n')
    .filter((part, i) => i === 0 || !/^(\| Word|Source:|⚠|Afterwards:|At least one|Controllers take)/.test(part))
    .map((part) => (part.length > 160 && !part.startsWith('- ') ? `${part.slice(0, 60)}[…]` : part))
    .join('\n');
}

const update = process.env.UPDATE !== undefined;

for (const { title, want, got } of runFixture('hover', ({ analysis, offset, text }) => {
  const found = hover(analysis, offset);
  return found ? `[${text.slice(found.span.start, found.span.end)}]\n${shown(found.markdown)}` : 'nothing';
})) {
  test(`hover: ${title}`, () => {
    expect(got).not.toBe('');
    if (!update) expect(got).toBe(want);
  });
}

test('a command’s page holds all that its record says', () => {
  const text = 'G28\nM104 S200';
  const a = analysed(text);
  const page = hover(a, text.indexOf('M104'))?.markdown ?? '';
  const record = a.catalog.find('M104');
  if (!record) throw new Error('M104 is not in the catalog');
  for (const part of describeCommand(record, HERON.controller).split('\n\n')) expect(page).toContain(part);
});

test('a machine’s name and a tag’s text cannot act as Markdown', () => {
  const text = 'G28\nM104 S{{ `x` + "[a](b)" }}';
  const machine = { ...HERON, name: '[x](command:evil)' };
  const a = analysed(text, 'start', machine);
  expect(hover(a, text.indexOf('S{{'))?.markdown).not.toContain('[x](command');
  expect(hover(a, text.indexOf('+'))?.markdown ?? '').not.toMatch(/(^|[^`])\[a\]\(b\)/);
});

test('nothing outside of the text', () => {
  const a = analysed('G28');
  for (const offset of [-1, 99, Number.NaN, Number.POSITIVE_INFINITY]) expect(hover(a, offset)).toBeNull();
});

test('an axis is said to stay only where it does: turns of a list that go to and fro do not', () => {
  const on = { ...HERON, tools: 2 };
  const said = (line: string): string => {
    const text = `G21\nG90\nG28\nG1 X5 Y5 F3000\n{{# tools }}\n${line}\n{{/ tools }}\n`;
    return hover(analysed(text, 'start', on), text.lastIndexOf(line) + 3)?.markdown ?? '';
  };
  expect(said('G1 X{{ 5 * number }}')).toContain('X: 0 to 5 mm → 0 to 5 mm (machine)');
  expect(said('G1 X5')).toContain('X: stays at 5 mm (machine)');
  expect(said('G1 X{{ 7 * tool.number }}')).not.toContain('X: stays');
});
