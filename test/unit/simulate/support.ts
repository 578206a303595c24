import type { Machine } from '../../../server/src/machine/machine.ts';
import { exact, type Known } from '../../../server/src/placeholders/bounds.ts';
import { boundsEnv, jobEnv } from '../../../server/src/placeholders/environment.ts';
import { jobsOver } from '../../../server/src/placeholders/jobs.ts';
import type { Job } from '../../../server/src/placeholders/vocabulary.ts';
import { prepare } from '../../../server/src/service/analyze.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';
import { initialState } from '../../../server/src/simulate/start.ts';
import type { Heater, State } from '../../../server/src/simulate/state.ts';
import type { Trace } from '../../../server/src/simulate/trace.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { machineOf } from '../analyze/machines.ts';

/** An invented machine with everything that a simulation reads. */
export const PLOVER = machineOf({
  name: 'Plover',
  bed: { shape: 'rectangle', left: 0, right: 193, front: 0, back: 207 },
  reach: { shape: 'rectangle', left: -10, right: 206, front: -10, back: 211, bottom: 0, top: 243 },
  home: { x: -5, y: 205, z: 1 },
  heat: { nozzle: { max: 280, minExtrude: 170 }, bed: { max: 110 }, chamber: { max: 60 } },
  commands: [
    { name: 'NEST', meaning: 'Parks.', words: [], effects: [{ do: 'move-to', x: 100, z: 40 }] },
    { name: 'SPURT', meaning: 'Pushes filament.', words: [], effects: [{ do: 'extrude', length: 8 }] },
    {
      name: 'SET_FORTH',
      meaning: 'Homes and heats.',
      words: [{ key: 'WARM', meaning: 'temperature', unit: 'degrees C', required: true }],
      effects: [{ do: 'home' }, { do: 'heat', heater: 'nozzle', wait: true, key: 'WARM' }],
    },
    { name: 'SHRUG', meaning: 'Does nothing.', words: [], effects: [] },
  ],
});
export const THREE_TOOLS = machineOf({
  name: 'Triple',
  bed: { shape: 'rectangle', left: 0, right: 193, front: 0, back: 207 },
  tools: 3,
});

export interface Setting {
  readonly machine?: Machine | null;
  readonly role?: Role;
  /** Changes to the beginning, which is that of a program at zero, homed. */
  readonly begin?: Partial<State>;
  /** One job instead of all of them. */
  readonly job?: Record<string, number | string | boolean>;
}

const ZERO = { x: exact(0), y: exact(0), z: exact(0), e: exact(0) };

/** Runs lines from a known beginning: at zero, homed, mm, absolute, cold. */
export function run(lines: string, { machine = PLOVER, role = 'program', begin = {}, job }: Setting = {}): Trace {
  const vocabulary = vocabularyFor(machine);
  const usual = [...jobsOver(vocabulary, [], 0)][0] as Job;
  const env = job ? jobEnv(vocabulary, new Map([...usual, ...Object.entries(job)])) : boundsEnv(vocabulary);
  const start: State = {
    ...initialState('program', machine, env),
    at: ZERO,
    homed: { x: true, y: true, z: true },
    ...begin,
  };
  return simulate(prepare(lines, role, machine), env, start);
}

/** Runs lines from the role's own beginning. */
export function runRole(lines: string, role: Role, machine: Machine | null = PLOVER): Trace {
  return simulate(prepare(lines, role, machine), boundsEnv(vocabularyFor(machine)));
}

export const end = (lines: string, setting?: Setting): State => run(lines, setting).end;

/** "5", "2..4" or "?". */
export const show = (k: Known): string => (k === null ? '?' : k.lo === k.hi ? String(k.lo) : `${k.lo}..${k.hi}`);
export const place = ({ at }: State): string => `${show(at.x)} ${show(at.y)} ${show(at.z)}`;
export const heat = (h: Heater | undefined): string => (h ? `${show(h.target)} ${h.awaited} ${show(h.now)}` : 'none');
