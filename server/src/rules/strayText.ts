import { slice } from '../text/span.ts';
import { bareTags } from './bareTags.ts';
import { notFollowed } from './blind.ts';
import { inAscii } from './lookAlikes.ts';
import type { Rule } from './rule.ts';

const KINDS = new Set(['unclosed-comment', 'nested-comment', 'unclosed-string', 'stray-text']);

/** Characters that belong to no word, and comments or strings that do not end. */
export const strayText: Rule = {
  id: 'stray-text',
  severity: 'warning',
  title: 'Text that is neither command, word nor comment',
  scope: 'line',
  check(view, report) {
    for (const problem of view.tree.problems) if (KINDS.has(problem.kind)) report(problem);
    for (const {
      tag,
      step,
      value: { type },
    } of bareTags(view)) {
      // What a command by name takes is its machine's affair.
      if ((type !== 'number' && type !== 'flag') || step.command.node.named) continue;
      report({
        span: tag.span,
        step,
        message: `“${slice(view.tree.text, tag.inner)}” is ${type === 'number' ? 'a number' : 'true or false'}, and no letter stands in front of it, so the machine cannot tell what it means. Put the letter there, like X${slice(view.tree.text, tag.span)}.`,
      });
    }
  },
  blind: notFollowed,
  fix({ tree }, { span }) {
    // Letters of another alphabet that look like ours.
    const written = slice(tree.text, span);
    const plain = inAscii(written);
    return plain && plain !== written && /^[A-Z]/i.test(plain)
      ? [{ title: `Write ${plain} in ASCII letters`, edits: [{ span, text: plain }], safe: false, preferred: true }]
      : [];
  },
};
