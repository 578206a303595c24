import { type DraftAction, draftActions, openQuestions } from '../../../server/src/drafting/answers.ts';
import { draftVocabulary } from '../../../server/src/drafting/draft.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { FORM } from '../vocabulary/support.ts';

export { LANGUAGES } from '../vocabulary/support.ts';

/** What Bookend's own expressions do, for a vocabulary that states no rules (ECMA-262). */
export const ECMA: Readonly<Record<string, unknown>> = {
  ...{ zeroHolds: false, emptyTextHolds: false, emptyListHolds: true, wholeDivision: false, rounding: 'up' },
  ...{ remainder: 'as the left side', power: 'before a sign', andOr: 'and first', notIsLast: false },
  ...{ flagsWritten: ['true', 'false'], wholeAs: '3', textPlusNumber: 'joined', firstIndex: 0 },
};

export const made = (text: string, { edits }: Pick<DraftAction, 'edits'>): string =>
  [...edits]
    .sort((a, b) => b.span.start - a.span.start)
    .reduce((all, edit) => all.slice(0, edit.span.start) + edit.text + all.slice(edit.span.end), text);

/** Draws up a draft, answers each question by what is wanted, and confirms every guess: as a person does, by its actions. */
export function confirmed(texts: readonly string[], wanted: Readonly<Record<string, unknown>>): string {
  let draft = draftOf(...texts);
  for (let [first] = openQuestions(draft); first; [first] = openQuestions(draft)) {
    const answer = first.find(({ edits: [edit] }) => {
      const [[key, value] = ['', null]] = Object.entries(JSON.parse(`{${edit?.text.trim().replace(/,$/, '')}}`));
      return JSON.stringify(wanted[key]) === JSON.stringify(value);
    });
    if (!answer) throw new Error(`nothing is wanted of ${JSON.stringify(first.map(({ title }) => title))}`);
    draft = made(draft, answer);
  }
  for (;;) {
    const [action] = draftActions(draft, { start: 0, end: draft.length });
    if (!action) return draft;
    draft = made(draft, action);
  }
}

export const draftOf = (...texts: readonly string[]): string =>
  draftVocabulary(
    texts.map((text, i) => ({ name: texts.length > 1 ? `${i}.start.gcode` : '', text, role: 'start' })),
    null,
  ).text;

/** What a draft says as a vocabulary file. A draft with a problem of any severity fails. */
export function loaded(draft: string) {
  const { vocabulary, problems } = readVocabulary(draft);
  if (!vocabulary || problems.length > 0)
    throw new Error(`${problems.map(({ message }) => message).join('\n')}\n${draft}`);
  return vocabulary;
}

/** The findings of form that a text has with a draft, and the text as a job fills it in. */
export function used(draft: string, text: string, job: object) {
  const vocabulary = vocabularyFor(null, loaded(draft));
  const analysis = analyze(text, 'start', null, vocabulary);
  const filled = fillIn(analysis, vocabulary, job as never, false);
  return {
    form: analysis.findings.filter(({ rule }) => FORM.has(rule)).map(({ rule, message }) => `${rule}: ${message}`),
    problems: filled.problems.map(({ message }) => message),
    text: filled.text,
  };
}
