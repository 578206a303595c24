import type { FirstContact } from '../placeholders/firstContact.ts';
import type { Rule } from './rule.ts';

/** Tags of a placeholder language that no vocabulary of this text describes. */
export const unknownLanguage: Rule = {
  id: 'unknown-language',
  severity: 'warning',
  title: 'Placeholders in an unknown language',
  why: 'The text has placeholders that its vocabulary does not describe, so Bookend takes their values as unknown and their sections as ones that may be left out. Everything else is still checked. Draft a vocabulary from the text, choose the vocabulary that describes it, or write the names as this machine’s vocabulary has them.',
  bad: { role: 'start', text: 'G28\nM109 S«warmth.tip»\n' },
  good: { role: 'start', text: 'G28\nM109 S{{ heat.nozzle.first }}\n' },
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
