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
  why: 'Some names mean something only while a layer is printed, or only while a tool is changed: a start sequence runs before the first layer, so `layer.number` has no value in it and `M117 Layer {{ layer.number }}` becomes `M117 Layer`. Use a name that every job has by then, or move the line to a sequence that runs later.',
  bad: { role: 'start', text: 'G28\nM117 Layer {{ layer.number }}\n' },
  good: { role: 'layer', text: 'M117 Layer {{ layer.number }}\n' },
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
