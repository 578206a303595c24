import { Pace } from '../text/pieces.ts';
import { slice } from '../text/span.ts';
import { inPieces } from './inPieces.ts';
import type { Rule } from './rule.ts';
import { didYouMean, inSentence } from './say.ts';

/** A command that no record describes, or that this machine's controller does not have. */
export const unknownCommand: Rule = inPieces({
  id: 'unknown-command',
  severity: 'warning',
  title: 'A command that is not known',
  scope: 'line',
  *check(view, report) {
    const pace = new Pace();
    const habit = view.machine?.controller.unknownCommand ?? null;
    const severity = habit === 'refused' ? 'error' : 'warning';
    const what = WHAT[habit ?? 'unstated'];
    // Whether the controller knows it, nobody has said.
    const unknown = habit === null ? '' : `; a controller that does not know it either ${what}`;
    const suggested = new Map<string, string>();
    for (const { node, code, record } of view.commands) {
      if (pace.due()) yield;
      if (node.code === null) continue;
      if (code === '' && !record) {
        const span = node.words[0]?.span ?? node.span;
        report({
          span,
          severity,
          message:
            'These words stand without a command, and no motion command came before whose meaning they could take. Begin the line with one, such as G1.',
        });
      } else if (!record) {
        const near = suggested.get(code) ?? didYouMean(view.catalog.suggest(code));
        suggested.set(code, near);
        // A name as the text has it: its case may be what is wrong with it.
        const shown = node.named ? slice(view.tree.text, node.codeSpan) : code;
        const hint = node.named
          ? ` If ${shown} is this machine’s own, declare it under “commands” in its machine file.`
          : '';
        report({
          span: node.codeSpan,
          severity,
          message: `${shown} is not known to Bookend${unknown}.${near}${hint}`,
        });
      } else if (view.machine && view.catalog.isMissing(code)) {
        report({
          span: node.codeSpan,
          severity,
          message: `${code} (${inSentence(record.title)}) is missing on ${view.machine.name}, as its machine file says; the controller ${what}. Leave it out or do it another way.`,
        });
      }
    }
  },
});

const WHAT = {
  refused: 'refuses it and may stop',
  ignored: 'passes over it',
  unstated: 'passes over it or stops',
} as const;
