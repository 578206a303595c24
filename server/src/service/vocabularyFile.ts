import type { Machine } from '../machine/machine.ts';
import { readMachine } from '../machineFile/load.ts';
import type { Finding } from '../rules/rule.ts';
import { upsideDown } from '../vocabulary/bind.ts';
import type { VocabularyFile } from '../vocabulary/file.ts';
import { readVocabulary } from '../vocabulary/read.ts';
import { type NotFollowed, notFollowedFindings } from './notFollowed.ts';

/** The rule's id of everything that concerns vocabulary files. */
const RULE = 'vocabulary-file';

/**
 * What is wrong with a vocabulary file, at its place in that file.
 * @param notFollowed What sequences have of its language that Bookend cannot follow.
 */
export function checkVocabularyFile(text: string, notFollowed: readonly NotFollowed[] = []): Finding[] {
  const wrong = readVocabulary(text).problems.map(
    ({ span, message, severity }): Finding => ({ rule: RULE, severity, span, message, when: null }),
  );
  return [...wrong, ...notFollowedFindings(text, notFollowed)];
}

/** Why a vocabulary does not fit a machine, in a sentence; null where it does. */
export function misfit(machine: Machine, file: VocabularyFile): string | null {
  const [first, ...more] = upsideDown(machine, file);
  if (!first) return null;
  const others = more.length > 0 ? ` So it is with ${more.length} more.` : '';
  return `On ${machine.name} the range of “${first.name}” would begin at ${first.lo}, above its end at ${first.hi}, so it is not known.${others} Correct the range in the vocabulary file.`;
}

/** The finding in a machine file on which its vocabulary does not fit. */
export function misfitFinding(machineText: string, message: string): Finding | null {
  const { vocabularySpan } = readMachine(machineText);
  return vocabularySpan && { rule: RULE, severity: 'error', span: vocabularySpan, message, when: null };
}

/** The finding in a machine file whose vocabulary file is missing or cannot be used; null where it names none. */
export function missingVocabulary(machineText: string, reason: string): Finding | null {
  const { vocabularySpan } = readMachine(machineText);
  if (!vocabularySpan) return null;
  const message = `${reason} Until then the built-in names are used. Put the file right, or name another one.`;
  return { rule: RULE, severity: 'error', span: vocabularySpan, message, when: null };
}

/** The same in a text that is to be filled in with it. */
export function vocabularyNote(text: string, reason: string): Finding {
  const end = /^[^\r\n]*/.exec(text)?.[0].length ?? 0;
  const message = `${reason} Placeholders are checked by the built-in names.`;
  return { rule: RULE, severity: 'warning', span: { start: 0, end }, message, when: null };
}
