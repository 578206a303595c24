import type { BoundCommand } from '../commands/bind.ts';
import type { Effect } from '../machine/effect.ts';
import { bodyEnv, elementAt } from '../placeholders/bodyEnv.ts';
import { add, exact, type Known } from '../placeholders/bounds.ts';
import { repeats } from '../placeholders/elements.ts';
import { type Expr, FUNCTIONS } from '../placeholders/expression.ts';
import { narrow } from '../placeholders/narrow.ts';
import { branchTimes, conditionOf, fillingOf, repetitions, tagValue } from '../placeholders/tags.ts';
import type { Env } from '../placeholders/value.ts';
import { waysOf } from '../placeholders/ways.ts';
import { tagAt } from '../syntax/at.ts';
import type { Block, Item, Line, Section, Tag } from '../syntax/nodes.ts';
import { finish, Pace, PIECE, type Pieces } from '../text/pieces.ts';
import { slice } from '../text/span.ts';
import { afterMove } from './afterMove.ts';
import type { Prepared, Reader } from './context.ts';
import { applyEffect } from './effects.ts';
import { joinStates } from './joinStates.ts';
import { Keeper } from './keeper.ts';
import { feedAfter, type Motion, runMotion } from './motion.ts';
import { narrowState } from './narrowState.ts';
import { copied, type OpenFrame, ShapeNotes } from './shape.ts';
import { anythingGoes, initialState } from './start.ts';
import type { Move, State } from './state.ts';
import { totalsOf } from './totals.ts';
import { dependsOnNames, type Guard, type Node, type Step, type Totals, type Trace, type Within } from './trace.ts';
import { type ChoiceFrame, guardsOf, type ShapeFrame, treeOf } from './tree.ts';

const ZERO = exact(0);
/** How often a list's section is run one by one; beyond that its effect is taken as open. */
const MOST_TURNS = 16;
/** Turns of lists inside lists in one run, in all; beyond that each list is run once and its effect taken as open. */
const ALL_TURNS = 512;
/** Steps after which lists are no longer gone through again: each is kept, and a long body many times would fill the memory. */
const MOST_STEPS = 50_000;
/** Sections inside sections that are followed; what stands deeper could do anything. */
const DEEPEST = 64;

/**
 * Runs a prepared text under one environment: over all jobs at once (bounds) or for one exact job. The two differ only
 * in `env`. `begin` replaces the role's own beginning (a body's state handed over, or a test's).
 */
export const simulate = (prepared: Prepared, env: Env, begin?: State): Trace =>
  finish(simulating(prepared, env, begin));

/**
 * The same in pieces.
 * @param course Where the run begins and what is noted of it, where several begin alike; `begin` is then of no account.
 */
export function* simulating(prepared: Prepared, env: Env, begin?: State, course?: Course): Pieces<Trace> {
  const from = course?.from ?? null;
  const start = from?.start ?? begin ?? initialState(prepared.role, prepared.machine, env);
  const steps: Step[] = from ? from.steps.slice(0, from.count.steps) : [];
  const shape = new ShapeNotes(steps);
  if (from) shape.frames = copied(from.frames);
  const run: Run = {
    prepared,
    course: course ?? null,
    start,
    within: { prepared, env, guard: null },
    steps,
    settings: from ? from.settings.slice(0, from.count.settings) : [],
    dependent: from ? from.dependent.slice(0, from.count.dependent) : [],
    keeper: new Keeper(),
    shape,
    inside: new Set(),
    turns: from?.turns ?? 0,
    passes: 0,
    cut: from?.cut ?? false,
    pace: new Pace(),
  };
  const read = yield* runItems(run, prepared.items, from?.state ?? start, true, from?.item ?? 0);
  // What was not read may do anything.
  const goesOn = prepared.tree.rest !== null && read.stopped !== true;
  const end = goesOn ? anythingGoes(read) : read;
  if (goesOn) run.cut = true;
  const { settings, dependent, cut } = run;
  let totals: Totals | null = null;
  let tree: readonly Node[] | null = null;
  return {
    ...{ env, start, steps, settings, dependent, end, cut, passes: run.passes },
    // Many runs of one text are made to find a job that shows something, and nobody asks those for totals or the tree.
    get totals() {
      totals ??= totalsOf(steps, shape.frames, cut);
      return totals;
    },
    get tree() {
      tree ??= treeOf(steps, shape.frames);
      return tree;
    },
  };
}

/** How a run that shares its beginning with others goes. */
export interface Course {
  /** Where it is taken up; null: it begins at the text's first item. */
  readonly from: Halt | null;
  /** Indices of items of the text in front of which it is noted how things stand. */
  readonly marks: ReadonlySet<number>;
  /** Takes such a note. */
  halt(halt: Halt): void;
}

/** How things stand in a run in front of an item of the text: others that come there alike may go on from it. */
export interface Halt {
  readonly item: number;
  readonly start: State;
  readonly state: State;
  readonly steps: readonly Step[];
  readonly settings: readonly Step[];
  readonly dependent: readonly Step[];
  readonly frames: readonly ShapeFrame[];
  /** How much of these lists there is by then. */
  readonly count: Readonly<Record<'steps' | 'settings' | 'dependent', number>>;
  readonly turns: number;
  readonly cut: boolean;
}

interface Run {
  readonly prepared: Prepared;
  readonly course: Course | null;
  readonly start: State;
  /** Narrowed while a section's body is being run. */
  within: Within;
  readonly shape: ShapeNotes;
  readonly steps: Step[];
  readonly settings: Step[];
  readonly dependent: Step[];
  readonly keeper: Keeper;
  /** Sections whose body is being run. */
  readonly inside: Set<Section>;
  /** Turns of lists so far, without the first of each list. */
  turns: number;
  /** Passes through bodies of lists so far. */
  passes: number;
  /** Whether something was run less often than a job may run it. */
  cut: boolean;
  readonly pace: Pace;
}

function* runItems(run: Run, items: readonly Item[], begin: State, certain: boolean, from = 0): Pieces<State> {
  let state = begin;
  const course = items === run.prepared.items ? run.course : null;
  for (let i = from; i < items.length; i++) {
    const item = items[i] as Item;
    if (course?.marks.has(i)) haltAt(run, course, i, state);
    if (item.type === 'line') {
      state =
        item.commands.length < PIECE
          ? runLine(run, item, state, certain)
          : yield* runLongLine(run, item, state, certain);
      if (run.pace.due(1 + item.commands.length)) yield;
      continue;
    }
    const chain = chainAt(run, items, i);
    state = yield* runChain(run, chain.branches, state, certain);
    i = chain.last;
  }
  return state;
}

/** Notes how things stand in front of an item. */
function haltAt(
  { start, steps, settings, dependent, shape, turns, cut }: Run,
  course: Course,
  item: number,
  state: State,
) {
  const frames = copied(shape.frames);
  const count = { steps: steps.length, settings: settings.length, dependent: dependent.length };
  course.halt({ item, start, state, steps, settings, dependent, frames, count, turns, cut });
}

/** One of several bodies of which a job gets the first whose condition holds; block null: an empty one. */
interface Branch {
  readonly tag: Tag;
  readonly block: Block | null;
  /** It takes whatever the branch before it does not: `{{^a}}` behind `{{#a}}`. */
  readonly rest: boolean;
}

/** The branches of the chain that the block at `at` belongs to, and the index of its last block. */
function chainAt(run: Run, items: readonly Item[], at: number): { branches: readonly Branch[]; last: number } {
  const first = items[at] as Block;
  const { chain } = first.section;
  const blocks = new Map<Tag, Block>([[first.section.open, first]]);
  let last = at;
  let ending = first.section;
  for (let i = at + 1; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.type === 'line') {
      if (item.commands.length > 0) break;
      continue;
    }
    if (item.section.chain === chain) {
      blocks.set(item.section.open, item);
      ending = item.section;
    } else {
      if (last !== at || !isOpposite(run, first.section, item.section)) break;
      const branches = [first, item].map((block, n) => ({ tag: block.section.open, block, rest: n === 1 }));
      return { branches, last: i };
    }
    last = i;
  }
  const tags = [...ending.unless, ending.open];
  return { branches: tags.map((tag) => ({ tag, block: blocks.get(tag) ?? null, rest: false })), last };
}

/** Whether two Mustache sections have the same condition, one of them inverted. */
const isOpposite = (run: Run, a: Section, b: Section): boolean => areOpposite(run, a.open, b.open);

function areOpposite({ prepared }: Run, a: Tag, b: Tag): boolean {
  if (a.keyword || b.keyword || (a.kind === 'inverted') === (b.kind === 'inverted')) return false;
  return slice(prepared.tree.text, a.inner) === slice(prepared.tree.text, b.inner);
}

function* runChain(run: Run, branches: readonly Branch[], begin: State, certain: boolean): Pieces<State> {
  if (run.inside.size >= DEEPEST) {
    run.cut = true;
    return anythingGoes(begin);
  }
  const outside = run.within;
  const choice = run.shape.choice(branches[0]?.tag ?? null);
  let ends: State | null = null;
  let sure = certain;
  let left = true;
  for (const [i, { tag, block, rest }] of branches.entries()) {
    const own = branchTimes(tag, run.prepared.expressions, run.within.env);
    // A list that is not left out runs once at least.
    const times = rest ? { lo: Math.max(1, own.lo), hi: Math.max(1, own.hi) } : own;
    if (times.hi === 0) continue;
    const before = run.within;
    if (known(before, tag, true).facts?.impossible) continue;
    // A branch behind the first of a chain whose own condition nobody knows runs where the ones before it do not.
    if (tag.keyword !== 'else' && !rest) run.within = guarded(run.within, tag, tag.kind !== 'inverted');
    const frame = run.shape.begin(choice, guardsOf(run.within.guard, outside.guard));
    const state = block ? yield* runTurns(run, block, times, begin, sure) : begin;
    run.shape.end(frame);
    run.within = before;
    ends = ends ? joinStates(ends, state) : state;
    left = times.lo === 0;
    if (!left) break;
    sure = false;
    // What comes behind runs only where this branch's condition fails.
    if (i < MOST_NARROWED) run.within = notTaken(run.within, tag);
    if (run.within.env.facts?.impossible) {
      left = false;
      break;
    }
  }
  run.within = outside;
  run.shape.close(choice, left);
  if (!ends) return begin;
  return narrowState(left ? joinStates(ends, begin) : ends, outside.env);
}

/** The state after a body has run once at least, and as often as `times` allows. */
function* runTurns(
  run: Run,
  block: Block,
  times: { readonly lo: number; readonly hi: number },
  begin: State,
  certain: boolean,
): Pieces<State> {
  const most = run.turns < ALL_TURNS ? MOST_TURNS : 1;
  const outside = run.within;
  const narrowed = known(run.within, block.section.open, true);
  const inside = times.hi === 1 ? narrowState(begin, narrowed) : begin;
  const { expressions } = run.prepared;
  const isList = repeats(block.section) && tagValue(block.section.open, expressions, narrowed).type === 'list';
  let state = inside;
  let ends: State | null = null;
  let followed = times.hi <= most;
  run.inside.add(block.section);
  for (let turn = 1; turn <= Math.min(times.hi, most); turn++) {
    if (turn > 1 && run.steps.length >= MOST_STEPS) {
      followed = false;
      break;
    }
    if (turn > 1) run.turns++;
    run.within = { ...outside, env: bodyEnv(block.section, turn - 1, expressions, narrowed) };
    if (isList) run.passes++;
    const frame = isList ? beginTurn(run, block.section, turn, times, narrowed) : null;
    state = yield* runItems(run, block.items, state, certain && turn <= times.lo);
    if (frame) endTurn(run, frame);
    if (turn >= times.lo) ends = ends ? joinStates(ends, state) : state;
  }
  run.inside.delete(block.section);
  run.within = outside;
  if (followed) return ends ?? state;
  run.cut = true;
  return anythingGoes(ends ?? state);
}

/** A pass through a list that is being made; one that only some jobs make is a choice of its own. */
interface OpenTurn {
  readonly turn: OpenFrame;
  readonly choice: ChoiceFrame | null;
  readonly branch: OpenFrame | null;
}

function beginTurn(
  { shape, prepared }: Run,
  section: Section,
  turn: number,
  times: { readonly lo: number },
  env: Env,
): OpenTurn {
  const element = elementAt(section, turn - 1, prepared.expressions, env);
  // The first pass is the branch that the list itself is left out of or not.
  const choice = turn <= Math.max(1, times.lo) ? null : shape.choice(section.open);
  const branch = choice && shape.begin(choice, []);
  return { choice, branch, turn: shape.beginTurn(section, element, turn - 1) };
}

function endTurn({ shape }: Run, { turn, choice, branch }: OpenTurn): void {
  shape.end(turn);
  if (!choice || !branch) return;
  shape.end(branch);
  shape.close(choice, true);
}

/** Branches of one chain whose failing is remembered further down. */
const MOST_NARROWED = 32;

const guarded = (within: Within, condition: Tag, holds: boolean): Within => ({
  ...within,
  guard: { condition, holds, outer: within.guard },
});

/** Behind a branch that was not taken. */
const notTaken = (within: Within, tag: Tag): Within => ({
  ...guarded(within, tag, tag.kind === 'inverted'),
  env: known(within, tag, false),
});

/** What is known of the names where the branch that a tag opens is filled in, or where it is not. */
function known({ prepared, env }: Pick<Within, 'prepared' | 'env'>, tag: Tag, taken: boolean): Env {
  const condition = conditionOf(tag, prepared.expressions);
  return condition ? narrow(condition, taken === (tag.kind !== 'inverted'), env) : env;
}

function runLine(run: Run, line: Line, begin: State, certain: boolean): State {
  if (line.commands.length === 0 || begin.stopped === true) return begin;
  const commands = run.prepared.bound.on(line);
  return runCommands(run, { inMachine: runsInMachine(commands), seen: null }, commands, begin, certain);
}

/** A line of so many commands that it is run in pieces. */
function* runLongLine(run: Run, line: Line, begin: State, certain: boolean): Pieces<State> {
  const commands = run.prepared.bound.on(line);
  const known: KnownOfLine = { inMachine: runsInMachine(commands), seen: null };
  let state = begin;
  for (let from = 0; from < commands.length && state.stopped !== true; from += PIECE) {
    state = runCommands(run, known, commands, state, certain, from, from + PIECE);
    yield;
  }
  return state;
}

/** What the commands of one line share. */
interface KnownOfLine {
  readonly inMachine: boolean;
  seen: Map<Section, Presence> | null;
}

const runsInMachine = (commands: readonly BoundCommand[]): boolean =>
  commands.length > 1 && commands.some((c) => c.record?.effects.some((e) => e.do === 'machine-coordinates'));

const isStopped = ({ stopped }: State): boolean => stopped === true;

function runCommands(
  run: Run,
  known: KnownOfLine,
  commands: readonly BoundCommand[],
  begin: State,
  certain: boolean,
  from = 0,
  to = commands.length,
): State {
  let state = begin;
  for (let i = from; i < Math.min(to, commands.length); i++) {
    const command = commands[i] as BoundCommand;
    if (!command.sectioned && state.stopped === false) {
      state = command.filled
        ? runCommand(run, command, state, certain, known.inMachine)
        : execute(run, command, command.words, state, certain, known.inMachine);
      if (isStopped(state)) break;
      continue;
    }
    const { section } = command.node;
    const inOpen = section !== null && !run.inside.has(section);
    let { seen } = known;
    if (inOpen && !seen) seen = known.seen = new Map();
    const outside = run.within;
    const { is: there, env } = inOpen && seen ? presence(run, section, seen) : { is: 'always', env: outside.env };
    if (there === 'never') continue;
    const always = there === 'always' && state.stopped === false;
    const inside = env === outside.env ? state : narrowState(state, env);
    const body = (): State => runCommand(run, command, inside, certain && always, known.inMachine);
    if (env !== outside.env) run.within = { ...guardedBy(outside, section, run.inside), env };
    let after = always ? body() : runPerhaps(run, there === 'perhaps' ? section : null, outside, body);
    run.within = outside;
    if (!after) continue;
    if (there === 'often') {
      run.cut = true;
      after = anythingGoes(after);
    }
    // Of the jobs that had not been stopped, all came by here where nothing could leave the command out.
    const stops = there === 'always' && isStopped(after);
    state = always ? after : stops ? { ...joinStates(state, after), stopped: true } : joinStates(state, after);
    if (isStopped(state)) break;
  }
  return state;
}

/** The guards of the sections that open on a command's own line; of very many only the innermost. */
function guardedBy(within: Within, section: Section | null, inside: ReadonlySet<Section>, left = DEEPEST): Within {
  if (!section || left === 0 || inside.has(section)) return within;
  const outer = guardedBy(within, section.parent, inside, left - 1);
  const before = section.unless
    .slice(0, MOST_NARROWED)
    .reduce((w, tag) => guarded(w, tag, tag.kind === 'inverted'), outer);
  return section.open.keyword === 'else' ? before : guarded(before, section.open, !section.inverted);
}

/**
 * Runs a command that some jobs leave out: one in a section on its own line, or (section null) one behind a stop that
 * may have come. Neighbors of one section are one branch, and sections that exclude one another are branches of one choice.
 * null: in the jobs that come here a stop has come before it, so that it never runs.
 */
function runPerhaps(run: Run, section: Section | null, outside: Within, body: () => State): State | null {
  const { shape } = run;
  const last = shape.lastChoice;
  const open = section?.open ?? null;
  const guards = guardsOf(run.within.guard, outside.guard);
  if (last?.mayBeLeftOut && last.condition === open) {
    if (last.stops) return null;
    const state = shape.more(last, body);
    last.stops = isStopped(state);
    return state;
  }
  if (last?.mayBeLeftOut && section && belongsTo(run, last, section, guards)) {
    const state = shape.branch(last, guards, body);
    last.to = run.steps.length;
    last.stops = isStopped(state);
    last.mayBeLeftOut = section.chain === last.condition && section.open.keyword !== 'else';
    return state;
  }
  const choice = shape.choice(open);
  const state = shape.branch(choice, guards, body);
  shape.close(choice, true);
  choice.stops = isStopped(state);
  return state;
}

/** Whether a section on a line is another branch of the choice in front of it. */
function belongsTo(
  run: Run,
  { condition, branches }: ChoiceFrame,
  section: Section,
  guards: readonly Guard[],
): boolean {
  if (!condition) return false;
  if (section.chain === condition) return true;
  // Where either stands in a further section, both may be left out.
  return guards.length === 1 && branches[0]?.guards.length === 1 && areOpposite(run, condition, section.open);
}

interface Presence {
  readonly is: 'always' | 'never' | 'perhaps' | 'often';
  /** The names where the section's body runs. */
  readonly env: Env;
  /** Sections around it on its line, itself included. */
  readonly depth: number;
}

/**
 * Whether something inside sections that open on its own line is there in a job; 'often': a list may repeat it.
 * `seen` keeps the answers for one line, so that deep nesting is walked once.
 */
function presence(run: Run, section: Section, seen: Map<Section, Presence>): Presence {
  const chain: Section[] = [];
  let { is, env, depth }: Presence = { is: 'always', env: run.within.env, depth: 0 };
  for (let s: Section | null = section; s && !run.inside.has(s); s = s.parent) {
    const known = seen.get(s);
    if (known) {
      ({ is, env, depth } = known);
      break;
    }
    chain.push(s);
  }
  for (let i = chain.length - 1; i >= 0; i--) {
    const s = chain[i] as Section;
    const times = repetitions(s, run.prepared.expressions, env);
    if (is === 'never' || times.hi === 0) is = 'never';
    else if (times.hi > 1) is = 'often';
    else if (times.lo === 0 && is === 'always') is = 'perhaps';
    // Which turn it is, is known only where there is one. Deep down nothing is looked up any more.
    const turn = times.lo === 1 && times.hi === 1 ? 0 : -1;
    depth++;
    const body = depth < DEEPEST ? bodyEnv(s, turn, run.prepared.expressions, env) : NOTHING_KNOWN;
    env = times.hi > 1 ? body : known({ prepared: run.prepared, env: body }, s.open, true);
    if (env.facts?.impossible) is = 'never';
    seen.set(s, { is, env, depth });
  }
  return { is, env, depth };
}

const NOTHING_KNOWN: Env = () => undefined;

/** More open conditions on one line than this are not gone through; `waysOf` says the same. */
const MOST_OPEN = 16;

function runCommand(run: Run, command: BoundCommand, begin: State, certain: boolean, inMachine: boolean): State {
  const own = command.node.section;
  if (own !== null && command.words.some(({ section }) => !isHeldBy(section, own))) {
    // Words that are there without the command belong to whatever holds then.
    run.cut = true;
    return anythingGoes(execute(run, command, command.words, begin, false, inMachine));
  }
  const isPlain = command.words.every((w) => w.section === null || w.section === own || run.inside.has(w.section));
  if (isPlain && !command.filled) return execute(run, command, command.words, begin, certain, inMachine);
  const choices = (isPlain ? [command.words] : wordChoices(run, command))?.flatMap((words) =>
    emptied(run, command, words),
  );
  if (!choices) {
    run.cut = true;
    return anythingGoes(execute(run, command, command.words, begin, false, inMachine));
  }
  const [only, another] = choices;
  if (isPlain && only && !another) return execute(run, command, only, begin, certain, inMachine);
  const sure = certain && choices.length === 1;
  const choice = run.shape.choice(command.words.find((w) => w.section && w.section !== own)?.section?.open ?? null);
  const ends = choices.map((words) =>
    run.shape.branch(choice, [], () => execute(run, command, words, begin, sure, inMachine)),
  );
  run.shape.close(choice, false);
  return ends.reduce(joinStates);
}

/**
 * The words of a motion that can go on without any of them where nothing may be filled in behind the letters: with them,
 * and without. A letter without a value moves nothing.
 */
function emptied(run: Run, command: BoundCommand, words: BoundCommand['words']): readonly BoundCommand['words'][] {
  if (!command.filled || !command.record?.effects.some(motionOf)) return [words];
  const reader: Reader = { prepared: run.prepared, env: run.within.env, words };
  const moving = words.filter(({ key }) => MOTION_WORDS.has(key));
  if (moving.some((word) => isGiven(reader, word) === true)) return [words];
  return moving.some((word) => isGiven(reader, word) === null)
    ? [words, words.filter(({ key }) => !MOTION_WORDS.has(key))]
    : [words];
}

/** Whether what stands in `section` is there only where `outer` is. */
function isHeldBy(section: Section | null, outer: Section): boolean {
  for (let s = section; s; s = s.parent) if (s === outer) return true;
  return false;
}

/** The words that the command has, for every way in which the sections on its line can turn out. null: too many. */
function wordChoices(run: Run, command: BoundCommand): readonly BoundCommand['words'][] | null {
  const { prepared, inside } = run;
  const condition = (tag: Tag): string => slice(prepared.tree.text, tag.inner);
  // What encloses the command itself is there where the command is.
  const outer = new Set<Section>(inside);
  for (let s = command.node.section; s && !inside.has(s); s = s.parent) outer.add(s);
  const inner = new Set<Section>();
  for (const word of command.words)
    for (let s = word.section; s && !outer.has(s) && !inner.has(s); s = s.parent) inner.add(s);
  const open = new Set<string>();
  const settled = new Map<Tag, boolean>();
  for (const s of inner) {
    for (const tag of [...s.unless, s.open]) {
      if (settled.has(tag)) continue;
      const times = branchTimes(tag, prepared.expressions, run.within.env);
      // A list of words, such as X1 X2 X3: nobody knows which of them counts.
      if (times.hi > 1 || tagValue(tag, prepared.expressions, run.within.env).type === 'list') return null;
      if (times.lo === times.hi) settled.set(tag, times.hi > 0);
      else open.add(condition(tag));
      if (open.size > MOST_OPEN) return null;
    }
  }
  // Outer sections come first in the text, so that each finds its parent settled.
  const ordered = [...inner].sort((a, b) => a.span.start - b.span.start);
  const choices = new Map<string, BoundCommand['words']>();
  for (const way of waysOf(open) ?? []) {
    const there = new Map<Section | null, boolean>();
    const taken = (tag: Tag): boolean => settled.get(tag) ?? way.get(condition(tag)) !== (tag.kind === 'inverted');
    for (const s of ordered) there.set(s, (there.get(s.parent) ?? true) && taken(s.open) && !s.unless.some(taken));
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
  const reader: Reader = { prepared: run.prepared, env: run.within.env, words };
  const { record } = command;
  let state = before;
  let move: Move | null = null;
  let seconds: Known = ZERO;
  if (!record) {
    if ((command.node.code === null && !isBareNumber(reader, command)) || command.node.named)
      state = anythingGoes(before);
  } else {
    for (const effect of record.effects) {
      const motion = motionOf(effect);
      if (motion) {
        if (!hasMotionWords(reader)) {
          state = afterMove(state, state.at, command.code, feedAfter(reader, state), state.retracted);
          continue;
        }
        const moved = runMotion(reader, state, motion, inMachine, command.code);
        state = moved.state;
        move = moved.move;
        seconds = add(moved.move.seconds, seconds);
        continue;
      }
      if (effect.do === 'feed') {
        state = afterMove(state, state.at, state.motion, feedAfter(reader, state), state.retracted);
        continue;
      }
      const effected = applyEffect(effect, reader, state);
      state = effected.state;
      move = effected.move ?? move;
      seconds = add(effected.seconds, seconds);
    }
    // A word that is a bare tag can become any words at all.
    if (words.some((w) => w.key === '' && !isNumber(reader, w))) state = { ...anythingGoes(state), homed: state.homed };
  }
  const step = run.keeper.keep(command, words, run.within, before, state, move, certain, seconds);
  run.steps.push(step);
  if (dependsOnNames(step)) run.dependent.push(step);
  if (!record || !isPlainMove(record.effects)) run.settings.push(step);
  return state;
}

/** Whether a word without a letter is a number, or filled in as one, which no controller can take for anything. */
const isNumber = ({ prepared, env }: Reader, { value }: BoundCommand['words'][number]): boolean =>
  value?.type === 'number' ||
  (value?.type === 'filled' && fillingOf(value, prepared.tree.text, prepared.expressions, env).isNumber === true);

/** Whether a line is nothing but a tag that is filled in as a number. */
function isBareNumber({ prepared, env }: Reader, { node, words }: BoundCommand): boolean {
  const tag = words.length === 0 ? tagAt(prepared.tree, node.codeSpan.start) : null;
  if (tag?.span.start !== node.codeSpan.start || tag.span.end !== node.codeSpan.end) return false;
  return tagValue(tag, prepared.expressions, env).type === 'number';
}

const TRAVEL: Motion = { kind: 'line', rapid: true, clockwise: false };
const LINE: Motion = { kind: 'line', rapid: false, clockwise: false };
const CLOCKWISE: Motion = { kind: 'arc', rapid: false, clockwise: true };
const COUNTER_CLOCKWISE: Motion = { kind: 'arc', rapid: false, clockwise: false };
const CURVE: Motion = { kind: 'curve', rapid: false, clockwise: false };

const isPlainMove = (effects: readonly Effect[]): boolean =>
  effects.length > 0 && effects.every((effect) => effect.do === 'line' || effect.do === 'arc' || effect.do === 'curve');

function motionOf(effect: Effect): Motion | null {
  if (effect.do === 'line') return effect.rapid ? TRAVEL : LINE;
  if (effect.do === 'arc') return effect.clockwise ? CLOCKWISE : COUNTER_CLOCKWISE;
  return effect.do === 'curve' ? CURVE : null;
}

const MOTION_WORDS = new Set(['X', 'Y', 'Z', 'E', 'I', 'J', 'K', 'R']);
const hasMotionWords = (reader: Reader): boolean =>
  reader.words.some((word) => MOTION_WORDS.has(word.key) && isGiven(reader, word) !== false);

/** Whether an expression is a number whatever it comes to, seen without working it out. */
const isNumberByForm = (expr: Expr, env: Env): boolean =>
  expr.type === 'name'
    ? env(expr.name)?.type === 'number'
    : expr.type === 'number' ||
      (expr.type === 'call' && expr.name in FUNCTIONS) ||
      (expr.type === 'binary' && /^[-*/%]$/.test(expr.op));

/** Whether a word has a value; null: in some jobs, since all that is filled in may be nothing. */
function isGiven({ prepared, env }: Reader, { value }: BoundCommand['words'][number]): boolean | null {
  if (value?.type !== 'filled') return value !== null;
  const [part, more] = value.parts;
  const expr = part && !more && 'type' in part ? prepared.expressions.get(part)?.expr : null;
  // Nearly every value is a single tag with a number.
  if (expr && part && 'type' in part && part.kind === 'value' && isNumberByForm(expr, env)) return true;
  const { isEmpty } = fillingOf(value, prepared.tree.text, prepared.expressions, env);
  return isEmpty === null ? null : !isEmpty;
}
