import { exact, ofName } from './bounds.ts';
import { plainValue } from './evaluate.ts';
import type { Env, Value } from './value.ts';
import type { Job, Name, Vocabulary } from './vocabulary.ts';

/** The environment of all jobs at once: every name anywhere in its range. */
export function boundsEnv(vocabulary: Vocabulary): Env {
  return (name) => {
    const known = vocabulary.names.get(name);
    return known && anyValueOf(known);
  };
}

/** The environment of one job. Names that the job does not give keep their range; of a list it gives the length. */
export function jobEnv(vocabulary: Vocabulary, job: Job): Env {
  const all = boundsEnv(vocabulary);
  return (name) => {
    const plain = job.get(name);
    if (plain === undefined) return all(name);
    if (typeof plain === 'number' && vocabulary.names.get(name)?.kind === 'list')
      return { type: 'list', length: exact(plain), items: null };
    return plainValue(plain);
  };
}

/** Everything that a name can be in some job. */
export function anyValueOf(name: Name): Value {
  switch (name.kind) {
    case 'text':
      return { type: 'text', any: name.choices ?? null };
    case 'flag':
      return { type: 'flag', is: null };
    case 'list':
      return { type: 'list', length: name.range ?? { lo: 0, hi: Number.POSITIVE_INFINITY }, items: null };
    default:
      return name.range ? { type: 'number', ...ofName({ ...name, range: name.range }) } : { type: 'unknown' };
  }
}

/** Names that an expression may use: not the hidden ones. */
export const visible = (vocabulary: Vocabulary): Name[] =>
  [...vocabulary.names.values()].filter((name) => !name.hidden);
