import { expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

const { machine } = readMachine(
  JSON.stringify({
    name: 'Rail 206',
    bed: { shape: 'rectangle', left: 0, right: 206, front: 0, back: 191 },
    commands: [{ name: 'GOOD_NIGHT', meaning: 'Ends the job.', effects: [{ do: 'stop' }] }],
  }),
);

const found = (text: string, role: 'start' | 'end'): string[] =>
  analyze(text, role, machine, vocabularyFor(machine))
    .findings.filter((f) => f.rule === 'after-end')
    .map((f) => f.message);

it('a machine’s own command that ends the job is told of as M2 is, with the machine file as the source', () => {
  expect(found('M104 S0\nM140 S0\nGOOD_NIGHT\nM84\n', 'end')).toEqual([
    expect.stringContaining('GOOD_NIGHT further up ends the program (says the machine file of Rail 206)'),
  ]);
  expect(found('M104 S0\nM140 S0\nM84\nGOOD_NIGHT\n', 'end')).toEqual([]);
  expect(found('G28\nGOOD_NIGHT\n', 'start')).toEqual([expect.stringContaining('it would never run')]);
});
