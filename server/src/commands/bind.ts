import { commandBefore, wordAt } from '../syntax/at.ts';
import type { Command, Line, Word } from '../syntax/nodes.ts';
import { finish, Pace, type Pieces } from '../text/pieces.ts';
import type { Span } from '../text/span.ts';
import type { Catalog } from './catalog.ts';
import { stepOf } from './order.ts';
import { type CommandRecord, writtenCode } from './record.ts';

export { groupConflicts, type LineConflict } from './conflicts.ts';

/** A command with its record and the words that belong to it. */
export interface BoundCommand {
  readonly line: Line;
  readonly node: Command;
  /** The code that runs: the node's own, or the motion that still holds where the line gives words only. */
  readonly code: string;
  /** null: no such command is known. */
  readonly record: CommandRecord | null;
  readonly words: readonly Word[];
  /** Whether placeholders stand in one of its words. Looked up once for a text, since every run asks. */
  readonly filled: boolean;
  /** Whether it or one of its words stands in a section. */
  readonly sectioned: boolean;
}

/** The command's code for people: as its machine writes it. */
export const shownCode = ({ record, code }: BoundCommand): string => writtenCode(record, code);

/** The commands of a text, each on its line. One list for all, since a list for each line takes as much room again. */
export class BoundLines {
  constructor(
    /** In the order of the text. */
    readonly all: readonly BoundCommand[],
    /** Where those of each line begin; behind the last line: how many there are. */
    private readonly starts: Uint32Array,
  ) {}

  private readonly indexes = new Map<Line, OnLine>();

  /** In the order in which they run. The list is made anew: whoever asks for each command of a line uses `of` or `at`. */
  on({ index }: Line): readonly BoundCommand[] {
    return this.all.slice(this.starts[index], this.starts[index + 1]);
  }

  /** The one that runs first. */
  first(line: Line): BoundCommand | undefined {
    const at = this.starts[line.index] ?? 0;
    return at < (this.starts[line.index + 1] ?? 0) ? this.all[at] : undefined;
  }

  /** What a command of the text became: several where words were split off from it, which stand under a code of their own. */
  of(line: Line, node: Command): readonly BoundCommand[] {
    if (this.isShort(line)) return this.on(line).filter((one) => one.node === node);
    return (this.index(line).of.get(node) ?? []).map((at) => this.all[at] as BoundCommand);
  }

  /** The command that takes a word: on a line with several commands not always the one in front of it. */
  taking(line: Line, word: Word): BoundCommand | undefined {
    if (this.isShort(line)) return this.on(line).find(({ words }) => words.includes(word));
    return this.all[this.index(line).taking.get(word) ?? -1];
  }

  /** The command whose code or words an offset lies in; of several the one that runs first. */
  at(line: Line, offset: number): BoundCommand | undefined {
    const holds = ({ start, end }: Span): boolean => start <= offset && offset < Math.max(end, start + 1);
    if (this.isShort(line))
      return this.on(line).find(({ node, words }) => holds(node.span) || words.some(({ span }) => holds(span)));
    const { of, taking } = this.index(line);
    const [node, word] = [commandBefore(line, offset), wordAt(line, offset)];
    const [own = Number.POSITIVE_INFINITY] = (node && holds(node.span) && of.get(node)) || [];
    const taker = (word && holds(word.span) ? taking.get(word) : undefined) ?? Number.POSITIVE_INFINITY;
    return this.all[Math.min(own, taker)];
  }

  /** Few enough to go through them for each question: an index would take more room than it saves time. */
  private isShort({ index }: Line): boolean {
    return (this.starts[index + 1] ?? 0) - (this.starts[index] ?? 0) <= FEW;
  }

  /** For a long line: where in `all` its commands and words are, found once. */
  private index(line: Line): OnLine {
    const known = this.indexes.get(line);
    if (known) return known;
    const of = new Map<Command, number[]>();
    const taking = new Map<Word, number>();
    const end = this.starts[line.index + 1] ?? 0;
    for (let i = this.starts[line.index] ?? end; i < end; i++) {
      const { node, words } = this.all[i] as BoundCommand;
      const same = of.get(node);
      if (same) same.push(i);
      else of.set(node, [i]);
      for (const word of words) taking.set(word, i);
    }
    const made = { of, taking };
    this.indexes.set(line, made);
    return made;
  }
}

const FEW = 8;

interface OnLine {
  readonly of: ReadonlyMap<Command, readonly number[]>;
  readonly taking: ReadonlyMap<Word, number>;
}

/**
 * Binds every line, with the motion that the lines before it leave in force.
 * @param motionAt The motion in force at a line where something else than those lines tells it.
 */
export const bindLines = (
  lines: readonly Line[],
  catalog: Catalog,
  motionAt?: (line: Line, motion: string | null) => string | null,
): BoundLines => finish(bindingLines(lines, catalog, motionAt));

/** The same in pieces. */
export function* bindingLines(
  lines: readonly Line[],
  catalog: Catalog,
  motionAt: (line: Line, motion: string | null) => string | null = (_, motion) => motion,
): Pieces<BoundLines> {
  const pace = new Pace();
  const all: BoundCommand[] = [];
  const first = new Uint32Array(lines.length + 1);
  let motion: string | null = null;
  for (const line of lines) {
    motion = motionAt(line, motion);
    for (const command of bindLine(line, catalog, motion)) {
      if (command.record?.group === 'motion') motion = command.code;
      all.push(command);
    }
    first[line.index + 1] = all.length;
    if (pace.due(1 + line.commands.length)) yield;
  }
  return new BoundLines(all, first);
}

const NONE: readonly BoundCommand[] = Object.freeze([]);

/** Words that belong to the motion in force where no command on the line takes them. */
const MOTION_KEYS: ReadonlySet<string> = new Set(['X', 'Y', 'Z', 'E', 'I', 'J', 'K', 'R']);

/**
 * Gives every word of a line to one command and puts the commands in the order in which they run (NISTIR 6556 Table 8).
 * A line may give more commands than it writes: `G21 F100` also sets the feed, `X10` runs the motion that still holds.
 * @param motion The motion in force ('G1'); null where there is none yet or it is not known.
 */
export function bindLine(line: Line, catalog: Catalog, motion: string | null): readonly BoundCommand[] {
  const only = line.commands[0];
  if (!only) return NONE;
  if (line.commands.length === 1 && only.code !== '') {
    const record = only.code === null ? null : catalog.find(only.code);
    if (!record || takesAll(record, only.words, catalog)) {
      return [{ line, node: only, code: only.code ?? '', record, words: only.words, ...lookedUp(only, only.words) }];
    }
  }
  return bindMany(line, catalog, motion);
}

/** What every run asks of a command's words. */
function lookedUp(node: BoundCommand['node'], words: readonly Word[]): Pick<BoundCommand, 'filled' | 'sectioned'> {
  let filled = false;
  let sectioned = node.section !== null;
  for (const { value, section } of words) {
    filled ||= value?.type === 'filled';
    sectioned ||= section !== null;
  }
  return { filled, sectioned };
}

function takesAll(record: CommandRecord, words: readonly Word[], catalog: Catalog): boolean {
  for (const word of words) if (!catalog.takes(record, word.key)) return false;
  return true;
}

/** A command that is being put together. */
interface Slot {
  readonly node: Command;
  code: string;
  record: CommandRecord | null;
  readonly words: Word[];
  /** Keeps every word that stands behind it: nothing is known of what it takes. */
  readonly keepsAll: boolean;
  /** A line's first words, without a command. */
  readonly loose: boolean;
}

/** Who takes a letter. Maps, so that a line of many commands takes time in proportion to its length. */
interface Takers {
  readonly motion: Map<string, Slot>;
  readonly first: Map<string, Slot>;
  /** The last one up to the command being looked at. */
  readonly latest: Map<string, Slot>;
}

function bindMany(line: Line, catalog: Catalog, motion: string | null): readonly BoundCommand[] {
  const slots = line.commands.map((node) => slotOf(node, catalog));
  const explicit = slots.some((slot) => takes(slot, 'X', catalog));
  const loose = slots[0]?.loose ? slots[0] : null;
  const looseMoves = loose?.node.words.some((w) => MOTION_KEYS.has(w.key)) ?? false;
  if (loose && looseMoves && !explicit && motion !== null) {
    loose.code = motion;
    loose.record = catalog.find(motion);
  }
  const many = catalog.commandsPerLine === 'many';
  // RS-274 runs the motion in force wherever axis words are left over; a controller of one command a line does not.
  const mayMove = !explicit && !loose?.record && (many || slots.some((slot) => slot.code === 'G53'));
  const takers = takersOf(slots);
  const extras: Slot[] = [];
  const extra = (node: Command, key: string): Slot | null => {
    const there = extras.find((slot) => takes(slot, key, catalog));
    if (there) return there;
    if (key === 'F' || (key === 'T' && many)) return added(extras, node, key, catalog);
    return mayMove && motion !== null && MOTION_KEYS.has(key) ? added(extras, node, motion, catalog) : null;
  };
  for (const slot of slots) {
    for (const w of slot.record?.words ?? []) takers.latest.set(w.key, slot);
    for (const word of slot.node.words) {
      const taker = takerOf(word.key, slot, takers, catalog);
      // Words without a command and without a motion in force stay together, F included: nobody knows what they do.
      const stays = slot.loose && looseMoves && slot.record === null;
      (taker ?? (stays ? slot : (extra(slot.node, word.key) ?? slot))).words.push(word);
    }
  }
  joinFeed(extras, catalog);
  return inOrder(line, [...slots, ...extras]);
}

function slotOf(node: Command, catalog: Catalog): Slot {
  const record = node.code ? catalog.find(node.code) : null;
  const loose = node.code === '';
  const keepsAll = !loose && (!record || node.named || catalog.freeText.has(record.code));
  return { node, code: node.code ?? '', record, words: [], keepsAll, loose };
}

const takes = (slot: Slot, key: string, catalog: Catalog): boolean =>
  slot.record !== null && catalog.takes(slot.record, key);

function takersOf(slots: readonly Slot[]): Takers {
  const takers: Takers = { motion: new Map(), first: new Map(), latest: new Map() };
  for (const slot of slots) {
    for (const { key } of slot.record?.words ?? []) {
      if (!takers.first.has(key)) takers.first.set(key, slot);
      if (slot.record?.group === 'motion' && !takers.motion.has(key)) takers.motion.set(key, slot);
    }
  }
  return takers;
}

/** Who takes a word: the command in front of it, else the line's motion, else the nearest before, else the first behind. */
function takerOf(key: string, own: Slot, takers: Takers, catalog: Catalog): Slot | null {
  if (own.keepsAll || takes(own, key, catalog)) return own;
  const taker = takers.motion.get(key) ?? takers.latest.get(key) ?? takers.first.get(key);
  if (taker) return taker;
  // Where several commands share a line, T is one of them, and no further word of another.
  return own.record?.openWords && !(key === 'T' && catalog.commandsPerLine === 'many') ? own : null;
}

function added(extras: Slot[], node: Command, code: string, catalog: Catalog): Slot {
  const slot: Slot = { node, code, record: catalog.find(code), words: [], keepsAll: false, loose: false };
  extras.push(slot);
  return slot;
}

/** F that was split off before the motion in force was found to run on this line belongs to that motion. */
function joinFeed(extras: readonly Slot[], catalog: Catalog): void {
  const feed = extras.find((slot) => slot.code === 'F');
  const mover = extras.find((slot) => slot !== feed && takes(slot, 'F', catalog));
  if (feed && mover) mover.words.push(...feed.words.splice(0));
}

/** The commands that are left, in the order in which they run. */
function inOrder(line: Line, slots: readonly Slot[]): readonly BoundCommand[] {
  const steps = slots
    .filter((slot) => slot.words.length > 0 || !(slot.loose || slot.code === 'F'))
    .map((slot) => ({ step: stepOf(slot.code, slot.record), slot }));
  steps.sort((a, b) => a.step - b.step);
  return steps.map(({ slot }) => {
    slot.words.sort((a, b) => a.span.start - b.span.start);
    return {
      line,
      node: slot.node,
      code: slot.code,
      record: slot.record,
      words: slot.words,
      ...lookedUp(slot.node, slot.words),
    };
  });
}
