import type { BoundCommand } from '../commands/bind.ts';
import type { Scopes } from '../placeholders/elements.ts';
import type { FirstContact } from '../placeholders/firstContact.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import type { Prepared } from '../simulate/context.ts';
import type { Step, Trace } from '../simulate/trace.ts';
import type { Related } from '../syntax/nodes.ts';
import type { Role } from '../syntax/role.ts';
import type { Edit } from '../text/edit.ts';
import type { Pieces } from '../text/pieces.ts';
import type { Span } from '../text/span.ts';

export type { Edit } from '../text/edit.ts';

export type Severity = 'error' | 'warning' | 'info' | 'hint';

/** The names of a job that matter for a finding, with their values. */
export type When = Readonly<Record<string, number | string | boolean>>;

/** What a rule has found, in its place. Offsets, no lines. */
export interface Finding {
  readonly rule: string;
  readonly severity: Severity;
  readonly span: Span;
  /** What, why, and what to do, with the numbers. */
  readonly message: string;
  /** The witness: the job for which it happens, only the names that matter. null where it happens in every job. */
  readonly when: When | null;
  /** Other places that it has to do with. */
  readonly related?: readonly Related[];
  /** As in the report: tells apart what one rule says at one place. */
  readonly about?: string;
}

/** What can be done about a finding. */
export interface Fix {
  /** What it does, as a command: "Add M190 to wait for the bed". */
  readonly title: string;
  /** In the order of the text, not overlapping. */
  readonly edits: readonly Edit[];
  /** What most people want here, so that one key press does it. Left out: where it is safe. */
  readonly preferred?: boolean;
  /**
   * Whether it may be applied without being looked at: it is the one thing that is meant, and what the machine does
   * otherwise stays the same. Never for what sends the nozzle to another place or a heater to another temperature.
   */
  readonly safe: boolean;
}

/** What a rule sees: the prepared text and one run of it, over all jobs or over one. */
export interface View extends Prepared {
  readonly vocabulary: Vocabulary;
  /** What the names in each tag mean. */
  readonly scopes: Scopes;
  readonly trace: Trace;
  /** What the text shows of a placeholder language that its vocabulary does not describe; absent: nothing. */
  readonly contact?: FirstContact | null;
  /** Every command in the order of the text, whether it runs or not. */
  readonly commands: readonly BoundCommand[];
  /** Lines of the text with a command, and without a number, that are not here: plain ones of a long program. */
  readonly leftOut?: number;
}

export interface Report {
  readonly span: Span;
  readonly message: string;
  readonly related?: readonly Related[];
  /** Instead of the rule's own. */
  readonly severity?: Severity;
  /**
   * Whether this happens in every run that the view stands for. What only may happen is looked for in exact jobs and
   * reported with the first job that shows it; without such a job it stays open and is not reported. Default true.
   */
  readonly certain?: boolean;
  /** The step it happens in; a step that only some jobs run is never certain. */
  readonly step?: Step;
  /** Tells apart what one rule may report at one place: an axis' side, a heater. */
  readonly about?: string;
  /** The placeholder names that decide it, where they are not those of the tags at the span. */
  readonly names?: readonly string[];
}

/** One check, with all that a reader needs to know about it. One file each. */
export interface Rule {
  /** Kebab case; shown to people, used in settings. */
  readonly id: string;
  readonly severity: Severity;
  /** One line, no full stop. */
  readonly title: string;
  /** Why it matters and what to do about it: whole sentences. */
  readonly why: string;
  /** A text that breaks the rule, and the same put right: both are run as tests against the example machine. */
  readonly bad: Example;
  readonly good: Example;
  check(view: View, report: (finding: Report) => void): void;
  /** The same in pieces, where a text of some megabytes takes it more than a few milliseconds: made by `inPieces`. */
  pieces?(view: View, report: (finding: Report) => void): Pieces<void>;
  /**
   * Why silence of this rule would say nothing here: it had no machine, or met values that are not known. null: its
   * silence means that it holds for every job. Absent: it reads the text alone and always knows.
   */
  blind?(view: View): string | null;
  /** What can be done about a finding of this rule in this view, best first. Asked only when somebody wants to know. */
  fix?(view: View, finding: Finding): readonly Fix[];
}

/** An example text in its role. */
export interface Example {
  readonly role: Role;
  readonly text: string;
}
