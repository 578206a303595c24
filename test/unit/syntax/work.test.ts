import { describe, expect, it } from 'vitest';
import { ANY_FORM, type NamedForm } from '../../../server/src/syntax/namedForm.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { MOST_PROBLEMS } from '../../../server/src/syntax/problems.ts';
import { FORMS } from './forms.ts';

/** Code units looked at per code unit of text. */
function workPerUnit(text: string, named: NamedForm = ANY_FORM): number {
  const work = { steps: 0 };
  parse(text, { work, named });
  return work.steps / text.length;
}

/** Pieces that, repeated on one line, make a careless parser look again and again. */
const REPEATED = [
  'X',
  'XX ',
  'X1 ',
  '1 ',
  '(',
  '(a (b) ',
  '(a))',
  ' ',
  '*',
  '*1 ',
  '{{',
  '{{a',
  '{{a}}',
  '{{#a}}',
  '{{#a}}{{/}}',
  '{{/a}}',
  '{{#a}}{{#b}}{{/a}}',
  'X{{!}}',
  '{{!a}}{{#b}}1',
  'X1{{#a}}',
  '"',
  '"a',
  '\u00a0x',
  '\u2212',
  'G1',
  'HEAT ',
  'HE=1 ',
  'X=',
  'K = ',
  '%',
  ';',
  'G1 X1O',
  'X[',
  'M117 a{{b}} ',
  '{{=a b=}}a=c d=b',
  '{{=| |=}}|={{ }}=|',
  '{{{',
  '{{{a}}',
  'X1e5 ',
  '\ufeff',
  '%\n',
  '\r',
  '\n',
  '\r\n',
  '{{a\r',
  '(\r',
  '"\n',
  ';\r',
];

/** And those of named commands, in the forms in which they may be written. */
const NAMED = [
  'HE ',
  'HE=1 ',
  'he:1 ',
  'he:',
  'he 1 ',
  'he1',
  'he1 ',
  'minutes',
  'x1',
  'x1y',
  'a-b',
  'a-1',
  'a - ',
  'key"',
  'key"a" ',
  'x{{a}}',
  'key{{#a}}',
  'key {{a}} ',
  'key \t',
  '12:30 ',
];

describe('the work', () => {
  it.each(NAMED)('grows linearly with the words of a named command: %j', (piece) => {
    for (const named of FORMS) {
      const short = workPerUnit(`warm-up ${piece.repeat(500)}`, named);
      const long = workPerUnit(`warm-up ${piece.repeat(10_000)}`, named);
      expect(long).toBeLessThan(12);
      expect(long).toBeLessThan(short * 1.1 + 0.1);
    }
  });

  it.each(REPEATED)('grows linearly with the text: %j', (piece) => {
    for (const head of ['', 'G1 ', 'HEAT ']) {
      const short = workPerUnit(head + piece.repeat(500));
      const long = workPerUnit(head + piece.repeat(10_000));
      expect(long).toBeLessThan(10);
      expect(long).toBeLessThan(short * 1.1 + 0.1);
    }
  });

  it('is done for a line of 5 MB and for 100,000 lines', () => {
    const long = parse('G1 X1.5 Y{{a}} '.repeat(350_000));
    expect(long.lines).toHaveLength(1);
    expect(long.lines[0]?.commands).toHaveLength(350_000);
    const many = parse('G1 X10.5 Y20\n'.repeat(100_000));
    expect(many.lines).toHaveLength(100_001);
    expect(many.problems).toEqual([]);
  });

  it('is done for deep nesting, without recursion', () => {
    const deep = 10_000;
    const sections = parse(`${'{{#a}}\n'.repeat(deep)}G28\n${'{{/a}}\n'.repeat(deep)}`);
    expect(sections.problems).toEqual([]);
    expect(sections.lines[deep]?.commands[0]?.section).toBe(sections.sections.at(-1));
    expect(parse(`G1 X${'['.repeat(deep)}1${']'.repeat(deep)}`).problems).toHaveLength(1);
    expect(parse(`${'('.repeat(deep)}${')'.repeat(deep)}`).problems.map((p) => p.kind)).toEqual(['nested-comment']);
    expect(parse('{{#a}}\n'.repeat(deep)).problems).toHaveLength(20);
  });

  it('stops telling problems at a limit, and says so', () => {
    const tree = parse('G1 ? '.repeat(MOST_PROBLEMS * 2));
    expect(tree.problems).toHaveLength(MOST_PROBLEMS);
    expect(tree.problems.at(-1)?.message).toContain('left out');
  });
});
