import { describe, expect, it } from 'vitest';
import { parse } from '../../../server/src/syntax/parse.ts';
import { problems, shown } from './show.ts';

// NISTIR 6556 (Kramer, Proctor, Messina, 17 Aug 2000) 3.3.2.1 p.17 and Appendix E real_number p.107.
describe('numbers of NISTIR 6556 3.3.2.1', () => {
  it.each([
    ['+0.1234', 0.1234],
    ['-.5', -0.5],
    ['3.', 3],
    ['007', 7],
    ['-0.8807', -0.8807],
  ])('%s is %d', (text, value) => {
    expect(parse(`G1 X${text}`).lines[0]?.commands[0]?.words[0]?.value).toMatchObject({
      type: 'number',
      number: value,
    });
    expect(problems(`G1 X${text}`)).toEqual([]);
  });

  it.each(['.', '+', '-', '1.2.3'])('%j is none', (text) => {
    expect(parse(`G1 X${text}`).lines[0]?.commands[0]?.words[0]?.value?.type).toBe('bad');
    expect(problems(`G1 X${text}`)).toEqual([`bad-number "${text}"`]);
  });

  it('an empty one is a word without a value', () => {
    expect(shown('G1 X')).toEqual(['G1 X']);
  });

  it('ignores blanks, as printed in 3.3 p.15, and warns that printing controllers do not', () => {
    expect(shown('g0x +0. 12 34y 7')).toEqual(['G0 X=0.1234 Y=7']);
    const [problem] = parse('g0x +0. 12 34y 7').problems;
    expect(problem?.kind).toBe('bad-number');
    expect(problem?.message).toContain('RS-274 reads "x+0.1234"');
    expect(problem?.message).toContain('stop at the blank and read "x+0."');
  });

  it('takes line numbers of up to five digits (3.3.1)', () => {
    expect(problems('N12345 G0 X1')).toEqual([]);
    expect(problems('N123456 G0 X1')).toEqual(['bad-number "123456"']);
    expect(problems('N1.5 G0 X1')).toEqual(['bad-number "1.5"']);
  });

  it('tells bracket expressions (3.3.2.3), which printing controllers do not know', () => {
    expect(shown('G2 X[6-[4*3/2]] R 7.01 Z0.5')).toEqual(['G2 X=bad([6-[4*3/2]]) R=7.01 Z=0.5']);
    expect(problems('G2 X[6-[4*3/2]] R 7.01 Z0.5')).toEqual(['bad-number "[6-[4*3/2]]"']);
  });
});

describe('values are rounded as ECMAScript rounds them (ECMA-262 StringToNumber)', () => {
  it.each(['0.1', '123.456', '0.000001', '999999999999999', '1234567890123456789.5', '.3333333333333333', '-0'])(
    '%s',
    (t) => {
      const value = parse(`G1 X${t}`).lines[0]?.commands[0]?.words[0]?.value;
      expect(value).toMatchObject({ type: 'number', number: Number(t) + 0 });
    },
  );
});

describe('bad-number', () => {
  it.each([
    ['G1 X1,5 Y2', '"1,5" -> "1.5"', 'G1 X=bad(1,5) Y=2'],
    ['G1 X,5', '",5" -> "0.5"', 'G1 X=bad(,5)'],
    ['G1 X1,234.5', '"1,234.5"', 'G1 X=bad(1,234.5)'],
    ['G1 X\u22125', '"\u22125" -> "-5"', 'G1 X=bad(\u22125)'],
    ['G1 X\u20135', '"\u20135" -> "-5"', 'G1 X=bad(\u20135)'],
    ['G1 X\u20145', '"\u20145" -> "-5"', 'G1 X=bad(\u20145)'],
    ['G1 X1O5', '"1O5" -> "105"', 'G1 X=bad(1O5)'],
    ['G1 XO Y1', '"O" -> "0"', 'G1 X=bad(O) Y=1'],
    ['G1 Z0.O', '"0.O" -> "0.0"', 'G1 Z=bad(0.O)'],
    ['G1 Zo', '"o" -> "0"', 'G1 Z=bad(o)'],
    ['GO X5', '"GO" -> "G0"', '? X=5'],
    ['M1O4 S200', '"1O4" -> "104"', '? S=200'],
    ['G1 X\uff11\uff10', '"\uff11\uff10" -> "10"', 'G1 X=bad(\uff11\uff10)'],
    ['\uff271 X1', '"\uff271" -> "G1"', '- X=1'],
    ['G1 X--5', '"--5"', 'G1 X=bad(--5)'],
    ['G1 X1-2', '"1-2"', 'G1 X=bad(1-2)'],
    ['G1 X\u00a05', '"\u00a0" -> " "', 'G1 X=5'],
    ['G1\u00a0X5', '"\u00a0" -> " "', 'G1 X=5'],
    ['G1 X5\u202fY6', '"\u202f" -> " "', 'G1 X=5 Y=6'],
    ['G1 X5\u2007\u2009Y6', '"\u2007\u2009" -> "  "', 'G1 X=5 Y=6'],
    ['G1 X5\u200bY6', '"\u200b" -> ""', 'G1 X=5 Y=6'],
    ['BASK NAME=\u201ca b\u201d FAST', '"\u201ca b\u201d" -> ""a b""', "BASK NAME='a b' FAST"],
    ['BASK Z=\u22125', '"\u22125" -> "-5"', 'BASK Z=bad(\u22125)'],
    ['G1 X1 2', '"1 2"', 'G1 X=12'],
    ['G1 X\u2212{{a}}', '"\u2212" -> "-"', 'G1 X=[\u2212|{{a}}]'],
  ])('in %j', (text, problem, line) => {
    expect(problems(text)).toEqual([`bad-number ${problem}`]);
    expect(shown(text)).toEqual([line]);
  });

  it('names the found text, the reason and the correction', () => {
    expect(parse('G1 X1,5').problems[0]?.message).toBe(
      '"1,5" is no number: the decimal sign of commands is the point; the machine stops reading at the comma. Write X1.5.',
    );
  });

  it('leaves well-formed values of named commands to the machine', () => {
    expect(problems('LACE POINTS=1,5 TAG=1e3 NAME=XO')).toEqual([]);
  });
});

describe('exponents', () => {
  it.each([
    ['G1 X1e3 Y2', '1e3', '1000', 'G1 X=1 E=3 Y=2'],
    ['G1 X1E3', '1E3', '1000', 'G1 X=1 E=3'],
    ['G1 X-2.5e-2', '-2.5e-2', '-0.025', 'G1 X=-2.5 E=-2'],
    ['G1X1e3', '1e3', '1000', 'G1 X=1 E=3'],
    ['G1 X1e0', '1e0', '1', 'G1 X=1 E=0'],
  ])('%s is read as the machine reads it, and told', (text, found, plain, line) => {
    expect(shown(text)).toEqual([line]);
    expect(problems(text)).toEqual([`bad-number "${found}" -> "${plain}"`]);
    expect(parse(text).problems[0]?.message).toMatch(/the machine reads X\S+ and then E/);
  });

  it.each(['G1X10E5', 'G1X10Y20E5F300', 'g1x10e5', 'G1 X10 E5', 'G1 X10E0.5', 'G1 X1E{{a}}'])('%s has none', (text) => {
    expect(problems(text)).toEqual([]);
  });
});

describe('text that is no part of a command', () => {
  it.each([
    ['10 X5', '10'],
    ['G1 X5 , Y2', ','],
    ['/G1 X5', '/'],
    ['#5=3', '#5=3'],
    ['G1 0 X5', '0'],
    ['G1 X5 }', '}'],
    ['"alone"', '"alone"'],
    ['G1 😀 X5', '😀'],
  ])('in %j', (text, found) => {
    expect(problems(text)[0]).toBe(`stray-text "${found}"`);
  });

  it('reads numbers with colons between as one value, which is no number (common practice, no source)', () => {
    expect(shown('M92 X81 E413:407')).toEqual(["M92 X=81 E='413:407'"]);
    expect(shown('M557 X12:276 Y-1.5:+.5:3S9')).toEqual(["M557 X='12:276' Y='-1.5:+.5:3' S=9"]);
    expect(problems('M92 X81 E413:407\nM557 X12:276 Y-1.5:+.5:3S9')).toEqual([]);
    for (const text of ['M92 E413:', 'M92 E413:x', 'M92 E413: 5', 'M92 E:5', 'M92 E413:1.2.3'])
      expect(problems(text), text).not.toEqual([]);
  });

  it('tells a string without its end', () => {
    expect(problems('BASK N="a b')).toEqual(['unclosed-string ""a b"']);
    expect(shown('BASK N="a b')).toEqual(["BASK N='a b'"]);
  });
});
