import { visible } from '../placeholders/environment.ts';
import { namesIn } from '../placeholders/expression.ts';
import type { Name } from '../placeholders/vocabulary.ts';
import { nearest } from '../text/nearest.ts';
import type { Rule } from './rule.ts';
import { didYouMean, oneOf } from './say.ts';

/** A name in a tag that the vocabulary does not have. */
export const unknownPlaceholder: Rule = {
  id: 'unknown-placeholder',
  severity: 'error',
  title: 'A placeholder name that is not in the vocabulary',
  why: 'A name that nothing gives a value to is filled in as nothing: `M109 S{{ heat.nozle.first }}` becomes `M109 S`, and the machine waits for no temperature at all. Use a name of the vocabulary; completion inside the tag lists them.',
  bad: { role: 'start', text: 'G28\nM109 S{{ heat.nozle.first }}\n' },
  good: { role: 'start', text: 'G28\nM109 S{{ heat.nozzle.first }}\n' },
  check(view, report) {
    const known = new Map(visible(view.vocabulary).map((name) => [name.name, name]));
    for (const [tag, { expr }] of view.expressions) {
      if (!expr) continue;
      for (const { name, span } of namesIn(expr)) {
        const inScope = view.scopes.find(tag, name)?.name;
        if (name === '.') {
          const list = view.scopes.element(tag);
          if (list && !inScope) report({ span, message: wholeElement(list) });
          continue;
        }
        // A name without a value in this role is what no-value-here tells.
        if (inScope && !inScope.hidden) continue;
        report({
          span,
          message: `There is no placeholder “${name}”, so nothing would be filled in here.${didYouMean(likely(name, [...view.scopes.elements(tag).map((one) => one.name), ...known.keys()]))}`,
        });
      }
    }
  },
};

function wholeElement({ name, items = [] }: Name): string {
  return `“.” is a whole element of “${name}”, of which no text can be made. Use one of its names: ${oneOf(items.map((item) => item.name))}.`;
}

/** Names that are spelt alike, else those that end in the same part (`chamber`: `heat.chamber`). */
function likely(name: string, known: readonly string[]): readonly string[] {
  const near = nearest(name, known);
  if (near.length > 0) return near;
  const part = lastPart(name);
  return known.filter((other) => lastPart(other) === part).slice(0, 3);
}

const lastPart = (name: string): string => name.slice(name.lastIndexOf('.') + 1);
