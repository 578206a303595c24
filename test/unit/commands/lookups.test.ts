import fc from 'fast-check';
import { expect, test } from 'vitest';
import { bindLines } from '../../../server/src/commands/bind.ts';
import { catalogFor } from '../../../server/src/commands/catalog.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { heron } from './support.ts';

// On a long line commands are found by index. Each answer is compared with what going through the line gives.

const PIECES = [
  'G1 ',
  'G91 ',
  'G21 ',
  'X5 ',
  'Y{{a}} ',
  'F100 ',
  'M104 ',
  'S200 ',
  'T1 ',
  'HEAT A=1 ',
  'M1049 ',
  '(c) ',
  '{{#b}}',
  '{{/}}',
  '\n',
];

test('the commands of a node, a word and an offset', () => {
  fc.assert(
    fc.property(
      fc.array(fc.constantFrom(...PIECES), { maxLength: 60 }),
      fc.constantFrom('one', 'many'),
      (pieces, per) => {
        const { lines } = parse(pieces.join(''));
        const bound = bindLines(lines, catalogFor(heron({ commandsPerLine: per })));
        for (const line of lines) {
          const all = bound.on(line);
          expect(bound.first(line)).toBe(all[0]);
          for (const node of line.commands) {
            expect(bound.of(line, node)).toEqual(all.filter((one) => one.node === node));
            for (const word of node.words)
              expect(bound.taking(line, word)).toBe(all.find(({ words }) => words.includes(word)));
          }
          for (let offset = line.span.start; offset <= line.span.end; offset++) {
            const holds = ({ start, end }: { start: number; end: number }): boolean =>
              start <= offset && offset < Math.max(end, start + 1);
            const found = all.find(({ node, words }) => holds(node.span) || words.some(({ span }) => holds(span)));
            expect(bound.at(line, offset)).toBe(found);
          }
        }
      },
    ),
    { numRuns: 300, seed: 7 },
  );
});
