import { scopesOf } from '../../../server/src/placeholders/elements.ts';
import { jobEnv } from '../../../server/src/placeholders/environment.ts';
import { sourceOf } from '../../../server/src/placeholders/fill.ts';
import type { Job } from '../../../server/src/placeholders/vocabulary.ts';
import type { View } from '../../../server/src/rules/rule.ts';
import { prepare } from '../../../server/src/service/analyze.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';

/** A sequence filled in as one job runs it, read as a plain text; null where the job has no text for some tag. */
export interface Plain {
  readonly view: View;
  /** From a place of the filled text to the place of the sequence that it comes from. */
  readonly source: (offset: number) => number;
}

/** What the machine gets in this job, read anew as a text without any placeholder. */
export function plainText(view: View, job: Job): Plain | null {
  const { vocabulary, role, machine } = view;
  const filled = fillIn(view, vocabulary, Object.fromEntries(job), true);
  if (filled.problems.length > 0) return null;
  const prepared = prepare(filled.text, role, machine);
  const names = { ...vocabulary, filled: true };
  const trace = simulate(prepared, jobEnv(vocabulary, job));
  const scopes = scopesOf(prepared.tree, prepared.expressions, names);
  return {
    view: { ...prepared, vocabulary: names, scopes, trace, commands: prepared.bound.all },
    source: (offset) => sourceOf(filled.map, offset),
  };
}
