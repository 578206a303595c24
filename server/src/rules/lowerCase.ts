import type { Line, Tree } from '../syntax/nodes.ts';
import { Pace } from '../text/pieces.ts';
import { type Span, slice } from '../text/span.ts';
import { noMachine } from './blind.ts';
import { inPieces } from './inPieces.ts';
import type { Rule } from './rule.ts';
import { strayStarts } from './stray.ts';

/** Lower-case letters where the controller reads upper case only. */
export const lowerCase: Rule = inPieces({
  id: 'lower-case',
  severity: 'error',
  title: 'Lower case where the controller reads upper case only',
  why: 'In RS-274 case does not count outside comments (NISTIR 6556 3.3), but some controllers know capitals only: they pass over g1 or x10, or refuse the line. `controller.upperCase` in the machine file says so. Capitals are read everywhere, so they are the better habit anyway.',
  bad: { role: 'start', text: 'G21\nG90\ng28\nM109 S210\n' },
  good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\n' },
  *check(view, report) {
    const pace = new Pace();
    if (!view.machine?.controller.upperCase) return;
    const stray = strayStarts(view.tree);
    for (const line of view.tree.lines) {
      if (pace.due()) yield;
      const [first] = lowered(view.tree, line);
      if (!first || first.start > stray(line)) continue;
      report({
        span: first,
        message: `${view.machine.name} reads capitals only, so this line is passed over or refused. Write it in upper case.`,
      });
    }
  },
  blind: noMachine,
  fix({ tree }, { span }) {
    const line = tree.lines.find((l) => l.span.start <= span.start && span.start <= l.span.end);
    if (!line) return [];
    const edits = lowered(tree, line).map((at) => ({ span: at, text: slice(tree.text, at).toUpperCase() }));
    // A checksum counts the letters as they stand.
    return edits.length > 0
      ? [{ title: 'Write the line in upper case', edits, safe: !line.checksum, preferred: true }]
      : [];
  },
});

/** Codes, names and keys of a line that have a small letter, in order. */
function lowered({ text }: Tree, line: Line): Span[] {
  const keys = line.number ? [line.number.keySpan] : [];
  for (const { codeSpan, named, words } of line.commands) {
    const end = named ? codeSpan.end : Math.min(codeSpan.end, codeSpan.start + 1);
    keys.push({ start: codeSpan.start, end });
    for (const { keySpan } of words) if (keySpan.start >= codeSpan.end) keys.push(keySpan);
  }
  return keys.filter((key) => /[a-z]/.test(slice(text, key)));
}
