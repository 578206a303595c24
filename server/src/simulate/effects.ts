import type { Effect, HeaterKind } from '../machine/effect.ts';
import { type HabitKey, statedHabit } from '../machine/habits.ts';
import { add, type Bounds, exact, isExact, join, type Known, scale, subtract } from '../placeholders/bounds.ts';
import { whole } from './afterMove.ts';
import { INCH } from './arc.ts';
import { findWord, type Reader, read } from './context.ts';
import { joinStates } from './joinStates.ts';
import { feedFilament, inMm, lineExtent, machinePosition } from './motion.ts';
import { UNKNOWN_TABLE } from './start.ts';
import type { AxisE, Heater, Move, PerAxis, State, Tri } from './state.ts';

const ZERO = exact(0);
const AXES = ['x', 'y', 'z'] as const;
const AXES_E = ['x', 'y', 'z', 'e'] as const;
const WORD: Record<AxisE, string> = { x: 'X', y: 'Y', z: 'Z', e: 'E' };
export const NO_OFFSET: PerAxis<Known> = { x: ZERO, y: ZERO, z: ZERO, e: ZERO };

/** What an effect other than plain motion does. `seconds` is 0 for all but dwells. */
export interface Effected {
  readonly state: State;
  readonly move: Move | null;
  readonly seconds: Known;
}

type Do<K extends Effect['do']> = Extract<Effect, { do: K }>;

/** Applies one effect. Motion (line, arc, curve) and machine-coordinates are run by the caller, which sees the whole line. */
export function applyEffect(effect: Effect, reader: Reader, given: State): Effected {
  const state = whole(given);
  const only = (next: State): Effected => ({ state: next, move: null, seconds: ZERO });
  switch (effect.do) {
    case 'units':
      return only({ ...state, inches: effect.inches, unit: exact(effect.inches ? INCH : 1) });
    case 'distance':
      return only(distance(effect, reader, state));
    case 'extrusion-mode':
      return only({ ...state, relativeE: effect.relative, ownE: effect.relative });
    case 'plane':
      return only({ ...state, plane: effect.plane });
    case 'feed-mode':
      return only({
        ...state,
        inverseFeed: effect.inverse,
        feed: effect.inverse === state.inverseFeed ? state.feed : null,
      });
    case 'dwell':
      return { state, move: null, seconds: dwell(reader) };
    case 'home':
      return home(reader, state);
    case 'set-position':
      return only(setPosition(reader, state));
    case 'clear-offset':
      return only(clearOffset(state));
    case 'work-offset':
      return only(selectWorkOffset(state, effect.index));
    case 'position-unknown':
      return only({ ...state, at: { ...state.at, ...Object.fromEntries(effect.axes.map((axis) => [axis, null])) } });
    case 'heat':
      return only(heat(effect, reader, state));
    case 'await-heat':
      return only(effect.heaters.reduce((s, heater) => onHeaters(reader, s, heater, undefined, reached), state));
    case 'fan':
      return only({ ...state, fan: effect.on ? onOrOff(read(reader, 'S')) : false });
    case 'motors':
      return only(motors(effect.on, reader, state));
    case 'select-tool':
      return only(selectTool(effect.key, reader, state));
    case 'allow-cold':
      return only({ ...state, coldAllowed: allowsCold(reader, state.coldAllowed) });
    case 'speed-factor':
      return only({ ...state, speedFactor: factor(reader, state.speedFactor) });
    case 'flow-factor':
      return only({ ...state, flowFactor: factor(reader, state.flowFactor) });
    case 'retract':
      return only(findWord(reader.words, 'L') ? setWorkOffset(reader, state) : retractOrSet(reader, state));
    case 'unretract':
      return only(stated(reader, 'g10') === 'set' ? state : { ...state, retracted: ZERO });
    case 'move-to':
      return moveTo(effect, state);
    case 'extrude':
      return extrude(effect.length, state);
    case 'stop':
      return only({ ...state, stopped: true });
    default:
      return only(state);
  }
}

/**
 * Whether G90 and G91 govern E, controllers are divided: where nobody has said it, E is in a mode only if both ways agree.
 * A finished program is followed as if they left it alone, which its findings say where it matters: hours of moves of which
 * nothing is known would help nobody.
 */
function distance(effect: Do<'distance'>, reader: Reader, state: State): State {
  const { relative } = effect;
  const governsE = stated(reader, 'distanceGovernsE');
  if (governsE) return { ...state, relative, relativeE: relative };
  const known = governsE !== null || reader.prepared.role === 'program' || relative === state.ownE;
  return { ...state, relative, relativeE: known ? state.ownE : null };
}

const stated = <K extends HabitKey>({ prepared }: Reader, key: K) => statedHabit(prepared.machine?.controller, key);

/** G10 without L: pulls back by a length that the controller knows, or sets what a tool heats to. Unstated: either. */
function retractOrSet(reader: Reader, state: State): State {
  const habit = stated(reader, 'g10');
  const heats =
    habit !== 'retract' && findWord(reader.words, 'P') && ['S', 'R'].some((key) => findWord(reader.words, key));
  return {
    ...state,
    retracted: habit === 'set' ? state.retracted : null,
    nozzles: heats ? state.nozzles.map(() => NOT_KNOWN) : state.nozzles,
  };
}

/** P in ms or s as the controller has it, S in seconds (common practice); RS-274 has P in seconds (NISTIR 6556 3.5.4). */
function dwell(reader: Reader): Known {
  const s = read(reader, 'S');
  if (s !== undefined) return s;
  const p = read(reader, 'P');
  if (p === undefined) return ZERO;
  const unit = stated(reader, 'dwell');
  const inMs = scale(p, 1 / 1000);
  return unit === 's' ? p : unit === 'ms' ? inMs : join(inMs, p);
}

/** Axis letters choose the axes, their values are ignored (common practice; RS-274 differs). None: all. */
function home(reader: Reader, state: State): Effected {
  const chosen = AXES.filter((axis) => findWord(reader.words, WORD[axis]));
  const axes = chosen.length > 0 ? chosen : AXES;
  const place = reader.prepared.machine?.home;
  const at: Record<AxisE, Known> = { ...state.at };
  const offset: Record<AxisE, Known> = { ...state.offset };
  const homed = { ...state.homed };
  const moves = { x: false, y: false, z: false };
  for (const axis of axes) {
    homed[axis] = true;
    moves[axis] = true;
    offset[axis] = state.work[axis];
    at[axis] = place ? subtract(exact(place[axis]), state.work[axis]) : null;
  }
  const next: State = { ...state, at, offset, homed, motors: true };
  return { state: next, move: plainMove('home', state, next, moves), seconds: ZERO };
}

/** A move whose path and time are the machine's own affair. */
function plainMove(kind: 'home' | 'line', before: State, after: State, moves: Move['moves']): Move {
  const [from, to] = [machinePosition(before), machinePosition(after)];
  return {
    kind,
    rapid: true,
    from,
    to,
    extent: kind === 'home' ? { x: null, y: null, z: null } : lineExtent(from, to),
    arc: null,
    arcFault: null,
    length: null,
    e: ZERO,
    pushed: ZERO,
    feed: null,
    seconds: ZERO,
    moves,
  };
}

/** G92: the place stays, the reading changes. No axis word: all read zero (common practice; an error in NISTIR 6556 3.5.18). */
function setPosition(reader: Reader, state: State): State {
  const given = AXES_E.filter((axis) => findWord(reader.words, WORD[axis]));
  const axes = given.length > 0 ? given : AXES_E;
  const at: Record<AxisE, Known> = { ...state.at };
  const offset: Record<AxisE, Known> = { ...state.offset };
  for (const axis of axes) {
    const word = read(reader, WORD[axis]);
    const reads = word === undefined ? ZERO : inMm(word, state);
    offset[axis] = subtract(add(state.at[axis], state.offset[axis]), reads);
    at[axis] = reads;
  }
  return { ...state, at, offset };
}

/** G92.1: the same place read without what G92 has shifted. */
function clearOffset(state: State): State {
  const through = (axis: AxisE): Known => subtract(add(state.at[axis], state.offset[axis]), state.work[axis]);
  return { ...state, at: { x: through('x'), y: through('y'), z: through('z'), e: through('e') }, offset: state.work };
}

const combine = (a: PerAxis<Known>, b: PerAxis<Known>, f: (a: Known, b: Known) => Known): PerAxis<Known> => ({
  x: f(a.x, b.x),
  y: f(a.y, b.y),
  z: f(a.z, b.z),
  e: f(a.e, b.e),
});

function selectWorkOffset(state: State, index: number): State {
  const work = state.workTable.get(index) ?? NO_OFFSET;
  // The same place reads differently by as much as the offset changes, also where the rest of the offset is not known.
  // Filament has no work offset.
  const change = { ...combine(work, state.work, subtract), e: ZERO };
  const at = combine(state.at, change, subtract);
  return { ...state, at, offset: combine(state.offset, change, add), work, workOffset: index };
}

/** G10 L2 P.. X.. Y.. Z..: sets a work offset (NISTIR 6556 3.5.5). Other L forms leave the readings unknown. */
function setWorkOffset(reader: Reader, state: State): State {
  const kind = read(reader, 'L');
  const which = read(reader, 'P');
  if (kind?.lo !== 2 || !isExact(kind) || !which || !isExact(which)) {
    const lost = { x: null, y: null, z: null };
    return {
      ...state,
      at: { ...state.at, ...lost },
      offset: { ...state.offset, ...lost },
      work: { ...state.work, ...lost },
      workTable: UNKNOWN_TABLE,
    };
  }
  // G54 to G59.3 are numbers 1 to 9; there are no others.
  if (!(which.lo >= 1 && which.lo <= 9 && Number.isInteger(which.lo))) return state;
  const old = state.workTable.get(which.lo) ?? NO_OFFSET;
  const value = (axis: AxisE): Known => {
    const word = read(reader, WORD[axis]);
    return word === undefined ? old[axis] : inMm(word, state);
  };
  const table = new Map(state.workTable);
  table.set(which.lo, { x: value('x'), y: value('y'), z: value('z'), e: old.e });
  const next = { ...state, workTable: table };
  if (state.workOffset === null) return joinStates(next, selectWorkOffset(next, which.lo));
  return which.lo === state.workOffset ? selectWorkOffset(next, state.workOffset) : next;
}

const reached = (heater: Heater): Heater => ({ ...heater, awaited: true, now: heater.target });

/** Sets a heater's target, and waits where the command does. Waiting with the S word only waits for heating up. */
function heat(effect: Do<'heat'>, reader: Reader, state: State): State {
  const byKey = read(reader, effect.key ?? 'S');
  const byCool = effect.coolKey === undefined ? undefined : read(reader, effect.coolKey);
  // Null is a number that is not known, not a word that is absent.
  const given = byKey === undefined ? byCool : byKey;
  const target = given === undefined && effect.to !== undefined ? exact(effect.to) : given;
  const cooling = byKey === undefined && byCool !== undefined;
  const tool = effect.heater === 'nozzle' ? read(reader, effect.toolKey ?? 'T') : undefined;
  return onHeaters(reader, state, effect.heater, tool, (heater) => {
    if (target === undefined) return effect.wait ? reached(heater) : heater;
    if (cooling && stated(reader, 'waitsByR') === false) return heater;
    if (effect.wait) return awaitedAt(heater, target, cooling || stated(reader, 'waitsForCooling') === true);
    return { target, awaited: alreadyThere(heater, target), now: join(heater.now, target) };
  });
}

/**
 * A heater behind a wait for this target. One that had got to a higher one has cooled down to it where the wait is for that
 * too; else it may still be as hot as before.
 */
function awaitedAt(heater: Heater, target: Known, bothWays: boolean): Heater {
  const { now, awaited } = heater;
  const climbs = subtract(target, heater.target);
  const cools = !bothWays && awaited !== false && (climbs === null || climbs.lo < 0);
  const most = now ? now.hi : Number.POSITIVE_INFINITY;
  const still = cools && target !== null;
  return { target, awaited: true, now: still ? { lo: target.lo, hi: Math.max(target.hi, most) } : target };
}

/** Going off or down needs no wait before filament may move; going up does, and so does what was never waited for. */
function alreadyThere(heater: Heater, target: Known): Tri {
  if (!target) return null;
  if (target.hi <= 0) return true;
  const down = isDown(heater.target, target);
  if (heater.awaited === true && down === true) return true;
  // What may be 0 may be going off.
  return target.lo > 0 && (heater.awaited === false || down === false) ? false : null;
}

/** Whether the new target is no higher than the old one. */
function isDown(old: Known, target: Bounds): Tri {
  if (!old) return null;
  return target.hi <= old.lo ? true : target.lo > old.hi ? false : null;
}

/**
 * Changes the heaters of a kind: of nozzles the one that `tool` or the tool in use picks, all of them where that is open.
 * Without a machine nobody knows how many there are: the one nozzle stands for that of the tool in use, and what is said
 * to another tool may be said to it, since which one was in use at the beginning is not known.
 */
function onHeaters(
  { prepared }: Reader,
  state: State,
  kind: HeaterKind,
  tool: Known | undefined,
  change: (heater: Heater) => Heater,
): State {
  if (kind === 'bed') return { ...state, bed: change(state.bed) };
  if (kind === 'chamber') return { ...state, chamber: change(state.chamber) };
  const given = tool === undefined ? state.tool : isExact(tool) ? tool.lo : null;
  const ofOther = prepared.machine === null && given !== state.tool;
  const index = prepared.machine !== null ? given : ofOther || given === null ? null : 0;
  if (state.nozzles.length === 1 && tool === undefined)
    return { ...state, nozzles: [change(state.nozzles[0] ?? NOT_KNOWN)] };
  return {
    ...state,
    nozzles: state.nozzles.map((heater, i) => {
      if (i === index) return change(heater);
      if (index !== null) return heater;
      const changed = change(heater);
      return {
        target: join(heater.target, changed.target),
        awaited: heater.awaited === changed.awaited ? heater.awaited : null,
        now: join(heater.now, changed.now),
      };
    }),
  };
}
const NOT_KNOWN: Heater = { target: null, awaited: null, now: null };

function onOrOff(speed: Known | undefined): Tri {
  if (speed === undefined) return true;
  if (!speed) return null;
  return speed.lo > 0 ? true : speed.hi <= 0 ? false : null;
}

/** Motors that are let go can be moved by hand: their axes no longer count as homed. S alone sets an idle time. */
function motors(on: boolean, reader: Reader, state: State): State {
  if (on) return { ...state, motors: true };
  const named = AXES_E.filter((axis) => findWord(reader.words, WORD[axis]));
  if (named.length === 0 && findWord(reader.words, 'S')) return state;
  const off = named.length > 0 ? named : AXES_E;
  const homed = { ...state.homed };
  for (const axis of AXES) if (off.includes(axis)) homed[axis] = false;
  return { ...state, homed, motors: named.length === 0 ? false : state.motors };
}

function selectTool(key: string, reader: Reader, state: State): State {
  const tool = read(reader, key);
  if (tool === undefined) return state;
  const index = isExact(tool) && Number.isInteger(tool.lo) ? tool.lo : null;
  if (reader.prepared.machine !== null || (index !== null && index === state.tool)) return { ...state, tool: index };
  // Without a machine: how hot another tool is, nothing has told.
  return { ...state, tool: index, nozzles: state.nozzles.map(() => NOT_KNOWN) };
}

/** M302: S0 or P1 lets filament move cold, S above 0 or P0 forbids it; without words it only reports. */
function allowsCold(reader: Reader, now: Tri): Tri {
  const s = read(reader, 'S');
  if (s !== undefined) return !s ? null : s.hi <= 0 ? true : s.lo > 0 ? false : null;
  const p = read(reader, 'P');
  if (p !== undefined) return !p ? null : p.lo >= 1 ? true : p.hi <= 0 ? false : null;
  return now;
}

function factor(reader: Reader, now: Known): Known {
  const percent = read(reader, 'S');
  return percent === undefined ? now : scale(percent, 0.01);
}

function moveTo(effect: Do<'move-to'>, state: State): Effected {
  const at: Record<AxisE, Known> = { ...state.at };
  const moves = { x: false, y: false, z: false };
  for (const axis of AXES) {
    const place = effect[axis];
    if (place === undefined) continue;
    at[axis] = subtract(exact(place), state.offset[axis]);
    moves[axis] = true;
  }
  const next = { ...state, at };
  return { state: next, move: plainMove('line', state, next, moves), seconds: ZERO };
}

function extrude(length: number, state: State): Effected {
  const e = exact(length);
  const { retracted, pushed } = feedFilament(state.retracted, e);
  const next = { ...state, retracted };
  const move = plainMove('line', state, next, { x: false, y: false, z: false });
  return { state: next, move: { ...move, e, pushed, length: ZERO }, seconds: ZERO };
}
