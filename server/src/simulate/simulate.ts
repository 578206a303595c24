import type { BoundCommand } from '../commands/bind.ts';
import type { Effect } from '../machine/effect.ts';
import { add, exact, type Known } from '../placeholders/bounds.ts';
import { repetitions } from '../placeholders/tags.ts';
import type { Env } from '../placeholders/value.ts';
import { waysOf } from '../placeholders/ways.ts';
import type { Block, Item, Line, Section } from '../syntax/nodes.ts';
import { slice } from '../text/span.ts';
import type { Prepared, Reader } from './context.ts';
import { applyEffect } from './effects.ts';
import { joinStates } from './joinStates.ts';
import { feedAfter, runMotion } from './motion.ts';
import { anythingGoes, initialState } from './start.ts';
import type { Move, State } from './state.ts';
import { totalsOf } from './totals.ts';
import type { Step, Trace } from './trace.ts';

const ZERO = exact(0);
/** How often a list's section is run one by one; beyond that its effect is taken as open. */
const MOST_TURNS = 16;
/** Turns of lists inside lists in one run, in all; beyond that each list is run once and its effect taken as open. */
const ALL_TURNS = 512;
/** Sections inside sections that are followed; what stands deeper could do anything. */
const DEEPEST = 64;

/**
 * Runs a prepared text under one environment: over all jobs at once (bounds) or for one exact job. The two differ only
 * in `env`. `begin` replaces the role's own beginning (a body's state handed over, or a test's).
 */
export function simulate(prepared: Prepared, env: Env, begin?: State): Trace {
  const start = begin ?? initialState(prepared.role, prepared.machine, env);
  const run: Run = { prepared, env, steps: [], inside: new Set(), turns: 0, cut: false };
  const end = runItems(run, prepared.items, start, true);
  return { start, steps: run.steps, end, totals: totalsOf(run.steps, run.cut) };
}

interface Run {
  readonly prepared: Prepared;
  readonly env: Env;
  readonly steps: Step[];
  /** Sections whose body is being run. */
  readonly inside: Set<Section>;
  /** Turns of lists so far. */
  turns: number;
  /** Whether something was run less often than a job may run it. */
  cut: boolean;
}

function runItems(run: Run, items: readonly Item[], begin: State, certain: boolean): State {
  let state = begin;
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.type === 'line') {
      state = runLine(run, item, state, certain);
      continue;
    }
    const other = otherwise(run, items, i);
    state = runBlock(run, item, other?.block ?? null, state, certain);
    if (other) i = other.index;
  }
  return state;
}

/** The inverted section of the same condition that follows a section at once: the two are one either-or. */
function otherwise(
  run: Run,
  items: readonly Item[],
  at: number,
): { readonly block: Block; readonly index: number } | null {
  const first = items[at] as Block;
  for (let i = at + 1; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.type === 'line') {
      if (item.commands.length > 0) return null;
      continue;
    }
    const { text } = run.prepared.tree;
    const sameCondition = slice(text, item.section.open.inner) === slice(text, first.section.open.inner);
    return sameCondition && item.section.inverted !== first.section.inverted ? { block: item, index: i } : null;
  }
  return null;
}

function runBlock(run: Run, block: Block, other: Block | null, begin: State, certain: boolean): State {
  if (run.inside.size >= DEEPEST) {
    run.cut = true;
    return anythingGoes(begin);
  }
  const times = repetitions(block.section, run.prepared.expressions, run.env);
  const body = (state: State, sure: boolean, of: Block): State => {
    run.inside.add(of.section);
    const after = runItems(run, of.items, state, sure);
    run.inside.delete(of.section);
    return after;
  };
  if (times.hi === 0) return other ? body(begin, certain, other) : begin;
  let state = begin;
  let ends: State | null = times.lo === 0 ? (other ? body(begin, false, other) : begin) : null;
  const most = run.turns < ALL_TURNS ? MOST_TURNS : 1;
  for (let turn = 1; turn <= Math.min(times.hi, most); turn++) {
    if (turn > 1) run.turns++;
    state = body(state, certain && turn <= times.lo, block);
    if (turn >= times.lo) ends = ends ? joinStates(ends, state) : state;
  }
  if (times.hi <= most) return ends ?? state;
  run.cut = true;
  return anythingGoes(ends ?? state);
}

function runLine(run: Run, line: Line, begin: State, certain: boolean): State {
  const commands = run.prepared.bound[line.index];
  if (!commands || commands.length === 0 || begin.stopped === true) return begin;
  const inMachine =
    commands.length > 1 && commands.some((c) => c.record?.effects.some((e) => e.do === 'machine-coordinates'));
  const seen = new Map<Section, Presence>();
  let state = begin;
  for (const command of commands) {
    const there = presence(run, command.node.section, seen);
    if (there === 'never') continue;
    const always = there === 'always' && state.stopped === false;
    let after = runCommand(run, command, state, certain && always, inMachine);
    if (there === 'often') {
      run.cut = true;
      after = anythingGoes(after);
    }
    state = always ? after : joinStates(state, after);
    if (state.stopped === true) break;
  }
  return state;
}

type Presence = 'always' | 'never' | 'perhaps' | 'often';

/**
 * Whether something inside sections that open on its own line is there in a job; 'often': a list may repeat it.
 * `seen` keeps the answers for one line, so that deep nesting is walked once.
 */
function presence(run: Run, section: Section | null, seen: Map<Section, Presence>): Presence {
  const chain: Section[] = [];
  let is: Presence = 'always';
  for (let s = section; s && !run.inside.has(s); s = s.parent) {
    const known = seen.get(s);
    if (known) {
      is = known;
      break;
    }
    chain.push(s);
  }
  for (let i = chain.length - 1; i >= 0; i--) {
    const s = chain[i] as Section;
    const times = repetitions(s, run.prepared.expressions, run.env);
    if (is === 'never' || times.hi === 0) is = 'never';
    else if (times.hi > 1) is = 'often';
    else if (times.lo === 0 && is === 'always') is = 'perhaps';
    seen.set(s, is);
  }
  return is;
}

function runCommand(run: Run, command: BoundCommand, begin: State, certain: boolean, inMachine: boolean): State {
  const own = command.node.section;
  if (command.words.every((w) => w.section === null || w.section === own || run.inside.has(w.section)))
    return execute(run, command, command.words, begin, certain, inMachine);
  const choices = wordChoices(run, command);
  if (!choices) {
    run.cut = true;
    return anythingGoes(execute(run, command, command.words, begin, false, inMachine));
  }
  const sure = certain && choices.length === 1;
  return choices.map((words) => execute(run, command, words, begin, sure, inMachine)).reduce(joinStates);
}

/** The words that the command has, for every way in which the sections on its line can turn out. null: too many. */
function wordChoices(run: Run, command: BoundCommand): readonly BoundCommand['words'][] | null {
  const { prepared, inside } = run;
  const condition = (s: Section): string => slice(prepared.tree.text, s.open.inner);
  // What encloses the command itself is there where the command is.
  const outer = new Set<Section>(inside);
  for (let s = command.node.section; s && !inside.has(s); s = s.parent) outer.add(s);
  const inner = new Set<Section>();
  for (const word of command.words)
    for (let s = word.section; s && !outer.has(s) && !inner.has(s); s = s.parent) inner.add(s);
  const open = new Set<string>();
  const settled = new Map<Section, boolean>();
  for (const s of inner) {
    const times = repetitions(s, prepared.expressions, run.env);
    // A list of words, such as X1 X2 X3: nobody knows which of them counts.
    if (times.hi > 1) return null;
    if (times.lo === times.hi) settled.set(s, times.hi > 0);
    else open.add(condition(s));
  }
  // Outer sections come first in the text, so that each finds its parent settled.
  const ordered = [...inner].sort((a, b) => a.span.start - b.span.start);
  const choices = new Map<string, BoundCommand['words']>();
  for (const way of waysOf(open) ?? []) {
    const there = new Map<Section | null, boolean>();
    for (const s of ordered)
      there.set(s, (there.get(s.parent) ?? true) && (settled.get(s) ?? way.get(condition(s)) !== s.inverted));
    const words = command.words.filter((word) => there.get(word.section) ?? true);
    choices.set(words.map((w) => w.span.start).join(), words);
  }
  return choices.size > 0 ? [...choices.values()] : null;
}

function execute(
  run: Run,
  command: BoundCommand,
  words: BoundCommand['words'],
  before: State,
  certain: boolean,
  inMachine: boolean,
): State {
  const reader: Reader = { prepared: run.prepared, env: run.env, words };
  const { record } = command;
  let state = before;
  let move: Move | null = null;
  let seconds: Known = ZERO;
  if (!record) {
    if (command.node.code === null || command.node.named) state = anythingGoes(before);
  } else {
    for (const effect of record.effects) {
      const motion = motionOf(effect);
      if (motion) {
        if (!hasMotionWords(words)) {
          state = { ...state, motion: command.code, feed: feedAfter(reader, state) };
          continue;
        }
        const moved = runMotion(reader, state, motion.kind, { ...motion, inMachine, code: command.code });
        state = moved.state;
        move = moved.move;
        seconds = add(moved.move.seconds, seconds);
        continue;
      }
      const effected = applyEffect(effect, reader, state);
      state = effected.state;
      move = effected.move ?? move;
      seconds = add(effected.seconds, seconds);
    }
    if (record.code === 'F') state = { ...state, feed: feedAfter(reader, state) };
    // A word that is a bare tag can become any words at all.
    if (words.some((w) => w.key === '')) state = { ...anythingGoes(state), homed: state.homed };
  }
  run.steps.push({ command, before, after: state, move, certain, seconds });
  return state;
}

function motionOf(
  effect: Effect,
): { readonly kind: 'line' | 'arc' | 'curve'; readonly rapid: boolean; readonly clockwise: boolean } | null {
  if (effect.do === 'line') return { kind: 'line', rapid: effect.rapid, clockwise: false };
  if (effect.do === 'arc') return { kind: 'arc', rapid: false, clockwise: effect.clockwise };
  if (effect.do === 'curve') return { kind: 'curve', rapid: false, clockwise: false };
  return null;
}

const MOTION_WORDS = new Set(['X', 'Y', 'Z', 'E', 'I', 'J', 'K', 'R']);
const hasMotionWords = (words: BoundCommand['words']): boolean =>
  words.some((w) => MOTION_WORDS.has(w.key) && w.value !== null);
