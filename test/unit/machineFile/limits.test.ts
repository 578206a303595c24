import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';

// How much a machine file may say: at its limit all of it counts, one more and the list is told and left out.

const machine = (more: object) =>
  JSON.stringify({
    name: 'Wagtail 204',
    bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    ...more,
  });
const times = <T>(count: number, make: (i: number) => T): T[] => Array.from({ length: count }, (_, i) => make(i));
const word = (i: number) => ({ key: `W${i}`, meaning: 'a number' });
const extrude = (i: number) => ({ do: 'extrude', length: i % 7 });
const command = (i: number, more: object = {}) => ({ name: `ROUTINE_${i}`, meaning: 'something', ...more });
const box = (i: number) => ({ name: `post ${i}`, left: 1, right: 2, front: 1, back: 2, bottom: 0, top: 9 });

const read = (more: object) => {
  const { machine: taken, problems } = readMachine(machine(more));
  if (!taken) throw new Error('no machine');
  return { taken, messages: problems.map(({ message }) => message) };
};

describe('as much as a machine may have', () => {
  it.each([
    ['commands', 500, (n: number) => ({ commands: times(n, (i) => command(i)) }), 'commands', 'none'],
    [
      'words of a command',
      50,
      (n: number) => ({ commands: [command(0, { words: times(n, word) })] }),
      'commands.0.words',
      'none; for a code such as M900 any',
    ],
    [
      'effects of a command',
      50,
      (n: number) => ({ commands: [command(0, { effects: times(n, extrude) })] }),
      'commands.0.effects',
      'nothing',
    ],
    [
      'moves of a command',
      50,
      (n: number) => ({ commands: [command(0, { effects: times(n, (i) => ({ do: 'move-to', x: i })) })] }),
      'commands.0.effects',
      'nothing',
    ],
    ['keep-outs', 500, (n: number) => ({ keepOut: times(n, box) }), 'keepOut', 'none'],
    [
      'missing codes',
      1000,
      (n: number) => ({ controller: { missing: times(n, (i) => `M${i}`) } }),
      'controller.missing',
      'none',
    ],
    [
      'files of a role',
      1000,
      (n: number) => ({ sequences: { start: times(n, (i) => `${i}.start.gcode`) } }),
      'sequences.start',
      null,
    ],
  ] as const)('%s: %i', (_, most, make, path, fallback) => {
    expect(read(make(most)).messages).toEqual([]);
    const { messages } = read(make(most + 1));
    const until =
      fallback === null ? 'Until then it is not used.' : `Until then, as where it is left out: ${fallback}.`;
    expect(messages).toEqual([`${path} has ${most + 1} items; it must have at most ${most}. ${until}`]);
  });

  it('heaters and axes of an effect: each once', () => {
    const effects = (heaters: readonly string[]) =>
      read({ commands: [command(0, { effects: [{ do: 'await-heat', heaters }] })] });
    expect(effects(['bed', 'nozzle', 'chamber']).messages).toEqual([]);
    expect(effects(times(4, () => 'bed')).messages).toEqual([
      'commands.0.effects.0.heaters has 4 items; it must have at most 3. Until then it is not used.',
    ]);
  });

  it('what stands beside a list that is too long is used, and a list within its limit is used whole', () => {
    const { taken } = read({ commands: times(501, (i) => command(i)), keepOut: times(500, box), tools: 2 });
    expect([taken.commands.length, taken.keepOut.length, taken.tools]).toEqual([0, 500, 2]);
    expect(read({ commands: times(500, (i) => command(i)) }).taken.commands).toHaveLength(500);
  });
});
