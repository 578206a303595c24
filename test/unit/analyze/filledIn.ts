import { scopesOf } from '../../../server/src/placeholders/elements.ts';
import { jobEnv } from '../../../server/src/placeholders/environment.ts';
import type { Filled } from '../../../server/src/placeholders/fill.ts';
import type { Job } from '../../../server/src/placeholders/vocabulary.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import type { Finding, View } from '../../../server/src/rules/rule.ts';
import { prepare } from '../../../server/src/service/analyze.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';

// A second way to the verdict of one job: the sequence is filled in as the job fills it, and what comes out is read anew
// as a text in which no placeholder is left. The two ways share the rules and the simulator, but neither the reading of
// tags and sections nor the values behind words; so a rule that looks at tags where it should look at values is found.

/** Rules of which the filled-in text says nothing, each with the reason. */
export const NOT_COMPARED: ReadonlyMap<string, string> = new Map([
  ['always-same', 'is about conditions, which are gone'],
  ['unit-mismatch', 'is about what names are measured in, which numbers do not tell'],
  ['divides-by-zero', 'is about expressions; a job in which one has no value cannot be filled in'],
  ['bad-expression', 'is about expressions'],
  ['unknown-placeholder', 'is about names'],
  ['no-value-here', 'is about names'],
  ['unclosed-placeholder', 'is about tags'],
  ['material-range', 'looks only at numbers that the text gives under a condition on the material'],
  ['unused-ignore', 'is about what is found in all jobs together'],
  ['long-line', 'counts characters, which depends on how many decimals a program writes'],
]);

/** Rules that speak of the text as it is written, whether a job comes to it or not. */
export const OF_THE_TEXT: ReadonlySet<string> = new Set([
  'bad-number',
  'unknown-command',
  'unknown-word',
  'missing-word',
  'duplicate-word',
  'two-commands',
  'stray-text',
  'lower-case',
  'non-ascii',
  'stray-percent',
  'numbered-text',
  'comment-differs',
]);

/** What one job's filled-in text shows. */
export interface PlainText {
  readonly text: string;
  /** Whether a rule certainly fires in it, by its id. */
  fires(rule: string): boolean;
  /** Whether it does where the job comes to: numbers worked out behind the end of the program are nobody's. */
  firesInTheJob(rule: string): boolean;
  /** Whether this finding of the sequence should show in it at all. */
  isThere(finding: Finding): boolean;
}

/** What the machine gets in this job, read as a text without placeholders; null where the job has no value for some tag. */
export function plainText(view: View, job: Job): PlainText | null {
  const { vocabulary, role, machine } = view;
  const filled = fillIn(view, vocabulary, Object.fromEntries(job), true);
  if (filled.problems.length > 0) return null;
  const prepared = prepare(filled.text, role, machine);
  const names = { ...vocabulary, filled: true };
  const trace = simulate(prepared, jobEnv(vocabulary, job));
  const scopes = scopesOf(prepared.tree, prepared.expressions, names);
  const plain: View = { ...prepared, vocabulary: names, scopes, trace, commands: prepared.bound.all };
  const firing = new Map(RULES.map((rule) => [rule.id, firesAt(plain, rule)]));
  const stop = trace.steps.find(({ after }) => after.stopped === true)?.command.line.span.end ?? filled.text.length;
  return {
    text: filled.text,
    fires: (rule) => (firing.get(rule)?.length ?? 0) > 0,
    firesInTheJob: (rule) => firing.get(rule)?.some((at) => !OF_THE_TEXT.has(rule) || at <= stop) ?? false,
    isThere: ({ rule, span }) => !OF_THE_TEXT.has(rule) || isFilledIn(filled, span.start),
  };
}

/** Where a rule certainly has something to tell. */
function firesAt(plain: View, rule: (typeof RULES)[number]): number[] {
  const places: number[] = [];
  rule.check(plain, ({ span, certain, step, about }) => {
    // `M109 S0` is told where somebody wrote the 0. A job without heat fills in the same, and means it.
    const written = rule.id === 'wait-without-target' && about === 'zero';
    if (!written && (certain ?? true) && (step?.certain ?? true)) places.push(span.start);
  });
  return places;
}

/** Whether what stands at an offset of the sequence is in the filled-in text, as it is or as what its tag became. */
const isFilledIn = ({ map }: Filled, offset: number): boolean =>
  map.some(({ source }) => source.start <= offset && offset < source.end);
