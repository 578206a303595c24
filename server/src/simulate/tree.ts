import type { Value } from '../placeholders/value.ts';
import type { Section, Tag } from '../syntax/nodes.ts';
import type { Branch, Guard, GuardList, Node, Step } from './trace.ts';

/** The guards from the outermost to the innermost. */
export function guardsOf(list: GuardList | null, outside: GuardList | null = null): readonly Guard[] {
  const guards: Guard[] = [];
  for (let at = list; at && at !== outside; at = at.outer) guards.push({ condition: at.condition, holds: at.holds });
  return guards.reverse();
}

/**
 * The shape of a run, kept as stretches of its list of steps: most steps are simply there, and cost nothing here.
 * `from` is the first step inside and `to` the one behind the last.
 */
export type ShapeFrame = ChoiceFrame | TurnFrame;

export interface ChoiceFrame {
  readonly is: 'choice';
  readonly condition: Tag | null;
  readonly from: number;
  to: number;
  readonly branches: BranchFrame[];
  /** Whether a job may run none of them. */
  mayBeLeftOut: boolean;
  /** Whether its last branch ended in a stop, so that nothing more can run in it. */
  stops: boolean;
}

export interface BranchFrame {
  readonly from: number;
  to: number;
  readonly guards: readonly Guard[];
  readonly inner: ShapeFrame[];
}

export interface TurnFrame {
  readonly is: 'turns';
  readonly section: Section;
  readonly element: ReadonlyMap<string, Value> | null;
  readonly index: number;
  readonly from: number;
  to: number;
  readonly inner: ShapeFrame[];
}

/** The tree of a run. */
export const treeOf = (steps: readonly Step[], frames: readonly ShapeFrame[]): readonly Node[] =>
  nodesIn(steps, 0, steps.length, frames);

function nodesIn(steps: readonly Step[], from: number, to: number, frames: readonly ShapeFrame[]): readonly Node[] {
  const nodes: Node[] = [];
  walk(from, to, frames, {
    step: (i) => nodes.push(steps[i] as Step),
    turn: ({ section, element, index, from, to, inner }) =>
      nodes.push({ is: 'turns', section, element, index, nodes: nodesIn(steps, from, to, inner) }),
    choice: ({ condition, branches, mayBeLeftOut }) => {
      const given = branches.map(({ guards, from, to, inner }) => ({ guards, nodes: nodesIn(steps, from, to, inner) }));
      const all = mayBeLeftOut ? [...given, LEFT_OUT] : given;
      nodes.push({ is: 'choice', condition, branches: all });
    },
  });
  return nodes;
}

const LEFT_OUT: Branch = Object.freeze({ guards: [], nodes: [] });

/** Visits a stretch of a run in order: each step that lies in no frame of it, and each frame. */
export function walk(
  from: number,
  to: number,
  frames: readonly ShapeFrame[],
  visit: {
    readonly step: (index: number) => void;
    readonly turn: (frame: TurnFrame) => void;
    readonly choice: (frame: ChoiceFrame) => void;
  },
): void {
  let at = from;
  for (const frame of frames) {
    while (at < frame.from) visit.step(at++);
    if (frame.is === 'turns') visit.turn(frame);
    else visit.choice(frame);
    at = frame.to;
  }
  while (at < to) visit.step(at++);
}
