import type { Section } from '../syntax/nodes.ts';
import type { Rule } from './rule.ts';
import { strayStarts } from './stray.ts';

/** The same word twice in one command. */
export const duplicateWord: Rule = {
  id: 'duplicate-word',
  severity: 'error',
  title: 'The same word twice in one command',
  why: 'A line may have one word of a letter (NISTIR 6556 3.3.5). With two, some controllers take the first, some the last, and some refuse the line. Remove one.',
  bad: { role: 'start', text: 'G21\nG90\nG28\nG1 X10 X20 F3000\n' },
  good: { role: 'start', text: 'G21\nG90\nG28\nG1 X20 F3000\n' },
  check(view, report) {
    const stray = strayStarts(view.tree);
    for (const { words: all, code, line } of view.commands) {
      const words = all.filter((w) => w.span.start < stray(line));
      if (words.length < 2) continue;
      words.forEach((word, i) => {
        // Words in sections beside one another are alternatives of which a job gets one.
        const first = words.slice(0, i).find((w) => w.key === word.key && isWithin(word.section, w.section));
        if (word.key !== '' && first)
          report({
            span: word.span,
            message: `${code || 'The line'} has ${word.key} twice${word.section === first.section ? '' : ' in jobs that fill this section in'}. Keep the one that is meant; which of them a controller takes differs.`,
          });
      });
    }
  },
};

function isWithin(inner: Section | null, outer: Section | null): boolean {
  for (let s = inner; s !== outer; s = s.parent) if (s === null) return false;
  return true;
}
