import { tagValue } from '../placeholders/tags.ts';
import type { Step } from '../simulate/trace.ts';
import type { Tag } from '../syntax/nodes.ts';
import { slice } from '../text/span.ts';
import { notFollowed } from './blind.ts';
import { inAscii } from './lookAlikes.ts';
import type { Rule, View } from './rule.ts';
import { wordsOf } from './words.ts';

const KINDS = new Set(['unclosed-comment', 'nested-comment', 'unclosed-string', 'stray-text']);

/** Characters that belong to no word, and comments or strings that do not end. */
export const strayText: Rule = {
  id: 'stray-text',
  severity: 'warning',
  title: 'Text that is neither command, word nor comment',
  why: 'What a controller cannot read it skips, or it refuses the line. Comments begin with a semicolon and go to the end of the line, or stand in round brackets, which do not nest (NISTIR 6556 3.3.4).',
  bad: { role: 'start', text: 'G28 # all axes\n' },
  good: { role: 'start', text: 'G28 ; all axes\n' },
  check(view, report) {
    for (const problem of view.tree.problems) if (KINDS.has(problem.kind)) report(problem);
    for (const { tag, step } of bareTags(view)) {
      const { type } = tagValue(tag, view.expressions, step.reads?.env ?? view.trace.env);
      if (type !== 'number' && type !== 'flag') continue;
      report({
        span: tag.span,
        step,
        message: `“${slice(view.tree.text, tag.inner)}” is ${type === 'number' ? 'a number' : 'true or false'}, and no letter stands in front of it, so the machine cannot tell what it means. Put the letter there, like X${slice(view.tree.text, tag.span)}.`,
      });
    }
  },
  blind(view) {
    const known = new Set(['number', 'flag']);
    const open = bareTags(view).some(
      ({ tag, step }) => !known.has(tagValue(tag, view.expressions, step.reads?.env ?? view.trace.env).type),
    );
    return open ? 'a tag stands for whole words or commands, and what they are is not known' : notFollowed(view);
  },
  fix({ tree }, { span }) {
    // Letters of another alphabet that look like ours.
    const written = slice(tree.text, span);
    const plain = inAscii(written);
    return plain && plain !== written && /^[A-Z]/i.test(plain)
      ? [{ title: `Write ${plain} in ASCII letters`, edits: [{ span, text: plain }], safe: false, preferred: true }]
      : [];
  },
};

/** The tags that alone stand where a word or a command belongs, each in a step in which it is filled in. */
function bareTags(view: View): { readonly tag: Tag; readonly step: Step }[] {
  if (view.expressions.size === 0) return [];
  const found: { tag: Tag; step: Step }[] = [];
  for (const step of view.trace.steps) {
    if (!step.reads) continue;
    const places = wordsOf(step).flatMap(({ key, value }) => {
      const [part, more] = key === '' && value?.type === 'filled' ? value.parts : [];
      return part && !more && 'type' in part ? [part.span.start] : [];
    });
    const { code, codeSpan } = step.command.node;
    if (code === null) places.push(codeSpan.start);
    for (const at of places) {
      const tag = view.tree.tags.find(({ kind, closed, span }) => kind === 'value' && closed && span.start === at);
      // Where more of the same word stands behind it, that is no number by itself.
      if (tag && /^(?:\s|$|;|\()/.test(view.tree.text.slice(tag.span.end))) found.push({ tag, step });
    }
  }
  return found;
}
