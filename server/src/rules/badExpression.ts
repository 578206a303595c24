import type { Rule } from './rule.ts';

/** What stands in a tag and is no expression that may stand there. */
export const badExpression: Rule = {
  id: 'bad-expression',
  reads: 'tags',
  severity: 'error',
  title: 'A tag that holds no readable expression',
  scope: 'line',
  check(view, report) {
    for (const { problem } of view.expressions.values()) if (problem) report(problem);
  },
};
