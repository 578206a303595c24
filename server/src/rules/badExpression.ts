import type { Rule } from './rule.ts';

/** What stands in a tag and is no expression that may stand there. */
export const badExpression: Rule = {
  id: 'bad-expression',
  reads: 'tags',
  severity: 'error',
  title: 'A tag that holds no readable expression',
  why: 'A tag holds a placeholder name or an expression over names: numbers, + - * / %, comparisons, && || !, ?: and the functions min, max, abs, round, floor, ceil (a subset of ECMA-262 expressions). Anything else could not be filled in.',
  bad: { role: 'start', text: 'G28\nM109 S{{ heat.nozzle.first + }}\n' },
  good: { role: 'start', text: 'G28\nM109 S{{ heat.nozzle.first + 5 }}\n' },
  check(view, report) {
    for (const { problem } of view.expressions.values()) if (problem) report(problem);
  },
};
