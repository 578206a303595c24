import type { Rule } from './rule.ts';

const KINDS = new Set(['unclosed-tag', 'half-statement', 'stray-close', 'crossed-sections', 'unclosed-section']);

/** Tags and sections that are not closed, or closed without having been opened. */
export const unclosedPlaceholder: Rule = {
  id: 'unclosed-placeholder',
  severity: 'error',
  title: 'A placeholder or section that is not closed',
  why: 'The program that fills the sequence in looks for the closing delimiter. Where it is missing it swallows what follows, or leaves the braces in the text for the machine to stumble over. Close the tag, and close every section that is opened, the inner one first.',
  bad: { role: 'start', text: 'G28\nM104 S{{ heat.nozzle.first\nM109 S{{ heat.nozzle.first }}\n' },
  good: { role: 'start', text: 'G28\nM104 S{{ heat.nozzle.first }}\nM109 S{{ heat.nozzle.first }}\n' },
  check(view, report) {
    for (const problem of view.tree.problems) if (KINDS.has(problem.kind)) report(problem);
  },
};
