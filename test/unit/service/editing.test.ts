import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { foldings } from '../../../server/src/service/folding.ts';
import { highlights } from '../../../server/src/service/highlights.ts';
import { selections } from '../../../server/src/service/selection.ts';
import { semanticTokens } from '../../../server/src/service/semanticTokens.ts';
import { signatureHelp } from '../../../server/src/service/signatureHelp.ts';
import { fewest } from '../../quick/share.ts';
import { analysed, HERON, PLOVER } from './support.ts';

/** A text with `▮` where the cursor is. */
function placed(marked: string) {
  const offset = marked.indexOf('▮');
  return { text: marked.replace('▮', ''), offset };
}

describe('semantic tokens', () => {
  const shown = (text: string, from?: number, to?: number): string[] => {
    const within = from === undefined ? undefined : { start: from, end: to ?? from };
    return semanticTokens(analysed(text), within).map(
      ({ span, type, modifier }) => `${text.slice(span.start, span.end)} ${type}${modifier ? ` ${modifier}` : ''}`,
    );
  };

  test('words by what they are about', () => {
    expect(shown('G1 X10 E-2 F600 ; X1')).toEqual([
      'G1 keyword',
      'X parameter coordinate',
      '10 number coordinate',
      'E parameter extrusion',
      '-2 number extrusion',
      'F parameter feed',
      '600 number feed',
    ]);
    expect(shown('M104 S200 T0')).toEqual([
      'M104 keyword',
      'S parameter temperature',
      '200 number temperature',
      'T parameter',
      '0 number',
    ]);
    expect(shown('G28 X')).toEqual(['G28 keyword', 'X parameter']);
  });

  test('the S of another command is no temperature', () => {
    expect(shown('M106 S200')).toEqual(['M106 keyword', 'S parameter', '200 number']);
  });

  test('words without a command belong to the motion in force', () => {
    expect(shown('G1 X1\nY2')).toContain('Y parameter coordinate');
    expect(shown('G1 X1\nY2', 6)).toEqual(['Y parameter coordinate', '2 number coordinate']);
  });

  test('names, functions and values in tags, in comments too', () => {
    expect(shown('M104 S{{ max(heat.nozzle.first, 200) }} ; {{ part.top }}')).toEqual([
      'M104 keyword',
      'S parameter temperature',
      'max function defaultLibrary',
      'heat.nozzle.first variable',
      '200 number',
      'part.top variable',
    ]);
    expect(shown('{{# filament.kind == "PLA" }}T0{{/}}')).toEqual([
      'filament.kind variable',
      '"PLA" string',
      'T0 keyword',
    ]);
    expect(shown('T{{ tool.number }}')).toEqual(['T keyword', 'tool.number variable']);
    expect(shown('G1 Z{{ reach.top }}')).toContain('reach.top variable defaultLibrary');
  });

  test('the machine’s own commands', () => {
    expect(shown('DUST_THE_TIP STROKES=3')).toEqual(['DUST_THE_TIP function', 'STROKES parameter', '3 number']);
  });

  test('nothing for what is unknown, for messages and for comments', () => {
    expect(shown('M9999 X1\nNOBODY A=1\n; G1 X1\nG1 Q5 (X1)\nG{{ tool.number }} X1\nM104 S{{ nobody }}')).toEqual([
      'G1 keyword',
      'tool.number variable',
      'M104 keyword',
      'S parameter temperature',
    ]);
    expect(shown('M117 G1 X10')).toEqual(['M117 keyword']);
  });

  test('a range gives the lines that it touches', () => {
    expect(shown('G28\nG90\nG91\nM84', 5, 9)).toEqual(['G90 keyword', 'G91 keyword']);
  });
});

describe('folding', () => {
  const shown = (text: string): string[] =>
    foldings(analysed(text)).map(({ first, last, kind }) => `${first}-${last} ${kind}`);

  test('sections keep the row of their closing tag', () => {
    expect(shown('{{# part.top > 5 }}\nG28\nM84\n{{/}}\nM84')).toEqual(['0-2 region']);
    expect(shown('{{# part.top > 5 }}\n{{/}}')).toEqual([]);
    expect(shown('{{# part.top > 5 }}\n{{# part.top > 9 }}\nG28\n{{/}}\n{{/}}')).toEqual(['0-3 region', '1-2 region']);
    expect(shown('{{# part.top > 5 }}G28\nM84')).toEqual([]);
  });

  test('comments over several rows', () => {
    expect(shown('G28\n(a)\n(b)\nG28')).toEqual(['1-3 region']);
    expect(shown('G28\n; G1 X1\n; G1 X2\n; G1 X3')).toEqual(['1-3 comment']);
    expect(shown('{{! one\ntwo }}\nG28')).toEqual(['0-1 comment']);
  });

  test('phases: what stands under a heading, up to the next one, without blank rows', () => {
    expect(shown('; heat\nM104 S200\nG90\n\n\n; home\nG28\n\n')).toEqual(['0-2 region', '5-6 region']);
  });

  test('moves in a row', () => {
    expect(shown('G28\nG1 X1\nG1 X2\nG1 X3\nM84')).toEqual(['1-3 region']);
    expect(shown('G28\nG1 X1\nM84')).toEqual([]);
  });

  test('a phase in a section ends with it', () => {
    expect(shown('{{# part.top > 5 }}\n; up\nG28\nM84\n{{/}}\nM84')).toEqual(['0-3 region', '1-3 region']);
  });
});

describe('selection', () => {
  const shown = (marked: string): string[] => {
    const { text, offset } = placed(marked);
    return (selections(analysed(text), [offset])[0] ?? []).map(({ start, end }) => text.slice(start, end));
  };

  test('value, word, command, line, whole text', () => {
    expect(shown('G28\n  G1 X1▮0 Y5 ; go\nM84')).toEqual([
      '10',
      'X10',
      'G1 X10 Y5',
      'G1 X10 Y5 ; go',
      '  G1 X10 Y5 ; go',
      'G28\n  G1 X10 Y5 ; go\nM84',
    ]);
  });

  test('parts of an expression, tag, word', () => {
    expect(shown('G1 X{{ min(part.le▮ft, 3) + 1 }} Y1').slice(0, 6)).toEqual([
      'part.left',
      'min(part.left, 3)',
      'min(part.left, 3) + 1',
      '{{ min(part.left, 3) + 1 }}',
      'X{{ min(part.left, 3) + 1 }}',
      'G1 X{{ min(part.left, 3) + 1 }} Y1',
    ]);
  });

  test('sections without and with their tags, and phases', () => {
    const chain = shown('{{# part.top > 5 }}\n; up\nG1 Z▮5\nM84\n{{/}}\nM84');
    expect(chain).toContain('; up\nG1 Z5\nM84');
    expect(chain).toContain('\n; up\nG1 Z5\nM84\n');
    expect(chain).toContain('{{# part.top > 5 }}\n; up\nG1 Z5\nM84\n{{/}}');
  });

  test('in comments, and in an empty text', () => {
    expect(shown('G28 ; ho▮me\nM84')).toEqual(['; home', 'G28 ; home', 'G28 ; home\nM84']);
    expect(shown('▮')).toEqual(['']);
  });
});

describe('highlights', () => {
  const shown = (marked: string): string[] => {
    const { text, offset } = placed(marked);
    return highlights(analysed(text), offset).map(({ start, end }) => `${start} ${text.slice(start, end)}`);
  };

  test('the same command, however it is written', () => {
    expect(shown('G▮1 X1\nG0 X2\ng01 Y1')).toEqual(['0 G1', '12 g01']);
    expect(shown('▮DUST_THE_TIP\ndust_the_tip')).toEqual(['0 DUST_THE_TIP', '13 dust_the_tip']);
    expect(shown('T▮0\nT1\nM104 T0')).toEqual(['0 T0', '3 T1']);
  });

  test('the same axis under any command; other words under their own', () => {
    expect(shown('G1 X▮1\nG0 X2 Y1\nG28 X')).toEqual(['3 X', '9 X', '19 X']);
    expect(shown('M104 S▮1\nM106 S2\nM104 S3')).toEqual(['5 S', '21 S']);
  });

  test('nothing in comments, tags, messages and blank rows', () => {
    for (const text of ['G1 X1 ; G▮1', 'G1 X{{ part▮.left }}', 'M117 G▮1\nG1', '\n▮\nG1', 'N1▮0 G1'])
      expect(shown(text)).toEqual([]);
  });

  test('of very many the nearest', () => {
    const text = 'G1 X1\n'.repeat(3000);
    const found = highlights(analysed(text, 'program'), 6 * 2000);
    expect(found).toHaveLength(1000);
    expect(found.some(({ start }) => start === 6 * 2000)).toBe(true);
  });
});

describe('signature help for words', () => {
  const help = (marked: string) => {
    const { text, offset } = placed(marked);
    return signatureHelp(analysed(text), offset);
  };
  const active = (marked: string): string | null => {
    const found = help(marked);
    const span = found?.parameters[found.active];
    return found && span ? found.signature.slice(span.start, span.end) : null;
  };

  test('all words of the command, with their pages', () => {
    const found = help('G1 ▮');
    expect(found?.signature).toBe('G1 [X] [Y] [Z] [E] [F]');
    expect(found?.does).toContain('Move in a straight line');
    expect(found?.pages).toHaveLength(5);
    expect(found?.pages[4]).toContain('mm/min');
    expect(active('G1 ▮')).toBeNull();
    expect(help('G21\nG1 F▮')?.pages[4]).not.toContain('inches');
  });

  test('the one at the cursor', () => {
    expect(active('G1 X1 Y▮')).toBe('[Y]');
    expect(active('G1 X1 Y2▮ Z3')).toBe('[Y]');
    expect(active('G1 X1\nY▮2')).toBe('[Y]');
    expect(active('DUST_THE_TIP STROKES=▮')).toBe('STROKES=');
  });

  test('nothing in codes, comments, messages, unknown commands and tags', () => {
    for (const text of ['G1▮', 'G▮1 X1', '▮', 'G1 X1 ; a ▮', 'M117 a ▮', 'M9999 ▮', 'G1 X{{ part.left▮ }}', 'G90 ▮'])
      expect(help(text)).toBeNull();
  });

  test('in a call within a word the function', () => {
    expect(help('G1 X{{ min(1, ▮2) }}')?.signature).toBe('min(a, b, …)');
  });
});

const PIECES =
  'G1|g01|G28|M104|M117|T0|T|N10|*71|X|Y10|Z{{|E-1|F|S2|S{{heat.bed.first}}|R-3|{{|}}|{{#|{{^|{{/|{{!|{{# tools }}|{{# part.top > 5 }}|{{/}}|part.top|min(|,|"|;|(|)| |\t|\n|\n\n|\r\n|\r|DUST_THE_TIP|STROKES=|=|.|1e3|\u00a0|😀|\ufeff|; heat up|; G1'.split(
    '|',
  );
const ROWS = ['G1 X1', 'G28', 'M104 S200', '; a', '(b)', '', '{{# part.top > 5 }}', '{{^ tools }} ; c', '{{/}}'];
const texts = fc.oneof(
  fc.array(fc.constantFrom(...PIECES), { maxLength: 40 }).map((pieces) => pieces.join('')),
  fc.array(fc.constantFrom(...PIECES), { maxLength: 40 }).map((pieces) => pieces.join('\n')),
  fc.array(fc.constantFrom(...ROWS), { maxLength: 20 }).map((rows) => rows.join('\n')),
  fc.string({ unit: 'binary', maxLength: 60 }),
);
const places = fc.tuple(texts, fc.constantFrom(HERON, PLOVER, null), fc.nat(200));

test('whatever the text: nothing throws, everything is in order, and selections grow', () => {
  let tokens = 0;
  let folds = 0;
  fc.assert(
    fc.property(places, ([text, machine, at]) => {
      const a = analysed(text, 'start', machine);
      const offset = at % (text.length + 1);
      let end = 0;
      const all = semanticTokens(a);
      for (const { span } of all) {
        expect(span.start).toBeGreaterThanOrEqual(end);
        expect(span.end).toBeGreaterThan(span.start);
        end = span.end;
      }
      expect(end).toBeLessThanOrEqual(text.length);
      for (const token of semanticTokens(a, { start: offset, end: offset })) expect(all).toContainEqual(token);
      tokens += all.length;
      const rows = text.split(/\r\n|\r|\n/).length;
      const open: number[] = [];
      let before = -1;
      for (const { first, last } of foldings(a)) {
        while (open.length > 0 && (open.at(-1) as number) < first) open.pop();
        expect(first).toBeGreaterThan(before);
        expect(last).toBeGreaterThan(first);
        expect(last).toBeLessThan(rows);
        expect(last).toBeLessThanOrEqual(open.at(-1) ?? last);
        open.push(last);
        before = first;
        folds++;
      }
      const [chain = []] = selections(a, [offset]);
      expect(chain.at(-1)).toEqual({ start: 0, end: text.length });
      chain.forEach(({ start, end: stop }, i) => {
        expect(start).toBeLessThanOrEqual(offset);
        expect(stop).toBeGreaterThanOrEqual(offset);
        const inner = chain[i - 1];
        if (!inner) return;
        expect(start <= inner.start && stop >= inner.end && stop - start > inner.end - inner.start).toBe(true);
      });
      for (const span of highlights(a, offset)) expect(span.end).toBeGreaterThan(span.start);
      const help = signatureHelp(a, offset);
      for (const { end: stop } of help?.parameters ?? []) expect(stop).toBeLessThanOrEqual(help?.signature.length ?? 0);
    }),
    { seed: 6, numRuns: 1200 },
  );
  expect(tokens).toBeGreaterThan(fewest(700));
  expect(folds).toBeGreaterThan(fewest(200));
});
