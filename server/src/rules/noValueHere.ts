import { namesIn } from '../placeholders/expression.ts';
import { Pace } from '../text/pieces.ts';
import { inPieces } from './inPieces.ts';
import type { Rule } from './rule.ts';
import { oneOf } from './say.ts';

/** A name that a job has no value for, or none yet, when a sequence of this role runs. */
export const noValueHere: Rule = inPieces({
  id: 'no-value-here',
  reads: 'tags',
  severity: 'error',
  title: 'A placeholder that has no value in this kind of sequence',
  scope: 'line',
  *check(view, report) {
    const pace = new Pace();
    for (const [tag, { expr }] of view.expressions) {
      if (pace.due()) yield;
      if (!expr) continue;
      for (const { name, span } of namesIn(expr)) {
        const found = view.scopes.find(tag, name)?.name;
        if (!found?.roles || found.hidden || found.roles.includes(view.role)) continue;
        report({
          span,
          message: `“${name}” has no value in ${article(view.role)} sequence, so nothing would be filled in here. ${
            found.roles.length > 0
              ? `Only ${oneOf(found.roles)} sequences have it.`
              : 'The vocabulary gives it no kind of sequence at all.'
          }`,
        });
      }
    }
  },
});

const article = (role: string): string => (/^[aeiou]/.test(role) ? `an ${role}` : `a ${role}`);
