import type { BoundCommand } from '../commands/bind.ts';
import { repetitions } from '../placeholders/tags.ts';
import { lineAt } from '../syntax/at.ts';
import type { Section } from '../syntax/nodes.ts';
import { once } from '../text/once.ts';
import { slice } from '../text/span.ts';
import { notFollowed } from './blind.ts';
import { ByLine, commandsThat } from './byLine.ts';
import { commandAt, linesAtEnd } from './edits.ts';
import { both, type Jobs } from './jobs.ts';
import type { Fix, Rule, View } from './rule.ts';
import { takenOut } from './takenOut.ts';

/**
 * Whether a command ends the program: by the standard, or as the machine file says of its own. One that takes further
 * words (a file to delete) means something else with them. An emergency stop is another rule's affair.
 */
const ends = ({ record, words }: BoundCommand): boolean =>
  record?.effects.some((effect) => effect.do === 'stop') === true &&
  (record.group === 'stopping' || record.own === true) &&
  (record.openWords !== true || words.length === 0);

/** Commands behind the end of the program, or a program's end where the job has yet to come. */
export const afterEnd: Rule = {
  id: 'after-end',
  severity: 'warning',
  title: 'Commands behind the end of the program',
  scope: 'whole',
  check(view, report) {
    const goesOn = view.role !== 'end' && view.role !== 'program';
    for (const step of view.trace.settings) {
      const { code, node, record } = step.command;
      if (!record || !ends(step.command) || view.catalog.isMissing(code)) continue;
      // A machine's own command has its file for a source, a code the standard.
      const source = record.own ? `(says ${record.source})` : '(NISTIR 6556 3.6.1)';
      if (goesOn) {
        report({
          span: node.codeSpan,
          about: 'job',
          severity: 'error',
          step,
          message: `${code} ends the program ${source}, and the rest of the job stands behind this sequence: it would never run. Take ${code} out.`,
        });
        continue;
      }
      const sure = nextBelow(view, step.command);
      for (const next of sure ? [sure] : firstBelow(view, step.command)) {
        const there = sure ? 'all' : isThere(view, next.node.section);
        report({
          span: next.node.span,
          step,
          certain: there === 'all',
          related: [{ span: node.codeSpan, message: `${code} ends the program here.` }],
          message: `This never runs: ${code} further up ends the program ${source}. Put ${code} behind it, or take ${code} out.`,
        });
      }
    }
  },
  blind: notFollowed,
  fix(view, { span, about }) {
    const end = about === 'job' ? endAt(view, span.start) : lastEnd(view, span.start);
    const out = end === null ? null : takenOut(view, end);
    if (end === null || !out) return [];
    const fixes: Fix[] = [{ title: 'Take the end of the program out', edits: [out], safe: false, preferred: true }];
    if (about === 'job') return fixes;
    const row = slice(view.tree.text, { start: end, end: out.span.end }).trim();
    return [
      { title: `Put ${row} last`, edits: [out, linesAtEnd(view, [row])], safe: false, preferred: true },
      ...fixes,
    ];
  },
};

/** The commands in sections that may be the first to be filled in behind the end: up to one that surely is. */
function firstBelow(view: View, { line }: BoundCommand): BoundCommand[] {
  const all = ALL(view);
  const found: BoundCommand[] = [];
  for (let i = all.startBelow(line.index); i < all.items.length; i++) {
    const command = all.items[i] as BoundCommand;
    const there = isThere(view, command.node.section);
    if (there !== 'none') found.push(command);
    if (there === 'all' || found.length === MOST_FIRST) break;
  }
  return found;
}

const ALL = commandsThat(() => true);

/** Sections behind the end of a program of which each may be the first that a job has. */
const MOST_FIRST = 4;

/** In how many jobs what a section holds is filled in. */
function isThere(view: View, section: Section | null): Jobs {
  let there: Jobs = 'all';
  for (let s = section; s && there !== 'none'; s = s.parent) {
    const { lo, hi } = repetitions(s, view.expressions, view.trace.env);
    there = both(there, lo > 0 ? 'all' : hi > 0 ? 'some' : 'none');
  }
  return there;
}

const endAt = (view: View, at: number): number | null => {
  const command = commandAt(view, at);
  return command && ends(command) && command.node.codeSpan.start === at ? at : null;
};

const ENDINGS = commandsThat(ends);

/** Where the last program end above an offset stands. */
const lastEnd = (view: View, offset: number): number | null =>
  ENDINGS(view).above(lineAt(view.tree, offset).index)?.node.codeSpan.start ?? null;

/** Commands directly in each section, and at the top level. */
const BY_SECTION = once((all: readonly BoundCommand[]) => {
  const lists = new Map<Section | null, BoundCommand[]>();
  for (const command of all) {
    const list = lists.get(command.node.section);
    if (list) list.push(command);
    else lists.set(command.node.section, [command]);
  }
  return new Map([...lists].map(([section, list]) => [section, new ByLine(list, ({ line }) => line.index)]));
});

/** Sections around a command that are looked through; the run follows no deeper nesting. */
const DEEPEST = 64;

/** The command further down that comes next in every job in which this one is there. */
function nextBelow({ commands }: View, { line, node }: BoundCommand): BoundCommand | undefined {
  const lists = BY_SECTION(commands);
  let next = lists.get(null)?.below(line.index);
  let section = node.section;
  for (let depth = 0; section && depth < DEEPEST; depth++) {
    const own = lists.get(section)?.below(line.index);
    if (own && (!next || own.line.index < next.line.index)) next = own;
    section = section.parent;
  }
  return next;
}
