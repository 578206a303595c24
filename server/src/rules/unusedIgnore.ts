import { edgesOf } from './edits.ts';
import type { Rule } from './rule.ts';

/** A comment that switches off a rule which finds nothing there. Found where the comments are read (suppress.ts). */
export const unusedIgnore: Rule = {
  id: 'unused-ignore',
  severity: 'warning',
  title: 'A comment ignores what is not there',
  why: 'A comment such as ; bookend-ignore off-bed: the brush stands there switches a rule off on its line (bookend-ignore-next-line: on the next; bookend-ignore-file: in the whole text). When the reason is gone and the comment stays, it hides the next mistake at that place. Take it out, or put the rule’s id right. Give the reason with it: the next reader must judge whether it still holds.',
  bad: { role: 'start', text: 'G21\nG90\nG28\nG1 X18 F6600 ; bookend-ignore off-bed: the brush stands there\n' },
  good: { role: 'start', text: 'G21\nG90\nG28\nG1 X18 F6600\n' },
  check() {
    // It needs the findings of all other rules, so they are compared behind them: suppress.ts.
  },
  fix(view, finding) {
    if (!/any more/.test(finding.message)) return [];
    const comment = edgesOf(view, finding.span);
    return comment ? [{ title: 'Take the comment out', edits: [{ span: comment, text: '' }], safe: false }] : [];
  },
};
