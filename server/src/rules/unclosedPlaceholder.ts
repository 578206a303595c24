import type { Rule } from './rule.ts';

const KINDS = new Set(['unclosed-tag', 'half-statement', 'stray-close', 'crossed-sections', 'unclosed-section']);

/** Tags and sections that are not closed, or closed without having been opened. */
export const unclosedPlaceholder: Rule = {
  id: 'unclosed-placeholder',
  reads: 'tags',
  severity: 'error',
  title: 'A placeholder or section that is not closed',
  scope: 'line',
  check(view, report) {
    for (const problem of view.tree.problems) if (KINDS.has(problem.kind)) report(problem);
  },
};
