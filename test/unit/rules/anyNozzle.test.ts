import { expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

// Where no line picks a tool, the one in use may be any of them: cold is what all of them are, and only that.

const { machine } = readMachine(`{
  "name": "Siskin",
  "bed": { "shape": "rectangle", "left": 0, "right": 204, "front": 0, "back": 188 },
  "heat": { "nozzle": { "max": 285, "minExtrude": 165 }, "bed": { "max": 105 } },
  "tools": 3
}`);

const cold = (text: string) =>
  analyze(text, 'start', machine, vocabularyFor(machine)).findings.filter(({ rule }) => rule === 'cold-extrusion');

const start = (heats: string): string => `G21\nG90\nM83\nG28\n${heats}\nG1 X20 E1.5 F900\nM104 S0\n`;

it('one nozzle that is warm and two that are not are all too cold', () => {
  expect(cold(start('M109 S150 T1'))[0]?.message).toContain('is at 150 °C at most here');
});

it('one nozzle that is hot may be the one in use, so nothing is said for every job', () => {
  expect(cold(start('M109 S215 T1')).filter(({ span, when }) => when === null && span.start < 40)).toEqual([]);
});
