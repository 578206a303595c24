import { describe, expect, it } from 'vitest';
import type { Item, Tree } from '../../../server/src/syntax/nodes.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { slice } from '../../../server/src/text/span.ts';
import { problems } from './show.ts';

/** Line numbers, blocks in brackets with their section's text. */
const outline = (tree: Tree, items: readonly Item[] = tree.items): string =>
  items
    .map((i) =>
      i.type === 'line' ? String(i.index) : `${slice(tree.text, i.section.open.inner)}[${outline(tree, i.items)}]`,
    )
    .join(' ');

describe('sections', () => {
  it('are closed by an empty tag or one that repeats their text, blanks aside', () => {
    const tree = parse('{{#a  > 1}}{{^b}}{{/}}{{/ a > 1 }}');
    expect(tree.sections.map((s) => [slice(tree.text, s.span), s.inverted])).toEqual([
      ['{{#a  > 1}}{{^b}}{{/}}{{/ a > 1 }}', false],
      ['{{^b}}{{/}}', true],
    ]);
    expect(tree.sections[1]?.parent).toBe(tree.sections[0]);
    expect(tree.problems).toEqual([]);
  });

  it('give each command the innermost section around its code, and each word its own', () => {
    const tree = parse('G28\n{{#a}}\nG1 X1\n{{#b}}M104 S200{{/b}} T0\n{{/a}}\nG1 X2{{#c}} Y3{{/c}}');
    const names = tree.lines.flatMap((l) =>
      l.commands.map((c) =>
        [
          c.code,
          ...[c.section, ...c.words.map((w) => w.section)].map((s) => (s ? slice(tree.text, s.open.inner) : '-')),
        ].join(' '),
      ),
    );
    expect(names).toEqual(['G28 -', 'G1 a a', 'M104 b b a', 'G1 - - c']);
  });

  it('nest the lines that stand whole in their content', () => {
    expect(outline(parse('G28\n{{#a}}\nG1\n{{#b}}\nG2\n{{/b}}\nG3\n{{/a}}\nG4'))).toBe('0 1 a[2 3 b[4] 5 6] 7 8');
    expect(outline(parse('{{#a}}G1{{/a}}\nG2'))).toBe('0 1');
    expect(outline(parse('{{#a}}\nG1\n{{/a}}{{#b}}\nG2\n{{/b}}'))).toBe('0 a[1] 2 b[3] 4');
    expect(outline(parse('{{#a}}\n{{#b}}{{#c}}\nG1\n{{/c}}{{/b}}\nG2\n{{/a}}'))).toBe('0 a[1 b[c[2]] 3 4] 5');
    expect(outline(parse('{{#a}}\nG1\nG2'))).toBe('0 a[1 2]');
  });

  it('that are not closed, cross or close nothing are told once', () => {
    expect(problems('{{#a}}\nG1')).toEqual(['unclosed-section "{{#a}}"']);
    expect(problems('G1\n{{/a}}')).toEqual(['stray-close "{{/a}}"']);
    expect(problems('{{#a}}{{#b}}{{/a}}{{/b}}')).toEqual(['crossed-sections "{{/b}}"']);
    expect(problems('{{#a}}{{#b}}{{/a}}')).toEqual(['unclosed-section "{{#b}}"']);
    expect(problems('{{#a}}{{/x}}{{/a}}')).toEqual(['stray-close "{{/x}}"']);
    expect(parse('{{#a}}{{/x}}').problems.find((p) => p.kind === 'stray-close')?.message).toContain('"{{#a}}"');
  });

  it('point from one tag to its partner', () => {
    const related = (text: string) =>
      parse(text).problems.map(({ kind, related = [] }) => [kind, ...related.map((one) => slice(text, one.span))]);
    expect(related('{{#a}}{{#b}}{{/a}}{{/b}}')).toEqual([['crossed-sections', '{{#b}}', '{{/a}}']]);
    expect(related('{{#a}}{{#b}}{{/a}}')).toEqual([['unclosed-section', '{{/a}}']]);
    expect(related('{{#a}}{{/x}}{{/a}}')).toEqual([['stray-close', '{{#a}}']]);
    // Nobody is the partner of a section that is never closed, or of a closing tag where none is open.
    expect(related('{{#a}}')).toEqual([['unclosed-section']]);
    expect(related('{{/a}}')).toEqual([['stray-close']]);
  });

  it('end where the section around them ends, if they have no end of their own', () => {
    const tree = parse('{{#a}}{{#b}}x{{/a}}G1');
    expect(slice(tree.text, tree.sections[1]?.span ?? { start: 0, end: 0 })).toBe('{{#b}}x');
    expect(tree.lines[0]?.commands.at(-1)?.section).toBeNull();
  });
});
