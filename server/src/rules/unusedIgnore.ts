import { edgesOf } from './edits.ts';
import type { Rule } from './rule.ts';

/** A comment that switches off a rule which finds nothing there. Found where the comments are read (suppress.ts). */
export const unusedIgnore: Rule = {
  id: 'unused-ignore',
  severity: 'warning',
  title: 'A comment ignores what is not there',
  scope: 'whole',
  check() {
    // It needs the findings of all other rules, so they are compared behind them: suppress.ts.
  },
  fix(view, finding) {
    if (!/any more/.test(finding.message)) return [];
    const comment = edgesOf(view, finding.span);
    return comment ? [{ title: 'Take the comment out', edits: [{ span: comment, text: '' }], safe: false }] : [];
  },
};
