import { visible } from '../placeholders/environment.ts';
import { namesIn } from '../placeholders/expression.ts';
import type { Name } from '../placeholders/vocabulary.ts';
import type { Tag } from '../syntax/nodes.ts';
import { nearest } from '../text/nearest.ts';
import { Pace } from '../text/pieces.ts';
import { inPieces } from './inPieces.ts';
import type { Rule, View } from './rule.ts';
import { didYouMean, oneOf } from './say.ts';

/** A name in a tag that the vocabulary does not have. */
export const unknownPlaceholder: Rule = inPieces({
  id: 'unknown-placeholder',
  reads: 'tags',
  severity: 'error',
  title: 'A placeholder name that is not in the vocabulary',
  scope: 'spelling',
  *check(view, report) {
    const pace = new Pace();
    for (const [tag, { expr }] of view.expressions) {
      if (pace.due()) yield;
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
          message: `There is no placeholder “${name}”, so nothing would be filled in here.${didYouMean(likelyNames(view, tag, name))}`,
        });
      }
    }
  },
});

function wholeElement({ name, items = [] }: Name): string {
  return `“.” is a whole element of “${name}”, of which no text can be made. Use one of its names: ${oneOf(items.map((item) => item.name))}.`;
}

/** What an unknown name may be meant for: names spelt alike, else those whose end it is (`chamber`: `heat.chamber`). */
export function likelyNames(view: Pick<View, 'scopes' | 'vocabulary'>, tag: Tag, name: string): readonly string[] {
  const known = [...view.scopes.elements(tag), ...visible(view.vocabulary)].map((one) => one.name);
  const near = nearest(name, known);
  if (near.length > 0) return near;
  const end = `.${name.toLowerCase()}`;
  return known.filter((other) => other.toLowerCase().endsWith(end)).slice(0, 3);
}
