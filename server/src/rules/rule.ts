import type { BoundCommand } from '../commands/bind.ts';
import type { Machine } from '../machine/machine.ts';
import type { Scopes } from '../placeholders/elements.ts';
import type { FirstContact } from '../placeholders/firstContact.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import type { Prepared } from '../simulate/context.ts';
import type { Move, State } from '../simulate/state.ts';
import type { Step, Trace } from '../simulate/trace.ts';
import type { Related } from '../syntax/nodes.ts';
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
  /** The text is a part of a program, and begins in the state that what stands in front of it hands over. */
  readonly handedOver?: boolean;
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
  /**
   * Without a step: the last line that counts for it, as an index. What stands further down is not run to look for a job
   * that shows it. Default: the last one of the text.
   */
  readonly until?: number;
  /** Tells apart what one rule may report at one place: an axis' side, a heater. */
  readonly about?: string;
  /** The placeholder names that decide it, where they are not those of the tags at the span. */
  readonly names?: readonly string[];
}

/** One check. One file each; what there is to read about it stands in `pages/`. */
export interface Rule {
  /** Kebab case; shown to people, used in settings. */
  readonly id: string;
  readonly severity: Severity;
  /** One line, no full stop. */
  readonly title: string;
  readonly scope: Scope;
  /**
   * What stands further down, or how a text ends, may put right what it tells, and it looks at the text's own lines for
   * that: of a text of which only the first part was read it says nothing. What the run does not know at its end a rule
   * leaves open by itself.
   */
  readonly awaitsRest?: true;
  check(view: View, report: (finding: Report) => void): void;
  /** The same in pieces, where a text of some megabytes takes it more than a few milliseconds: made by `inPieces`. */
  pieces?(view: View, report: (finding: Report) => void): Pieces<void>;
  /**
   * Why silence of this rule would say nothing here: it met values that are not known, or judges by a fact that nobody
   * has stated. null: its silence means that it holds for every job. Absent: it reads the text alone and always knows.
   */
  blind?(view: View): string | Unstated | null;
  /** 'tags': it judges what stands in tags and nothing else, so that it does not matter as what a machine reads the lines. */
  readonly reads?: 'tags';
  /** What can be done about a finding of this rule in this view, best first. Asked only when somebody wants to know. */
  fix?(view: View, finding: Finding): readonly Fix[];
  readonly ofMove?: OfMove;
  readonly once?: Once;
}

/**
 * What a rule needs of a text to judge a place in it.
 * `spelling`: the line alone as it is written, whatever its numbers and the state before it.
 * `line`: the line, its neighbours and the state in front of it, so that a program is judged piece by piece.
 * `whole`: all lines from the first one on, or the end.
 */
export type Scope = 'spelling' | 'line' | 'whole';

/** A rule that judges an exact move by its numbers alone: the scan of finished programs counts by it. */
export interface OfMove {
  /** How often the rule has something to say of a move. */
  says(move: Move, facts: MoveFacts): number;
  /**
   * Where the compiled scan stops, so that somebody asks: numbers of a move; or places outside the reach, at the bed's
   * edge or among keep-outs; or arcs that are none. Of a move within all of it the rule must have nothing to say.
   */
  readonly beyond: Beyond | 'places' | 'arcs';
}

/** Numbers of a move beyond which a rule may have something to say. From them those of the compiled scan are made. */
export interface Beyond {
  /** More filament pushed out than this, mm; the same by a nozzle that stands still. */
  readonly pushed?: number;
  readonly pushedStanding?: number;
  /** More filament pulled back than this behind a move that pulls, mm. */
  readonly retracted?: number;
  /** A line with an F of this or less that goes sideways, mm/min. */
  readonly feed?: number;
  /** A longer way than this, mm. */
  readonly length?: number;
}

/** What else than its path an exact move is judged by. */
export interface MoveFacts {
  readonly machine: Machine | null;
  /** The line has an F of its own. */
  readonly namesF: boolean;
  /** mm/min; NaN: not known. */
  readonly feed: number;
  /** mm of filament. */
  readonly retractedBefore: number;
  readonly retractedAfter: number;
}

/**
 * A rule that tells a matter once: what it has told already need not be looked at again, so that a program which never
 * homes is scanned as fast as others. `told` is the rule's own memory of one program.
 */
export interface Once {
  /** What it is about: any move, or filament that moves. */
  readonly of: 'moves' | 'filament';
  /** Adds what it certainly tells at a step, or what settles the matter there. */
  note(step: Step, machine: Machine | null, told: Set<unknown>): void;
  /** Whether a plain move from this state gives it nothing new to tell. */
  isQuiet(state: State, machine: Machine | null, told: ReadonlySet<unknown>): boolean;
}

/** A fact that a rule judges by, and that nobody has stated: the rule is not asked, whatever the text says. */
export interface Unstated {
  /** 'machine', or the path of the fact in the machine file: 'mostFlow'. */
  readonly unstated: string;
  readonly reason: string;
}
