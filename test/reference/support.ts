import { readFileSync } from 'node:fs';
import { check } from '../../server/src/check/check.ts';
import type { Machine } from '../../server/src/machine/machine.ts';
import { readMachine } from '../../server/src/machineFile/load.ts';
import { exact } from '../../server/src/placeholders/bounds.ts';
import { scopesOf } from '../../server/src/placeholders/elements.ts';
import { boundsEnv } from '../../server/src/placeholders/environment.ts';
import { RULES } from '../../server/src/rules/all.ts';
import { prepare } from '../../server/src/service/analyze.ts';
import { simulate } from '../../server/src/simulate/simulate.ts';
import { initialState } from '../../server/src/simulate/start.ts';
import type { State } from '../../server/src/simulate/state.ts';
import type { Trace } from '../../server/src/simulate/trace.ts';
import { vocabularyFor } from '../../server/src/vocabulary/vocabulary.ts';

/** One row of cases.json: figures with the place that they come from. */
export interface Case {
  readonly id: string;
  readonly source: string;
  // biome-ignore lint/suspicious/noExplicitAny: rows differ in shape; each test reads the fields of its own rows.
  readonly input: any;
  // biome-ignore lint/suspicious/noExplicitAny: as above.
  readonly expect: any;
  readonly tolerance: number;
}

export const CASES: readonly Case[] = JSON.parse(readFileSync(new URL('./cases.json', import.meta.url), 'utf8'));

/** The row with this id; a missing row is an error, so that no test passes by finding nothing. */
export function row(id: string): Case {
  const found = CASES.find((c) => c.id === id);
  if (!found) throw new Error(`no row ${id} in cases.json`);
  return found;
}

/** A machine that RS-274 examples can run on: room on all sides, several commands a line, dwell in seconds. */
export const RS274: Machine = machine({
  name: 'Standard text',
  bed: { shape: 'rectangle', left: -1000, right: 1000, front: -1000, back: 1000 },
  controller: { commandsPerLine: 'many', dwell: 's' },
});

export function machine(facts: object): Machine {
  const { machine: read, problems } = readMachine(JSON.stringify(facts));
  if (!read || problems.length > 0) throw new Error(JSON.stringify(problems));
  return read;
}

/** RS-274's own beginning: at zero, mm, absolute; no homing needed. */
export function atZero(on: Machine | null, state: Partial<State> = {}): State {
  const zero = { x: exact(0), y: exact(0), z: exact(0), e: exact(0) };
  return { ...initialState('program', on, () => undefined), at: zero, homed: { x: true, y: true, z: true }, ...state };
}

export function runLines(lines: readonly string[], on: Machine | null = RS274, begin: State = atZero(on)): Trace {
  return simulate(prepare(lines.join('\n'), 'program', on), boundsEnv(vocabularyFor(on)), begin);
}

/** Findings on an RS-274 text that begins at zero, as rule and line counted from 1. */
export function found(lines: readonly string[]): { rule: string; line: number }[] {
  const prepared = prepare(lines.join('\n'), 'program', RS274);
  const vocabulary = vocabularyFor(RS274);
  const trace = simulate(prepared, boundsEnv(vocabulary), atZero(RS274));
  const scopes = scopesOf(prepared.tree, prepared.expressions, vocabulary);
  const { findings } = check({ ...prepared, vocabulary, scopes, trace, commands: prepared.bound.all }, RULES);
  return findings.map((f) => ({ rule: f.rule, line: lines.join('\n').slice(0, f.span.start).split('\n').length }));
}
