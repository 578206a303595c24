import type { FirstContact } from '../placeholders/firstContact.ts';
import type { Rule } from './rule.ts';

/** Tags of a placeholder language that no vocabulary of this text describes. */
export const unknownLanguage: Rule = {
  id: 'unknown-language',
  severity: 'warning',
  title: 'Placeholders in an unknown language',
  scope: 'whole',
  reads: 'tags',
  check({ contact }, report) {
    const first = contact?.foreign.tags[0];
    if (!contact || !first) return;
    report({
      span: first.span,
      message: `This text has ${seen(contact)}, which its vocabulary does not describe. Their values are unknown, so what depends on them is not checked. Draft a vocabulary from this text (bookend draft-placeholders), or name the one that describes it in the machine file.`,
    });
  },
};

/** `placeholders in « » 9 times, with sections`. */
export function seen({ foreign: { pairs, tags, sections } }: FirstContact): string {
  const ends = pairs.slice(0, 3).map(([open, close]) => (close === '' ? `behind ${open}` : `in ${open} ${close}`));
  const times = tags.length === 1 ? 'once' : `${tags.length} times`;
  return `placeholders ${ends.join(' and ')} ${times}${sections ? ', with sections' : ''}`;
}
