import type { State } from './state.ts';

/**
 * The state behind a move, as `State`. A move changes four of its facts; the others are read from the state that set
 * them. A long program is nearly all moves, and copying every fact at each was most of the time that it took.
 * To change another fact, take `whole(state)` first: an object spread sees only what an object holds itself.
 */
export abstract class BehindMove implements State {
  abstract readonly at: State['at'];

  constructor(
    readonly modes: State,
    readonly motion: State['motion'],
    readonly feed: State['feed'],
    readonly retracted: State['retracted'],
  ) {}

  get offset(): State['offset'] {
    return this.modes.offset;
  }
  get work(): State['work'] {
    return this.modes.work;
  }
  get workTable(): State['workTable'] {
    return this.modes.workTable;
  }
  get homed(): State['homed'] {
    return this.modes.homed;
  }
  get relative(): State['relative'] {
    return this.modes.relative;
  }
  get relativeE(): State['relativeE'] {
    return this.modes.relativeE;
  }
  get ownE(): State['ownE'] {
    return this.modes.ownE;
  }
  get inches(): State['inches'] {
    return this.modes.inches;
  }
  get unit(): State['unit'] {
    return this.modes.unit;
  }
  get plane(): State['plane'] {
    return this.modes.plane;
  }
  get inverseFeed(): State['inverseFeed'] {
    return this.modes.inverseFeed;
  }
  get workOffset(): State['workOffset'] {
    return this.modes.workOffset;
  }
  get nozzles(): State['nozzles'] {
    return this.modes.nozzles;
  }
  get bed(): State['bed'] {
    return this.modes.bed;
  }
  get chamber(): State['chamber'] {
    return this.modes.chamber;
  }
  get fan(): State['fan'] {
    return this.modes.fan;
  }
  get motors(): State['motors'] {
    return this.modes.motors;
  }
  get tool(): State['tool'] {
    return this.modes.tool;
  }
  get coldAllowed(): State['coldAllowed'] {
    return this.modes.coldAllowed;
  }
  get stopped(): State['stopped'] {
    return this.modes.stopped;
  }
  get speedFactor(): State['speedFactor'] {
    return this.modes.speedFactor;
  }
  get flowFactor(): State['flowFactor'] {
    return this.modes.flowFactor;
  }
}

/** While a text is being run: with its places as they came about. What is kept of it, see `Keeper`. */
class AfterMove extends BehindMove {
  constructor(
    modes: State,
    readonly at: State['at'],
    motion: State['motion'],
    feed: State['feed'],
    retracted: State['retracted'],
  ) {
    super(modes, motion, feed, retracted);
  }
}

/** The state behind a move that changed these four facts. */
export function afterMove(
  before: State,
  at: State['at'],
  motion: State['motion'],
  feed: State['feed'],
  retracted: State['retracted'],
): State {
  return new AfterMove(before instanceof BehindMove ? before.modes : before, at, motion, feed, retracted);
}

/**
 * The same state as one object with all its facts, to be spread and changed. They all have one shape: spreading objects of
 * many shapes takes ten times as long.
 */
export function whole(state: State): State {
  if (state instanceof WholeState) return state;
  return new WholeState(state instanceof BehindMove ? state.modes : state, state);
}

class WholeState implements State {
  readonly at: State['at'];
  readonly motion: State['motion'];
  readonly feed: State['feed'];
  readonly retracted: State['retracted'];
  readonly offset: State['offset'];
  readonly work: State['work'];
  readonly workTable: State['workTable'];
  readonly homed: State['homed'];
  readonly relative: State['relative'];
  readonly relativeE: State['relativeE'];
  readonly ownE: State['ownE'];
  readonly inches: State['inches'];
  readonly unit: State['unit'];
  readonly plane: State['plane'];
  readonly inverseFeed: State['inverseFeed'];
  readonly workOffset: State['workOffset'];
  readonly nozzles: State['nozzles'];
  readonly bed: State['bed'];
  readonly chamber: State['chamber'];
  readonly fan: State['fan'];
  readonly motors: State['motors'];
  readonly tool: State['tool'];
  readonly coldAllowed: State['coldAllowed'];
  readonly stopped: State['stopped'];
  readonly speedFactor: State['speedFactor'];
  readonly flowFactor: State['flowFactor'];

  /** The facts that a move changes are those of `moved`. */
  constructor(from: State, moved: Pick<State, 'at' | 'motion' | 'feed' | 'retracted'>) {
    this.at = moved.at;
    this.motion = moved.motion;
    this.feed = moved.feed;
    this.retracted = moved.retracted;
    this.offset = from.offset;
    this.work = from.work;
    this.workTable = from.workTable;
    this.homed = from.homed;
    this.relative = from.relative;
    this.relativeE = from.relativeE;
    this.ownE = from.ownE;
    this.inches = from.inches;
    this.unit = from.unit;
    this.plane = from.plane;
    this.inverseFeed = from.inverseFeed;
    this.workOffset = from.workOffset;
    this.nozzles = from.nozzles;
    this.bed = from.bed;
    this.chamber = from.chamber;
    this.fan = from.fan;
    this.motors = from.motors;
    this.tool = from.tool;
    this.coldAllowed = from.coldAllowed;
    this.stopped = from.stopped;
    this.speedFactor = from.speedFactor;
    this.flowFactor = from.flowFactor;
  }
}
