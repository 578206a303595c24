import { visible } from '../placeholders/environment.ts';
import { namesIn } from '../placeholders/expression.ts';
import { nearest } from '../text/nearest.ts';
import type { Rule } from './rule.ts';
import { didYouMean } from './say.ts';

/** A name in a tag that the vocabulary does not have. */
export const unknownPlaceholder: Rule = {
  id: 'unknown-placeholder',
  severity: 'error',
  title: 'A placeholder name that is not in the vocabulary',
  why: 'A name that nothing gives a value to, or none yet when this sequence runs, is filled in as nothing: `M109 S{{ heat.nozle.first }}` becomes `M109 S`, and the machine waits for no temperature at all. Use a name of the vocabulary; completion inside the tag lists them.',
  bad: { role: 'start', text: 'G28\nM109 S{{ heat.nozle.first }}\n' },
  good: { role: 'start', text: 'G28\nM109 S{{ heat.nozzle.first }}\n' },
  check(view, report) {
    const known = new Map(visible(view.vocabulary).map((name) => [name.name, name]));
    for (const { expr } of view.expressions.values()) {
      if (!expr) continue;
      for (const { name, span } of namesIn(expr)) {
        if (name === '.') continue;
        const found = known.get(name);
        if (found && (!found.roles || found.roles.includes(view.role))) continue;
        if (found) {
          report({
            span,
            message: `“${name}” has no value in a ${view.role} sequence, so nothing would be filled in here. Sequences that have it: ${(found.roles ?? []).join(', ')}.`,
          });
          continue;
        }
        report({
          span,
          message: `There is no placeholder “${name}”, so nothing would be filled in here.${didYouMean(likely(name, [...known.keys()]))}`,
        });
      }
    }
  },
};

/** Names that are spelt alike, else those that end in the same part (`chamber`: `heat.chamber`). */
function likely(name: string, known: readonly string[]): readonly string[] {
  const near = nearest(name, known);
  if (near.length > 0) return near;
  const part = lastPart(name);
  return known.filter((other) => lastPart(other) === part).slice(0, 3);
}

const lastPart = (name: string): string => name.slice(name.lastIndexOf('.') + 1);
