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

/** The same state as one object with all its facts, to be spread and changed. */
export function whole(state: State): State {
  if (!(state instanceof BehindMove)) return state;
  const { modes, at, motion, feed, retracted } = state;
  return { ...modes, at, motion, feed, retracted };
}
