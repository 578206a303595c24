import type { Value } from '../placeholders/value.ts';
import type { Section, Tag } from '../syntax/nodes.ts';
import type { Guard, Step } from './trace.ts';
import type { BranchFrame, ChoiceFrame, ShapeFrame, TurnFrame } from './tree.ts';

/** The same frames for another run that goes on from here: the last one may still be gone on with. */
export function copied(frames: readonly ShapeFrame[]): ShapeFrame[] {
  const last = frames.at(-1);
  if (last?.is !== 'choice') return [...frames];
  const branches = last.branches.map((branch) => ({ ...branch, inner: [...branch.inner] }));
  return [...frames.slice(0, -1), { ...last, branches }];
}

/** Notes the shape of a run while it is made: which stretches of its steps are branches of a choice, or turns of a list. */
export class ShapeNotes {
  /** The frames of the body that is being run. */
  frames: ShapeFrame[] = [];

  constructor(private readonly steps: readonly Step[]) {}

  /** Begins a choice; its branches follow by `branch`, and `close` ends it. */
  choice(condition: Tag | null): ChoiceFrame {
    const from = this.steps.length;
    return { is: 'choice', condition, from, to: from, branches: [], mayBeLeftOut: false, stops: false };
  }

  /** Begins a branch of an open choice; what runs until `end` belongs to it. */
  begin(choice: ChoiceFrame, guards: readonly Guard[]): OpenFrame {
    const frame: BranchFrame = { from: this.steps.length, to: 0, guards, inner: [] };
    choice.branches.push(frame);
    return this.open(frame);
  }

  /** Begins a pass through a list's section. */
  beginTurn(section: Section, element: ReadonlyMap<string, Value> | null, index: number): OpenFrame {
    const from = this.steps.length;
    const frame: TurnFrame = { is: 'turns', section, element, index, from, to: from, inner: [] };
    this.frames.push(frame);
    return this.open(frame);
  }

  /** Ends what was begun last. */
  end({ frame, outer }: OpenFrame): void {
    this.frames = outer;
    frame.to = this.steps.length;
  }

  /** Runs one branch of an open choice. */
  branch<T>(choice: ChoiceFrame, guards: readonly Guard[], run: () => T): T {
    const open = this.begin(choice, guards);
    const result = run();
    this.end(open);
    return result;
  }

  /** Runs more of the last branch of a choice that has been closed right here. */
  more<T>(choice: ChoiceFrame, run: () => T): T {
    const last = choice.branches.at(-1);
    const open = last ? this.open(last) : null;
    const result = run();
    if (open) this.end(open);
    choice.to = this.steps.length;
    return result;
  }

  /** Ends a choice. One in which a job has nothing to choose is none: what is in it is simply there. */
  close(choice: ChoiceFrame, mayBeLeftOut: boolean): void {
    choice.to = this.steps.length;
    choice.mayBeLeftOut = mayBeLeftOut;
    const only = choice.branches[0];
    if (!only) return;
    if (choice.branches.length === 1 && !mayBeLeftOut) this.frames.push(...only.inner);
    else if (choice.to > choice.from) this.frames.push(choice);
  }

  /** The choice that ended at the very last step, to which a neighbor may belong; null where there is none. */
  get lastChoice(): ChoiceFrame | null {
    const last = this.frames.at(-1);
    return last?.is === 'choice' && last.to === this.steps.length ? last : null;
  }

  private open(frame: BranchFrame | TurnFrame): OpenFrame {
    const { frames: outer } = this;
    this.frames = frame.inner;
    return { frame, outer };
  }
}

/** A frame that has been begun, and the frames around it. */
export interface OpenFrame {
  readonly frame: BranchFrame | TurnFrame;
  readonly outer: ShapeFrame[];
}
