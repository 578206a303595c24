import { describe, expect, it } from 'vitest';
import { commandBefore, lineAt, placeAt, sectionAt, tokenAt } from '../../../server/src/syntax/at.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { slice } from '../../../server/src/text/span.ts';

/** The text in which | marks the place asked for. */
function at(marked: string) {
  const offset = marked.indexOf('|');
  const text = marked.replace('|', '');
  const tree = parse(text);
  const place = placeAt(tree, offset);
  const show = (node: { span: { start: number; end: number } } | null) => (node ? slice(text, node.span) : null);
  return {
    tree,
    offset,
    place,
    word: show(place.word),
    command: show(place.command),
    tag: show(place.tag),
    comment: show(place.comment),
  };
}

describe('what stands at an offset', () => {
  it('finds words, commands, tags and comments', () => {
    expect(at('G28\nG1 X|10 Y5 ; far')).toMatchObject({ word: 'X10', command: 'G1 X10 Y5', tag: null, comment: null });
    expect(at('G1 X10| Y5').word).toBe('X10');
    expect(at('G1X10|Y5').word).toBe('Y5');
    expect(at('G1 | X10')).toMatchObject({ word: null, command: 'G1  X10' });
    expect(at('|G1 X10')).toMatchObject({ word: null, command: 'G1 X10' });
    expect(at('N1|0 G28').word).toBe('N10');
    expect(at('G28 ; a| b').comment).toBe('; a b');
    expect(at('G1 X{{ a| }} Y1')).toMatchObject({ word: 'X{{ a }}', tag: '{{ a }}' });
    expect(at('G1 X{{a}}| Y1').tag).toBeNull();
    expect(at('G1 X{{a|').tag).toBe('{{a');
  });

  it('finds the line, also for offsets outside the text', () => {
    const tree = parse('G28\r\nG1 X1\n');
    expect([-5, 0, 4, 5, 10, 11, 99].map((o) => lineAt(tree, o).index)).toEqual([0, 0, 0, 1, 1, 2, 2]);
  });

  it('finds the command that a word typed there would belong to', () => {
    const { place, offset } = at('G90 G1 X5   |');
    expect(place.command).toBeNull();
    expect(commandBefore(place.line, offset)?.code).toBe('G1');
  });

  it('finds the innermost section', () => {
    const tree = parse('{{#a}}x{{#b}}y{{/b}}z{{/a}}w');
    const name = (o: number) => {
      const section = sectionAt(tree, o);
      return section ? slice(tree.text, section.open.inner) : '';
    };
    expect(['x', 'y', 'z', 'w'].map((c) => name(tree.text.indexOf(c)))).toEqual(['a', 'b', 'a', '']);
  });

  it('finds the token', () => {
    const tree = parse('G1 X10');
    expect([0, 1, 2, 3, 4, 5, 99].map((o) => slice(tree.text, tokenAt(tree, o)?.span ?? { start: 0, end: 0 }))).toEqual(
      ['G', '1', ' ', 'X', '10', '10', '10'],
    );
    expect(tokenAt(parse(''), 0)).toBeNull();
  });
});
