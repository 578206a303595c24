import type { Effect } from '../machine/effect.ts';
import type { Step } from '../simulate/trace.ts';
import { stepsThat } from './byLine.ts';
import { linesAtEnd } from './edits.ts';
import { both, type Jobs } from './jobs.ts';
import { hasOpenSection, isNumbered } from './lines.ts';
import type { Fix, Report, View } from './rule.ts';

/** Something that a text sets and leaves to what runs after it. */
export interface Left {
  /** Whether a step sets it. */
  sets(step: Step): boolean;
  /** In how many jobs what this step sets is not what comes after expects. */
  leaves(step: Step): Jobs;
  /** In how many jobs the text ends so. */
  readonly end: Jobs;
  say(step: Step): Omit<Report, 'span' | 'certain' | 'step'>;
}

/**
 * Tells the step that sets it last; where that differs between jobs, each that may be the last. Reports name no step:
 * whether another one comes behind is seen only in whole runs.
 */
export function tellLeft({ trace }: View, { sets, leaves, end, say }: Left, report: (finding: Report) => void): void {
  if (end === 'none') return;
  let setters: Step[] = [];
  for (const step of trace.settings) {
    if (!sets(step)) continue;
    if (step.certain) setters = [];
    setters.push(step);
  }
  const last = setters.at(-1);
  for (const step of setters) {
    const wrong = both(leaves(step), end);
    if (wrong === 'none') continue;
    report({ ...say(step), span: step.command.node.span, certain: step === last && step.certain && wrong === 'all' });
  }
}

/** Whether the job goes on behind a text of this role. */
export const jobFollows = ({ role }: View): boolean => role !== 'end' && role !== 'program';

/** Whether nothing is known of what ran before: else it has stated the modes that a text needs, or is told for it. */
export const beginsAnywhere = ({ role, handedOver }: View): boolean => role !== 'program' && !handedOver;

/** Whether a step has an effect of this kind. */
export const does = ({ command: { record } }: Step, kind: Effect['do']): boolean =>
  record?.effects.some((effect) => effect.do === kind) ?? false;

const STOPS = stepsThat((step) => does(step, 'stop'));

/** One command more at the end of the text, where it surely runs and means what it usually does; none elsewhere. */
export function addAtEnd(view: View, row: string, code: string, kind: Effect['do'], safe: boolean): Fix[] {
  const { catalog, tree, trace } = view;
  const known = catalog.find(code)?.effects.some((effect) => effect.do === kind) && !catalog.isMissing(code);
  if (STOPS({ trace }).items.length > 0 || !known || hasOpenSection(tree)) return [];
  // A row without number and checksum does not fit among numbered ones.
  return [{ title: `Add ${row} at the end`, edits: [linesAtEnd(view, [row])], safe: safe && !isNumbered(tree) }];
}
