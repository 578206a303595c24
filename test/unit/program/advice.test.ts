import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { tagStyleOf } from '../../../server/src/placeholders/vocabulary.ts';
import { checkProgram } from '../../../server/src/program/checkProgram.ts';
import type { ProgramReport } from '../../../server/src/program/report.ts';
import { analyze, prepare } from '../../../server/src/service/analyze.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { fixesOf } from '../../../server/src/service/fixes.ts';
import { ROLES } from '../../../server/src/syntax/role.ts';
import { languageOf } from '../../../server/src/syntax/tagLanguage.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { some } from '../../quick/share.ts';

// A finished program takes no placeholders, and nobody mends its lines one by one: what is advised has to fit.

const FIXTURES = new URL('../../fixtures/', import.meta.url);
const read = (path: string): string => readFileSync(new URL(path, FIXTURES), 'utf8');
const machineNamed = (name: string): Machine | null =>
  readdirSync(new URL('machines/', FIXTURES)).includes(`${name}.machine.json`)
    ? readMachine(read(`machines/${name}.machine.json`)).machine
    : null;

const ROWS = Array.from({ length: 14 }, (_, i) => `G1 X${61 + i} Y70 E${(0.05 * (i + 1)).toFixed(2)} F1800\n`);
const WALL = `G1 X60 Y70 F6600\n${ROWS.join('')}`;
const BEGIN = 'G21\nG90\nM82\nG28\nM190 S60\nM109 S210\nG92 E0\nG1 Z0.2 F600\n';
const END = 'G91\nG1 Z5 F600\nG90\nM104 S0\nM140 S0\nM107\nM84\n';

function reportOf(text: string, machine: Machine | null): ProgramReport {
  const check = checkProgram(machine, vocabularyFor(machine));
  check.push(new TextEncoder().encode(text));
  return check.end();
}

const egret = machineNamed('egret');
const start = (text: string) => reportOf(`${text}G1 Z0.2 F600\n${WALL}${END}`, egret).start?.findings ?? [];
const end = (text: string) => reportOf(`${BEGIN}${WALL}${text}`, egret).end?.findings ?? [];
const message = (found: readonly { readonly rule: string; readonly message: string }[], rule: string) =>
  found.find((one) => one.rule === rule)?.message;

/** The fixtures that usual values fill in, as finished programs. */
const FILLED = readdirSync(new URL('rules/', FIXTURES)).flatMap((file) => {
  const [, , name = '', role = ''] = file.replace(/\.gcode$/, '').split('.');
  const machine = machineNamed(name);
  const vocabulary = vocabularyFor(machine);
  const known = ROLES.find((one) => one === role) ?? 'program';
  const marked = read(`rules/${file}`).replace(/^\s*;.*\^.*\n/gm, '');
  const { text, problems } = fillIn(prepare(marked, known, machine, tagStyleOf(vocabulary)), vocabulary, {}, true);
  return problems.length > 0 || text.includes('{{') ? [] : [{ file, role: known, machine, vocabulary, text }];
});

it('most fixtures can be filled in', () => expect(FILLED.length).toBeGreaterThan(200));

it.each(some(FILLED))('no advice names a placeholder: $file', ({ role, machine, vocabulary, text }) => {
  const analysis = analyze(text, 'program', machine, vocabulary);
  const report = reportOf(role === 'end' ? `${BEGIN}${WALL}${text}` : `${text}\nG1 Z0.2 F600\n${WALL}`, machine);
  const parts = [report.start?.findings ?? [], report.end?.findings ?? []];
  const said = [...analysis.findings, ...report.findings, ...parts.flat()].map((one) => one.message);
  const done = analysis.findings
    .flatMap((finding) => fixesOf(analysis, finding))
    .flatMap(({ title, edits }) => [title, ...edits.map((edit) => edit.text)]);
  for (const one of [...said, ...done])
    expect(one).not.toMatch(/\{\{|\b(part|layer|tool|last)\.[a-z]|\bheat\.(nozzle|bed)\.[fl]/);
});

describe('the end of a program', () => {
  it('drag-over-part says how high in numbers: 5 mm above the last layer, no higher than the machine reaches', () => {
    expect(message(end('G1 X198 Y14 F6300\nM104 S0\n'), 'drag-over-part')).toMatch(/ Lift it first: G1 Z5\.2\.$/);
    expect(message(end('G1 Z0.1 F600\nM104 S0\n'), 'drag-over-part')).toMatch(/ Lift it instead: G1 Z5\.2\.$/);
    const tall = reportOf(`${BEGIN}G1 Z236 F600\n${WALL}G1 X198 Y14 F6300\nM104 S0\n`, egret).end?.findings ?? [];
    expect(message(tall, 'drag-over-part')).toMatch(/ Lift it first: G1 Z238\.$/);
  });

  it('in a sequence the names of the job stay, as the text writes them', () => {
    const own = { ...vocabularyFor(egret), language: languageOf({ delimiters: [['<', '>']] }) };
    const found = analyze('G21\nG90\nG1 X198 Y14 F6300\nM104 S0\n', 'end', egret, own).findings;
    expect(message(found, 'drag-over-part')).toMatch(/ Lift it first: G1 Z<min\(part\.top \+ 5, reach\.top\)>\.$/);
  });
});

describe('the start of a program', () => {
  it('cold-extrusion and tool-left ask for no name of a job', () => {
    expect(message(start('G21\nG90\nM82\nG28\nG92 E0\n'), 'cold-extrusion')).toMatch(/Heat it and wait \(M109 S…\)/);
    const twin = machineNamed('twin');
    const text = `G21\nG90\nM82\nG28\nT0\nM109 S210\nG92 E0\nG1 Z0.2 F600\n${WALL}${END}`;
    expect(message(reportOf(text, twin).start?.findings ?? [], 'tool-left')).toBeUndefined();
    const sequence = analyze('G21\nG90\nM82\nG28\nT0\nM109 S210\nG92 E0\n', 'start', twin, vocabularyFor(twin));
    expect(message(sequence.findings, 'tool-left')).toContain('T{{ tool.number }}');
  });
});

it.each([
  ['off-bed', 'G1 X226 E2 F1740\n', 'Extrude on the bed', 'with the part further in'],
  ['beyond-reach', 'G1 X287 F5700\n', 'Stay at 231 or below', 'with the part further in'],
  ['beyond-reach', 'G1 Z271 F570\n', 'Stay at 238 or below', 'with a lower part'],
  ['flow-too-high', 'G1 X104 E28 F5400\n', 'Slow down to F', 'with less flow'],
  ['long-retraction', 'G1 E-40 F1800\n', 'Pull back less', 'with shorter retractions'],
])('%s: in a program it is the program that is made anew', (rule, line, advice, change) => {
  const text = `${BEGIN}${WALL}${line}${END}`;
  const told = message(reportOf(text, egret).findings, rule);
  expect(told).toContain(advice);
  expect(told).toContain(`: make the program anew, ${change} or with its start or end mended.`);
  const sequence = message(analyze(`${BEGIN}${WALL}${line}`, 'start', egret, vocabularyFor(egret)).findings, rule);
  expect(sequence).toContain(advice);
  expect(sequence).not.toContain('anew');
});
