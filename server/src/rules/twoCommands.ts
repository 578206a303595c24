import { groupConflicts, type LineConflict } from '../commands/bind.ts';
import { tagAt } from '../syntax/at.ts';
import type { Line } from '../syntax/nodes.ts';
import type { Span } from '../text/span.ts';
import { excludeEachOther } from './alternatives.ts';
import { notFollowed } from './blind.ts';
import { onOwnLines } from './ownLines.ts';
import type { Rule, View } from './rule.ts';
import { strayStarts } from './stray.ts';

/** Several commands on a line where the machine takes one, or two that exclude each other. */
export const twoCommands: Rule = {
  id: 'two-commands',
  severity: 'error',
  title: 'Several commands on one line',
  scope: 'spelling',
  check(view, report) {
    // G53 holds for its own line, so it always stands in front of a move (NISTIR 6556 3.5.12).
    const one = view.machine?.controller.commandsPerLine === 'one';
    const stray = strayStarts(view.tree);
    for (const line of view.tree.lines) {
      if (line.commands.length < 2) continue;
      const conflicts = groupConflicts(line, view.catalog);
      for (const conflict of conflicts) {
        if (conflict.why !== 'machine positions')
          report({ span: conflict.second.codeSpan, about: conflict.why, message: sayConflict(conflict) });
      }
      if (!one || conflicts.length > 0 || line.commands.some((c) => c.code === 'G53')) continue;
      // A tag that is filled in as a number, and nothing more, is no command.
      const [first, ...more] = line.commands.filter(({ code, codeSpan }) => code !== null || !begins(view, codeSpan));
      const second = more.find((c) => c.section === first?.section && c.span.start < stray(line));
      if (second) {
        report({
          span: second.codeSpan,
          message: `${view.machine?.name} takes one command a line: ${second.code ?? 'what follows'} would not be run. Put it on a line of its own.`,
        });
      }
    }
  },
  blind: (view) =>
    view.tree.lines.some((line) => mayShare(view, line))
      ? 'which commands share a line hangs on the job'
      : notFollowed(view),
  fix(view, { span, about }) {
    const rows = about === 'axis words' ? null : onOwnLines(view, span.start);
    // Commands that exclude each other may both be meant, or one of them.
    return rows
      ? [
          {
            title: 'Put each command on a line of its own',
            edits: rows.edits,
            safe: rows.same && about === undefined,
            preferred: true,
          },
        ]
      : [];
  },
};

/** Whether a tag begins right where a command does. */
const begins = ({ tree }: View, { start }: Span): boolean => tagAt(tree, start)?.span.start === start;

/** Whether commands of different sections may stand on a line together in some job. */
function mayShare({ tree }: View, { commands }: Line): boolean {
  const [first] = commands;
  if (!first || commands.every(({ section }) => section === first.section)) return false;
  return (
    commands.length > MANY ||
    commands.some((a, i) => commands.slice(0, i).some((b) => !excludeEachOther(tree, a.section, b.section)))
  );
}

/** Commands on a line of which each is compared with each. */
const MANY = 12;

/** G53 with an arc ("machine positions") is told by `bad-arc`. */
function sayConflict({ first, second, why, group }: LineConflict): string {
  const pair = `${first.code} and ${second.code}`;
  return why === 'same group'
    ? `${pair} are both ${group} commands, of which a line can have one (NISTIR 6556 3.3.5 and Table 4). Remove one, or put them on lines of their own.`
    : `${pair} both take the axis words of this line, so it is not clear whose they are (NISTIR 6556 3.4). Put them on lines of their own.`;
}
