import { type Known, scale } from '../placeholders/bounds.ts';
import type { Step } from '../simulate/trace.ts';
import type { Word } from '../syntax/nodes.ts';
import { notFollowed } from './blind.ts';
import { linesAtEnd } from './edits.ts';
import type { Jobs } from './jobs.ts';
import type { Fix, Rule, Severity, View } from './rule.ts';
import { range } from './say.ts';
import { takenOut } from './takenOut.ts';
import { numberOfWord, wordIn } from './words.ts';

/** What a rule has to say of one command. */
export interface SettingTold {
  /** In how many of the jobs that run it. */
  readonly happens: Jobs;
  readonly message: string;
  readonly severity?: Severity;
}

/** null: such a command is none of the rule’s business; that it happens in none of the jobs: it puts the guard back. */
type Says = (step: Step, view: View) => SettingTold | null;

/**
 * A rule about single commands, wherever they stand: what to say of each, by its code.
 * @param back The row that puts a guard back which the command takes away. Then the finding is only a hint where a
 * later command of the same code surely does so.
 */
export function aboutCommands(
  says: Readonly<Record<string, Says>>,
  back: (view: View) => string | null = () => null,
): Required<Pick<Rule, 'check' | 'blind' | 'fix'>> {
  return {
    check(view, report) {
      const { settings } = view.trace;
      let restoredBy: ReturnType<typeof nextBack> | null = null;
      for (const [i, step] of settings.entries()) {
        const { code, node } = step.command;
        const say = says[code];
        if (!say || !isUsual(view, step)) continue;
        const told = say(step, view);
        if (!told || told.happens === 'none') continue;
        restoredBy ??= back(view) === null ? [] : nextBack(view, settings, says);
        const restored = restoredBy[i];
        report({
          span: node.span,
          message: restored ? untilBack(step, restored, view) : told.message,
          // Where a guard may be put back, what comes behind the step counts too.
          ...(back(view) === null ? { step } : {}),
          certain: told.happens === 'all' && step.certain,
          ...(restored ? { severity: 'hint', about: FOR_A_WHILE } : told.severity ? { severity: told.severity } : {}),
        });
      }
    },
    blind: notFollowed,
    fix(view, { span, about }) {
      const out = takenOut(view, span.start);
      const row = about === FOR_A_WHILE ? null : back(view);
      const fixes: Fix[] = [];
      if (out) fixes.push({ title: 'Take this line out', edits: [out], safe: false, preferred: true });
      if (row) fixes.push({ title: `Add ${row} at the end`, edits: [linesAtEnd(view, [row])], safe: false });
      return fixes;
    },
  };
}

/** For each step the next one of its code behind it that surely puts the guard back. */
function nextBack(view: View, settings: readonly Step[], says: Readonly<Record<string, Says>>): (Step | undefined)[] {
  const next = new Map<string, Step>();
  const found: (Step | undefined)[] = [];
  for (let i = settings.length - 1; i >= 0; i--) {
    const step = settings[i] as Step;
    const { code } = step.command;
    found[i] = next.get(code);
    if (step.certain && says[code]?.(step, view)?.happens === 'none') next.set(code, step);
  }
  return found;
}

const FOR_A_WHILE = 'for a while';

/** A guard that is away for a while only: as good as such a thing can be done, and still a stretch to watch. */
const untilBack = (step: Step, { command }: Step, { tree }: View): string =>
  `${asWritten(step, tree.text)} takes a guard of the controller away until line ${command.line.index + 1} puts it back. Keep clear of the machine meanwhile, and see that the moves between are right.`;

/** Whether the controller has this command, with its usual meaning. */
export function isUsual({ catalog, machine }: View, { command: { code, record } }: Step): boolean {
  return record !== null && !catalog.isMissing(code) && !machine?.commands.some((c) => c.name.toUpperCase() === code);
}

/** The number behind a command's word in the jobs of a view; undefined: no such word; null: not known. */
export function numberOf(step: Step, key: string): Known | undefined {
  const word = wordIn(step, key);
  return word && numberOfWord(step, word);
}

/** The words of a command as people read them: "M302 S0". */
export const asWritten = ({ command: { code, words } }: Step, text: string): string =>
  [code, ...words.map((word: Word) => text.slice(word.span.start, word.span.end))].join(' ');

/** A factor in percent. */
export const percent = (factor: Known): string => (factor ? range(scale(factor, 100) ?? factor) : 'another');
