import { describe, expect, it } from 'vitest';
import { boundsEnv, jobEnv } from '../../../server/src/placeholders/environment.ts';
import { tagStyleOf } from '../../../server/src/placeholders/vocabulary.ts';
import { prepare } from '../../../server/src/service/analyze.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';
import type { Node, Step, Trace } from '../../../server/src/simulate/trace.ts';
import { ROLES } from '../../../server/src/syntax/role.ts';
import { slice } from '../../../server/src/text/span.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { MACHINES } from '../analyze/machines.ts';
import { isPath } from '../analyze/path.ts';
import { randomOf } from '../analyze/random.ts';
import { sequence } from '../analyze/sequences.ts';
import { run } from './support.ts';

const HOT = 'heat.bed.first > 50';

/** A tree in one line: steps by code, choices in braces, turns in brackets. */
function drawn(nodes: readonly Node[]): string {
  return nodes
    .map((node) => {
      if (!('is' in node)) return node.command.code + node.words.map((w) => w.key).join('');
      if (node.is === 'turns') return `[${node.index}: ${drawn(node.nodes)}]`;
      return `{${node.branches.map((b) => drawn(b.nodes)).join(' | ')}}`;
    })
    .join(' ');
}

const shapeOf = (text: string): string => drawn(run(text).tree);

describe('the tree follows the text', () => {
  it.each([
    ['G21\nG1 X1', 'G21 G1X'],
    [`G21\n{{# ${HOT} }}\nG1 X1\n{{/}}\nG90`, 'G21 {G1X | } G90'],
    [`{{# ${HOT} }}\nG1 X1\n{{/}}\n{{^ ${HOT} }}\nG1 Y1\n{{/}}`, '{G1X | G1Y}'],
    [`{{# ${HOT} }}G1 X1{{/}}{{^ ${HOT} }}G1 Y1{{/}}`, '{G1X | G1Y}'],
    [`G1 {{# ${HOT} }}X1{{/}} Y1`, '{G1XY | G1Y}'],
    ['{{# heat.nozzle.first > 0 }}\nG1 X1\n{{/}}', 'G1X'],
    ['{{# heat.nozzle.first < 0 }}\nG1 X1\n{{/}}\nG90', 'G90'],
    [`{{# ${HOT} }}\nM2\n{{/}}\nG1 X1\nG1 Y1`, '{M2 | } {G1X G1Y | }'],
    [`{{# ${HOT} }}\n{{# part.top > 9 }}\nG1 Z1\n{{/}}\nG1 X1\n{{/}}`, '{{G1Z | } G1X | }'],
  ])('%j', (text, shape) => {
    expect(shapeOf(text)).toBe(shape);
  });

  it('a list of known length runs turn by turn; of unknown length it may be left out', () => {
    expect(shapeOf('{{# tools }}\nT{{ number }}\n{{/}}')).toMatch(/^\{?\[0: TT\]/);
  });

  it('each turn tells its element and its index, and its readings are those of that element', () => {
    const { tree } = run('{{# tools }}\nM104 S{{ number + 190 }} T{{ number }}\n{{/ tools }}');
    const turns: Extract<Node, { is: 'turns' }>[] = [];
    const collect = (nodes: readonly Node[]): void => {
      for (const node of nodes) {
        if (!('is' in node)) continue;
        if (node.is === 'turns') turns.push(node);
        else for (const { nodes } of node.branches) collect(nodes);
      }
    };
    collect(tree);
    expect(turns.length).toBeGreaterThan(0);
    expect(turns.map(({ index }) => index)).toEqual(turns.map((_, i) => i));
    for (const turn of turns) {
      const number = turn.element?.get('number');
      if (number?.type !== 'number') throw new Error('an element without its number');
      const [step] = turn.nodes;
      if (!step || 'is' in step) throw new Error('a turn without its step');
      const target = step.readings.find(({ quantity }) => quantity === 'nozzle target')?.written;
      expect([target?.lo, target?.hi]).toEqual([number.lo + 190, number.hi + 190]);
    }
  });

  it('a branch tells its conditions, and a step all of them', () => {
    const trace = run(`{{# ${HOT} }}\n{{# part.top > 9 }}\nG1 Z1\n{{/}}\n{{/}}\n{{^ ${HOT} }}\nG1 X1\n{{/}}`);
    const told = trace.steps.map((step) => {
      const { text } = step.within.prepared.tree;
      return step.guards.map(({ condition, holds }) => `${holds ? '' : 'not '}${slice(text, condition.inner)}`);
    });
    expect(told).toEqual([[HOT, 'part.top > 9'], [`not ${HOT}`]]);
  });
});

describe('totals are those of one branch, and never the sum of branches that exclude one another', () => {
  const totals = (text: string): Trace['totals'] => run(`G90\nG1 X0 Y0 F600\n${text}`).totals;

  it('two exclusive moves of 100 mm are one move of 100 mm', () => {
    const { moves, travel } = totals(`{{# ${HOT} }}\nG1 X100\n{{/}}\n{{^ ${HOT} }}\nG1 Y100\n{{/}}`);
    expect([moves, travel?.lo, travel?.hi]).toEqual([2, 100, 100]);
  });
  it('a move that may be left out counts from zero', () => {
    const { moves, travel } = totals(`{{# ${HOT} }}\nG1 X100\n{{/}}`);
    expect([moves, travel?.lo, travel?.hi]).toEqual([2, 0, 100]);
  });
  it('of a chain the longest counts, on one line as well', () => {
    const { moves, travel, seconds } = totals(
      `{{# ${HOT} }}G1 X100{{/}}{{^ ${HOT} }}G1 Y40{{/}}\n{{# part.top > 9 }}\nG4 S2\n{{/}}\n{{^ part.top > 9 }}\nG4 S5\n{{/}}`,
    );
    expect([moves, travel?.lo, travel?.hi]).toEqual([2, 40, 100]);
    expect((seconds?.hi ?? 0) - (seconds?.lo ?? 0)).toBeLessThan(3 + 6 + 1e-9);
  });
  it('both in a further section: all of it may be left out', () => {
    const { travel } = totals(`{{# part.top > 9 }}{{# ${HOT} }}G1 X100{{/}}{{/}}{{^ ${HOT} }}G1 Y40{{/}}`);
    expect([travel?.lo, travel?.hi]).toEqual([0, 140]);
  });
});

it('each exact run is one path through the tree of all jobs, and what is not certain lies in a choice', () => {
  let choices = 0;
  let open = 0;
  for (let seed = 0; seed < 120; seed++) {
    const random = randomOf(seed);
    const machine = MACHINES[seed % MACHINES.length] ?? null;
    const role = random.pick(ROLES);
    const vocabulary = vocabularyFor(machine);
    const text = sequence(random, vocabulary, role);
    const prepared = prepare(text, role, machine, tagStyleOf(vocabulary));
    const trace = simulate(prepared, boundsEnv(vocabulary));
    const optional = new Set<Step>();
    const collect = (nodes: readonly Node[], inside: boolean): void => {
      for (const node of nodes) {
        if (!('is' in node)) inside && optional.add(node);
        else if (node.is === 'turns') collect(node.nodes, inside);
        else {
          choices++;
          for (const branch of node.branches) collect(branch.nodes, true);
        }
      }
    };
    collect(trace.tree, false);
    expect(trace.steps.filter((s) => !s.certain && !optional.has(s)).length, text).toBe(0);
    if (trace.cut) continue;
    for (const job of [new Map(), new Map([['heat.bed.first', 0]])]) {
      const usual = new Map<string, number | string | boolean>(job);
      for (const { name, range, kind } of vocabulary.names.values())
        if (!usual.has(name)) usual.set(name, kind === 'text' ? 'PLA' : kind === 'flag' ? false : (range?.lo ?? 0));
      const exact = simulate(prepared, jobEnv(vocabulary, usual));
      // A division by zero decides no section, so that this is no single run.
      if (exact.steps.some(({ certain }) => !certain)) {
        open++;
        continue;
      }
      expect(isPath(trace.tree, exact.steps), `seed ${seed}\n${text}`).toBe(true);
    }
  }
  expect(choices).toBeGreaterThan(100);
  expect(open).toBeLessThan(20);
});
