import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { roleOfName } from '../../../server/src/syntax/role.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

const demo = new URL('../../../demo/', import.meta.url);
const read = (path: string): string => readFileSync(new URL(path, demo), 'utf8');
const folders = readdirSync(demo, { withFileTypes: true })
  .filter((entry) => entry.isDirectory())
  .map((entry) => entry.name);

function machineOf(folder: string) {
  const { machine, problems } = readMachine(read(`${folder}/${folder}.machine.json`));
  if (!machine) throw new Error(`no machine in ${folder}`);
  return { machine, problems };
}
/** The names of the vocabulary file that the machine file names, else the built-in ones. */
function namesOf(folder: string, machine: Machine) {
  if (machine.placeholders === null) return vocabularyFor(machine);
  const { vocabulary, problems } = readVocabulary(read(`${folder}/${machine.placeholders}`));
  expect(problems).toEqual([]);
  return vocabularyFor(machine, vocabulary);
}
const findings = (path: string, folder: string, change = (text: string) => text, { machine } = machineOf(folder)) => {
  return analyze(change(read(path)), roleOfName(path), machine, namesOf(folder, machine)).findings;
};
const rules = (path: string, folder: string, change?: (text: string) => string): string[] =>
  findings(path, folder, change).map((finding) => finding.rule);

describe('the demo workshop', () => {
  it('has four machines: a corner origin, a round bed, placeholders of another kind, a keep-out', () => {
    expect(folders).toEqual(['heron-228', 'lantern-174', 'otter-146', 'poplar-164']);
    expect(machineOf('heron-228').machine.bed).toMatchObject({ shape: 'rectangle', left: 0, front: 0 });
    expect(machineOf('lantern-174').machine.bed).toMatchObject({ shape: 'circle', centre: { x: 0, y: 0 } });
    expect(machineOf('poplar-164').machine.keepOut).toHaveLength(1);
  });

  it.each(folders)('%s: the machine file has no problem and lists a start and an end that are there', (folder) => {
    const { machine, problems } = machineOf(folder);
    expect(problems).toEqual([]);
    expect([...machine.sequences.keys()]).toEqual(['start', 'end']);
    for (const file of [...machine.sequences.values()].flat())
      expect(read(`${folder}/${file}`).length).toBeGreaterThan(100);
  });

  it.each(folders)('%s: its own sequences are right for it', (folder) => {
    for (const role of ['start', 'end']) expect(findings(`${folder}/${folder}.${role}.gcode`, folder)).toEqual([]);
  });

  it('the start carried over from a larger sister shows the usual mistakes', () => {
    expect([...new Set(rules('heron-228/carried-over.start.gcode', 'heron-228'))].sort()).toEqual([
      'bad-number',
      'beyond-reach',
      'modes-left',
      'not-awaited',
      'off-bed',
      'too-hot',
      'unknown-placeholder',
    ]);
  });

  it('what demo/README.md suggests to try shows what it says', () => {
    const off = rules('lantern-174/lantern-174.start.gcode', 'lantern-174', (text) => `${text}G1 X62 Y66 E5\n`);
    expect(off).toEqual(['off-bed']);
    const post = rules('poplar-164/poplar-164.end.gcode', 'poplar-164', (text) =>
      text.replace(/^G1 X.*$/m, 'G1 X166 Y161 F7500'),
    );
    expect(post).toContain('in-keep-out');
    expect(rules('heron-228/heron-228.start.gcode', 'lantern-174')).toContain('off-bed');
    const { machine } = machineOf('heron-228');
    const narrow = { machine: { ...machine, bed: { ...machine.bed, left: 50 } as typeof machine.bed }, problems: [] };
    const found = findings('heron-228/heron-228.start.gcode', 'heron-228', undefined, narrow);
    expect(found.map((finding) => finding.rule)).toEqual(['off-bed']);
  });
});
