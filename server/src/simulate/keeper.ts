import type { BoundCommand } from '../commands/bind.ts';
import { exact, type Known } from '../placeholders/bounds.ts';
import type { Word } from '../syntax/nodes.ts';
import { BehindMove } from './afterMove.ts';
import { isShifted, LineMove, lineExtent, machinePosition, movedAxes, spanned } from './motion.ts';
import { readingsOf } from './readings.ts';
import type { Move, State } from './state.ts';
import type { Guard, Reading, Step, Within } from './trace.ts';
import { guardsOf } from './tree.ts';

// A long program is nearly all straight moves between exact places. Kept as objects they are most of the memory that an
// analysis leaves behind, and clearing that memory away is most of its time. So their numbers go into rows of an array,
// and the objects are made when somebody asks for them.

/** The columns of a row: what X, Y and E read behind the move, and what is known of the move. NaN: not known. */
const COLUMN = { x: 0, y: 1, reads: 2, e: 3, pushed: 4, length: 5, seconds: 6, feed: 7, flags: 8 } as const;
const COLUMNS = 9;
/** In `flags`: 1, 2 and 4 for the axes that move, and this. */
const RAPID = 8;

/** Rows for which room is made at first, and at once at most. */
const FEWEST = 16;
const MOST = 1024;

/** Keeps the steps of one run, in little room where it can. */
export class Keeper {
  private rows = new Float64Array(0);
  private next = 0;
  /** The state behind the last step as it came about, and as it is kept. */
  private last: State | null = null;
  private lastKept: State | null = null;

  /** The step with these facts. */
  keep(
    command: BoundCommand,
    words: readonly Word[],
    within: Within,
    before: State,
    after: State,
    move: Move | null,
    certain: boolean,
    seconds: Known,
  ): Step {
    const from = before === this.last && this.lastKept ? this.lastKept : before;
    const kept = this.inRow(before, after, move, seconds);
    this.last = after;
    this.lastKept = kept;
    if (kept) return new KeptStep(command, words, within, from, kept, certain);
    const same = after === before ? from : after;
    return new WholeStep(command, words, within, from, same, move, certain, seconds);
  }

  /** The state behind a straight move, in a row with all that is known of the move; null where that holds not all. */
  private inRow(before: State, after: State, move: Move | null, seconds: Known): KeptState | null {
    if (!(move instanceof LineMove) || !(after instanceof BehindMove)) return null;
    if (move.before !== before || move.after !== after || move.seconds !== seconds) return null;
    const { x, y, e } = after.at;
    if (!isOne(x) || !isOne(y) || !isOne(e) || !isOne(move.e) || !isOne(move.pushed)) return null;
    if (!isOne(move.length) || !isOne(seconds) || !isOne(move.feed)) return null;
    if (this.next === this.rows.length) this.makeRoom();
    const { rows, next } = this;
    rows[next + COLUMN.x] = oneOf(x);
    rows[next + COLUMN.y] = oneOf(y);
    rows[next + COLUMN.reads] = oneOf(e);
    rows[next + COLUMN.e] = oneOf(move.e);
    rows[next + COLUMN.pushed] = oneOf(move.pushed);
    rows[next + COLUMN.length] = oneOf(move.length);
    rows[next + COLUMN.seconds] = oneOf(seconds);
    rows[next + COLUMN.feed] = oneOf(move.feed);
    const { moves } = move;
    rows[next + COLUMN.flags] = (moves.x ? 1 : 0) + (moves.y ? 2 : 0) + (moves.z ? 4 : 0) + (move.rapid ? RAPID : 0);
    this.next += COLUMNS;
    return new KeptState(after, rows, next);
  }

  /** A short text gets little room, a long one as much again as it has had so far. */
  private makeRoom(): void {
    const rows = Math.min(MOST, Math.max(FEWEST, (this.rows.length / COLUMNS) * 2));
    this.rows = new Float64Array(rows * COLUMNS);
    this.next = 0;
  }
}

/** Whether a number fits into a column: exact, or not known at all. */
const isOne = (k: Known): boolean => k === null || (k.lo === k.hi && !k.form);
const oneOf = (k: Known): number => (k ? k.lo : Number.NaN);
const known = (n: number | undefined): Known => (n === undefined || Number.isNaN(n) ? null : exact(n));

/** The state behind a move that is kept in a row. Z stays an object, since most moves leave it alone. */
class KeptState extends BehindMove {
  readonly z: Known;

  constructor(
    { modes, motion, feed, retracted, at }: BehindMove,
    readonly rows: Float64Array,
    readonly row: number,
  ) {
    super(modes, motion, feed, retracted);
    this.z = at.z;
  }

  number(column: number): Known {
    return known(this.rows[this.row + column]);
  }

  get at(): State['at'] {
    return new KeptPlace(this);
  }
}

/** What the axes read in a kept state. */
class KeptPlace {
  constructor(private readonly state: KeptState) {}

  get x(): Known {
    return this.state.number(COLUMN.x);
  }
  get y(): Known {
    return this.state.number(COLUMN.y);
  }
  get z(): Known {
    return this.state.z;
  }
  get e(): Known {
    return this.state.number(COLUMN.reads);
  }
}

/** What every step has, however its move is kept. */
abstract class StepBase implements Pick<Step, 'command' | 'words' | 'within' | 'before' | 'certain'> {
  abstract readonly after: State;
  abstract readonly move: Move | null;
  abstract readonly seconds: Known;

  constructor(
    readonly command: BoundCommand,
    readonly words: readonly Word[],
    readonly within: Within,
    readonly before: State,
    readonly certain: boolean,
  ) {}

  get readings(): readonly Reading[] {
    return readingsOf(this);
  }
  get guards(): readonly Guard[] {
    return guardsOf(this.within.guard);
  }
}

/** A step that holds its own move. */
class WholeStep extends StepBase implements Step {
  constructor(
    command: BoundCommand,
    words: readonly Word[],
    within: Within,
    before: State,
    readonly after: State,
    readonly move: Move | null,
    certain: boolean,
    readonly seconds: Known,
  ) {
    super(command, words, within, before, certain);
  }
}

/** A step whose move is kept in the row of the state behind it. */
class KeptStep extends StepBase implements Step {
  constructor(
    command: BoundCommand,
    words: readonly Word[],
    within: Within,
    before: State,
    readonly after: KeptState,
    certain: boolean,
  ) {
    super(command, words, within, before, certain);
  }

  get move(): Move {
    return new KeptMove(this.before, this.after);
  }

  get seconds(): Known {
    return this.after.number(COLUMN.seconds);
  }
}

/** The hull of one axis' two ends, as `spanned` has it. */
function hull(before: KeptState, after: KeptState, column: number): Known {
  const from = before.rows[before.row + column] as number;
  const to = after.rows[after.row + column] as number;
  if (Number.isNaN(to)) return null;
  return Number.isNaN(from) ? exact(to) : { lo: Math.min(from, to), hi: Math.max(from, to) };
}

/** A straight move that is kept in the row of the state behind it. */
class KeptMove implements Move {
  readonly kind = 'line';
  readonly arc = null;
  readonly arcFault = null;

  constructor(
    private readonly before: State,
    private readonly after: KeptState,
  ) {}

  get rapid(): boolean {
    return (this.flags & RAPID) > 0;
  }
  get moves(): Move['moves'] {
    return movedAxes(this.flags);
  }
  get from(): Move['from'] {
    return machinePosition(this.before);
  }
  get to(): Move['to'] {
    return machinePosition(this.after);
  }
  get extent(): Move['extent'] {
    const { before, after } = this;
    if (!(before instanceof KeptState) || isShifted(before) || isShifted(after)) return lineExtent(this.from, this.to);
    return { x: hull(before, after, COLUMN.x), y: hull(before, after, COLUMN.y), z: spanned(before.z, after.z) };
  }
  get e(): Known {
    return this.after.number(COLUMN.e);
  }
  get pushed(): Known {
    return this.after.number(COLUMN.pushed);
  }
  get length(): Known {
    return this.after.number(COLUMN.length);
  }
  get seconds(): Known {
    return this.after.number(COLUMN.seconds);
  }
  get feed(): Known {
    return this.after.number(COLUMN.feed);
  }
  private get flags(): number {
    return this.after.rows[this.after.row + COLUMN.flags] ?? 0;
  }
}
