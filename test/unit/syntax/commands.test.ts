import { describe, expect, it } from 'vitest';
import { parse } from '../../../server/src/syntax/parse.ts';
import { slice } from '../../../server/src/text/span.ts';
import { problems, shown } from './show.ts';

describe('commands and words', () => {
  it.each([
    ['G1 X10 Y5.5 F1500', 'G1 X=10 Y=5.5 F=1500'],
    ['G1X10Y20', 'G1 X=10 Y=20'],
    ['g1x10', 'G1 X=10'],
    ['G1X10Y20E5F300', 'G1 X=10 Y=20 E=5 F=300'],
    ['G01 X1', 'G1 X=1'],
    ['G92.1', 'G92.1'],
    ['M104 S210 T0', 'M104 S=210 T=0'],
    ['G 1 X 10', 'G1 X=10'],
    ['T0', 'T T=0'],
    ['T', 'T'],
    ['F600', '- F=600'],
    ['X10 Y5', '- X=10 Y=5'],
    ['G28 X Y', 'G28 X Y'],
    ['G28 XY', 'G28 X Y'],
    ['G90 G1 X5', 'G90 / G1 X=5'],
    ['G21G90G1X5', 'G21 / G90 / G1 X=5'],
    ['M6 T1', 'M6 T=1'],
    ['G1 P"a b" X1', "G1 P='a b' X=1"],
    ['M23 "job one.g"', "M23 ='job one.g'"],
    ['G', 'G'],
    ['', ''],
    ['   \t ', ''],
  ])('reads %j', (text, expected) => {
    expect(shown(text)).toEqual([expected]);
    expect(problems(text)).toEqual([]);
  });

  it('keeps line number and checksum apart from the words', () => {
    const [line] = parse('N10G1X5*71').lines;
    expect(line?.number?.value).toMatchObject({ type: 'number', number: 10 });
    expect(line?.checksum).toEqual({ span: { start: 7, end: 10 }, value: 71 });
    expect(shown('N10G1X5*71')).toEqual(['G1 X=5']);
    expect(parse('N1 M105 *7x').lines[0]?.checksum?.value).toBeNull();
  });

  it('tells a checksum that is not at the end, and a second one', () => {
    expect(problems('G1 *3 X5')).toEqual(['stray-text "*3"']);
    expect(problems('G1 X5*3*4')).toEqual(['bad-number "*3*4"']);
    expect(problems('G1 X5 *3 *4')).toEqual(['stray-text "*3"', 'stray-text "*4"']);
    expect(problems('N1 G1 X5 *3 ; moved')).toEqual([]);
  });

  it.each([
    ['STEEP_BED MINUTES=5 NAME="a b" FAST', "STEEP_BED MINUTES=5 NAME='a b' FAST"],
    ['steep_bed minutes=5 ; wait', 'STEEP_BED MINUTES=5'],
    ['N20 NEST', 'NEST'],
    ['N20 NEST Z=5*33', 'NEST Z=5'],
    ['FEED KIND=PLA FILE=a-b.txt', "FEED KIND='PLA' FILE='a-b.txt'"],
    ['FEED 5 part-one', "FEED =5 ='part-one'"],
    ['A_1 X={{a}} Y=b{{c}}d', 'A_1 X=[{{a}}] Y=[b|{{c}}|d]'],
    ['BASK {{a}} N="x{{b}}y"', 'BASK =[{{a}}] N=[x|{{b}}|y]'],
    ['G1 SPEED=5 X2', 'G1 SPEED=5 X=2'],
    ['STEEP_{{which}} S=5', '? S=5'],
  ])('reads the named command %j', (text, expected) => {
    expect(shown(text)).toEqual([expected]);
    expect(problems(text)).toEqual([]);
  });

  it('tells blanks beside =, a missing value and a missing command', () => {
    expect(problems('BASK A = 5')).toEqual(['stray-text " = " -> "="']);
    expect(problems('BASK A=')).toEqual(['stray-text ""']);
    expect(problems('MINUTES=5')).toEqual(['stray-text "MINUTES="']);
    expect(shown('MINUTES=5')).toEqual(['? MINUTES=5']);
  });

  it.each([
    ['M117 Hello X5 (bed) 50%', 'M117 <Hello X5 (bed) 50%>'],
    ['M117 Hello {{filament.kind}} there  ; shown', 'M117 <Hello {{filament.kind}} there>'],
    ['m118 {{a}}', 'M118 <{{a}}>'],
    ['N5 M117 Hi*33', 'M117 <Hi>'],
    ['M117 5*33', 'M117 <5*33>'],
    ['M117 5 minutes', 'M117 <5 minutes>'],
    ['M117', 'M117'],
    ['M117 ; nothing', 'M117'],
  ])('reads the free text of %j', (text, expected) => {
    expect(shown(text)).toEqual([expected]);
    expect(problems(text)).toEqual([]);
  });

  it('takes other codes with free text as an option', () => {
    const text = 'M23 /jobs/one two.g';
    const tree = parse(text, { freeText: new Set(['M23']) });
    expect(slice(text, tree.lines[0]?.commands[0]?.freeText ?? { start: 0, end: 0 })).toBe('/jobs/one two.g');
    expect(shown('M117 X5')).toEqual(['M117 <X5>']);
    expect(parse('M117 X5', { freeText: new Set() }).lines[0]?.commands[0]?.words).toHaveLength(1);
  });

  it('gives every node its span', () => {
    const text = 'N1 G1  X10 Y{{a}} ; far';
    const [line] = parse(text).lines;
    const [command] = line?.commands ?? [];
    expect(slice(text, command?.span ?? { start: 0, end: 0 })).toBe('G1  X10 Y{{a}}');
    expect(slice(text, command?.codeSpan ?? { start: 0, end: 0 })).toBe('G1');
    expect(command?.words.map((w) => slice(text, w.span))).toEqual(['X10', 'Y{{a}}']);
    expect(command?.words.map((w) => slice(text, w.keySpan))).toEqual(['X', 'Y']);
    expect(line?.comments.map((c) => slice(text, c.span))).toEqual(['; far']);
  });

  it('ends lines at LF, CRLF and a lone CR, and has a last empty line', () => {
    const tree = parse('G28\r\nG1 X1\rG1 X2\n');
    expect(tree.lines.map((l) => [l.span.start, l.span.end, l.eol.end])).toEqual([
      [0, 3, 5],
      [5, 10, 11],
      [11, 16, 17],
      [17, 17, 17],
    ]);
  });

  it('takes a byte order mark and a lone % as marks, never as words', () => {
    for (const text of ['\ufeffG28', '\ufeff%\nG28\n%', '%  \nG28']) {
      expect(shown(text).filter((l) => l !== '')).toEqual(['G28']);
      expect(problems(text)).toEqual([]);
    }
    expect(problems('G1 % X5')).toEqual(['stray-text "%"']);
  });
});

describe('comments', () => {
  it('reads both kinds', () => {
    const text = 'G1 (to the left) X5 ; (done';
    expect(shown(text)).toEqual(['G1 X=5']);
    expect(parse(text).lines[0]?.comments.map((c) => [c.style, slice(text, c.span)])).toEqual([
      ['paren', '(to the left)'],
      ['semicolon', '; (done'],
    ]);
  });

  it('tells a nested comment once (NISTIR 6556 3.3.4: comments do not nest)', () => {
    expect(problems('G0 (a (b) c) X5')).toEqual(['nested-comment "("']);
    expect(shown('G0 (a (b) c) X5')).toEqual(['G0 X=5']);
    // Without its partner the comment ends at the first closing parenthesis, as the machine sees it.
    expect(shown('G0 (a (b) X5')).toEqual(['G0 X=5']);
  });

  it('tells an unclosed comment (NISTIR 6556 3.3.4) and a stray parenthesis', () => {
    expect(problems('G0 X5 (open')).toEqual(['unclosed-comment "(open" -> "(open)"']);
    expect(problems('G0 X5 ) Y1')).toEqual(['stray-text ")"']);
  });

  it('leaves look-alikes and tags in comments alone', () => {
    const tree = parse('; 5\u00a0mm “x” {{a}} 1e3\n(− {{b}} ))');
    expect(tree.tags).toHaveLength(2);
    expect(tree.problems.map((p) => p.kind)).toEqual(['stray-text']);
  });
});
