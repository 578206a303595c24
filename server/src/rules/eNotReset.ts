import { notFollowed } from './blind.ts';
import { linesAtEnd } from './edits.ts';
import { isOff } from './jobs.ts';
import { hasOpenSection } from './lines.ts';
import type { Rule } from './rule.ts';
import { range } from './say.ts';

/** A start that hands over in absolute E without having zeroed it. */
export const eNotReset: Rule = {
  id: 'e-not-reset',
  severity: 'warning',
  title: 'E is handed over without being zeroed',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    if (view.role !== 'start') return;
    const { at, relativeE } = view.trace.end;
    const last = view.commands[view.commands.length - 1];
    if (relativeE === true || !last || !at.e || !stated(view)) return;
    const off = isOff(at.e);
    if (off === 'none') return;
    report({
      span: last.node.span,
      certain: off === 'all' && relativeE === false,
      message: `The start sequence hands over in absolute E (M82) with E at ${range(at.e)}, and a job counts from 0: its first line would move that much filament. Add G92 E0 at the end.`,
    });
  },
  blind(view) {
    if (view.role !== 'start' || view.trace.end.relativeE === true || !stated(view)) return null;
    return view.trace.end.at.e ? notFollowed(view) : 'what E reads at the end is not known';
  },
  fix: (view) =>
    view.trace.end.stopped === false && !hasOpenSection(view.tree)
      ? [{ title: 'Add G92 E0 at the end', edits: [linesAtEnd(view, ['G92 E0'])], safe: true }]
      : [],
};

/** A mode that was never stated is told by `e-mode-unset`. */
const stated = ({ trace, machine }: Parameters<Rule['check']>[0]): boolean =>
  trace.settings.some(({ command }) =>
    command.record
      ? command.record.effects.some(
          ({ do: does }) => does === 'extrusion-mode' || (does === 'distance' && machine?.controller.distanceGovernsE),
        )
      : command.node.code === null || command.node.named,
  );
