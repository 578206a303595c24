import { describe, expect, it } from 'vitest';
import { foreignTags } from '../../../server/src/syntax/foreignTags.ts';

// Which pairs of delimiters are accepted, and what speaks for each: in a number's place (4), a section opens and closes
// (3), two lines that are no commands (4) or one (2), all reads as names or expressions (2), said twice (1), prose (-4).

const DOLLAR = '$' + '{';
const pairs = (text: string): string[] =>
  (foreignTags(text, { pairs: [], meant: false })?.pairs ?? []).map(([open, close]) => `${open} ${close}`.trim());

describe('accepted', () => {
  it.each([
    ['in a number’s place', 'M140 S«a»\n', ['« »']],
    ['two lines that are no commands', '«when a»\nG28\n«done»\n', ['« »']],
    ['one line beside a pair that is proven', 'M140 S{a}\n<when b>\nG28\n', ['{ }', '< >']],
    ['remarks beside a pair that is proven', 'M140 S{{ a }}\n{# all of it is prose here #}\n', ['{{ }}', '{# #}']],
    ['the longest opener', `M140 S${DOLLAR}a} T<%= b %>\n`, [`${DOLLAR} }`, '<%= %>']],
    ['the innermost', 'M140 S{{a}}\n', ['{{ }}']],
    ['equal ends that pair', 'M140 S%a%\nG1 X%b% Y%c%\n', ['% %']],
    ['bare names', 'G1 X$a Y$b\n', ['$']],
    ['bare names with a sign', 'G1 X$a Y-$b E$c\n', ['$']],
  ])('%s', (_, text, found) => {
    expect(pairs(text).sort()).toEqual([...found].sort());
  });
});

describe('not accepted', () => {
  it.each([
    ['prose on a line beside a pair that is proven', 'M140 S{a}\n<note to self>\nG28\n', ['{ }']],
    ['one line that is no command, and nothing else', '«when a»\nG28\n', []],
    ['comments', 'G28 ; {a} and {b}\n; «c» «c»\n', []],
    ['messages alone', 'M117 {a}\nM117 {a}\n', []],
    ['parameters and expressions of RS-274 (NISTIR 6556 3.3.2)', 'G1 X#1 Y[#2+5] Z[SIN[30]] F#<b>\n#3=4\n', []],
    ['figures alone in brackets', 'G1 X[1+2]\nG1 X[3]\n', []],
    ['percentages', 'M117 50% and 100%\n%\nG28\n%\n', []],
    ['mail addresses', 'M117 a.b@loft.example c@loft.example\n', []],
  ])('%s', (_, text, found) => {
    expect(pairs(text)).toEqual(found);
  });
});
