import type { BoundCommand } from '../commands/bind.ts';
import { findRecordWord } from '../commands/record.ts';
import { isZero } from '../rules/heatSteps.ts';
import { IGNORE_WORD, ignoredOn } from '../rules/suppress.ts';
import type { Prepared } from '../simulate/context.ts';
import { isLost } from '../simulate/start.ts';
import type { Step } from '../simulate/trace.ts';
import type { Line } from '../syntax/nodes.ts';
import { slice } from '../text/span.ts';
import { prepares } from './body.ts';
import type { Context, Piece, Ran } from './context.ts';
import { findingsOf } from './findings.ts';
import { lackingIn } from './notes.ts';
import { type Outline, outliner } from './outline.ts';
import { type Reading, readingOf } from './reading.ts';
import { type Spelling, spellingOf, valueAt } from './spelled.ts';
import { SUSPECTS } from './suspect.ts';

/**
 * What is known of a line that does next to nothing, wherever it stands: nothing that is followed, or E is set to zero.
 * Programs repeat themselves: an acceleration is set anew before every wall, in two or three ways in all, and E before every
 * layer. So the rules need to see each text once, and the parser too.
 */
export interface Remembered {
  readonly bytes: Uint8Array;
  readonly zeroE: boolean;
  /** What prepares a print, see `body.ts`. */
  readonly prepares: boolean;
  /** It could be anything, so that it is all this only where nothing is known any more. */
  readonly lost: boolean;
  /** How often each rule has something to say of it, whatever the state. */
  readonly counts: readonly (readonly [string, number])[];
  /** What of it the machine lacks. */
  readonly lacking: readonly string[];
  readonly reading: Reading;
}

/** Lines of one kind, whatever their numbers are within these ranges: one for each number. */
export interface Kind extends Omit<Remembered, 'bytes'> {
  readonly ranges: readonly Range[];
}

type Range = readonly [least: number, most: number];

/** A line in the store, without its line end; how it reads is found out where somebody asks. */
export interface Here {
  readonly buf: Uint8Array;
  readonly from: number;
  readonly end: number;
  outline: Outline | null | undefined;
}

/** Lines that have been seen, by their bytes, and what lines have in common that differ in their numbers. */
export interface Memory {
  /** What is known of the line, which is no move; null: it has to be run. */
  of(here: Here): Omit<Remembered, 'bytes'> | null;
  /** How the plain move reads that stands there; null: the parser has to read it. */
  spelled(here: Here): { readonly outline: Outline; readonly spelling: Spelling } | null;
  /** Takes note of lines that have just been run; `bytes` are theirs. */
  learn(piece: Piece, ran: Ran, bytes: Uint8Array): void;
}

const MOST = 2000;
const LONGEST = 200;
/** Learning a line takes as long as running so many. */
const PRICE = 64;
/** Lines of which is remembered that they have been seen, but for those that happen to have the same place. */
const PLACES = 1 << 12;
/** What rules say of a way to spell a line, whatever its numbers. */
const OF_SPELLING: ReadonlySet<string> = new Set([
  'bad-number',
  'duplicate-word',
  'long-line',
  'lower-case',
  'two-commands',
  'unknown-placeholder',
]);

/** A memory that stays small, and takes but a small share of the time, whatever the lines are. */
export function newMemory(context: Context, marks: Uint8Array, mostChars: number): Memory {
  const known = new Map<number, Remembered>();
  const kinds = new Map<number, Kind>();
  const spellings = new Map<number, Spelling>();
  const seen = new Float64Array(PLACES);
  const read = outliner(marks, mostChars);
  let learned = 0;
  let lines = 0;

  /** Whether it is the second time, and time for it. */
  const isWorth = (key: number): boolean => {
    const again = seen[key % PLACES] === key;
    seen[key % PLACES] = key;
    if (!again || learned * PRICE > lines + MOST * PRICE) return false;
    learned++;
    return true;
  };

  const put = <T>(map: Map<number, T>, key: number, one: T): void => {
    if (map.size >= MOST) map.clear();
    map.set(key, one);
  };

  const outlineOf = (here: Here): Outline | null => {
    if (here.outline === undefined) here.outline = read(here.buf, here.from, here.end);
    return here.outline;
  };

  const learnText = (piece: Piece, prepared: Prepared, steps: readonly Step[], bytes: Uint8Array): void => {
    const [first] = steps as [Step];
    const { line } = first.command;
    const { start: from, end } = line.span;
    const key = keyOf(bytes, from, end);
    if (end - from > LONGEST || known.has(key)) return;
    const outline = read(bytes, from, end);
    const ranges = outline && rangesOf(context, bytes, outline, steps);
    // A kind takes all lines in that differ in their numbers.
    if (outline && ranges ? kinds.has(outline.key) || !isWorth(outline.key) : !isWorth(key)) return;
    const own = { ...describe(context, prepared, line, steps), counts: countsOf(context, piece, first) };
    if (outline && ranges) put(kinds, outline.key, { ...own, ranges });
    else put(known, key, { ...own, bytes: bytes.slice(from, end) });
  };

  const learnSpelling = (piece: Piece, prepared: Prepared, steps: readonly Step[], bytes: Uint8Array): void => {
    const [step] = steps as [Step];
    const { line } = step.command;
    const outline = read(bytes, line.span.start, line.span.end);
    if (!outline || spellings.has(outline.key) || !isWorth(outline.key)) return;
    const spelling = spellingOf(bytes, outline, steps, context.machine?.controller.distanceGovernsE ?? false);
    if (!spelling || steps.some(({ command }) => lackingIn(command, context) !== null)) return;
    // What is said of the move itself is counted by its numbers.
    const counts = countsOf(context, piece, step).filter(([rule]) => !JUDGED.has(rule));
    if (counts.some(([rule]) => !OF_SPELLING.has(rule))) return;
    put(spellings, outline.key, {
      ...spelling,
      counts,
      ignored: outline.speaks ? ignoredOn(prepared.tree, line) : NONE,
      prepares: steps.slice(0, -1).some(({ command }) => prepares(command)),
    });
  };

  return {
    of(here) {
      if (known.size > 0 && here.end - here.from <= LONGEST) {
        const one = known.get(keyOf(here.buf, here.from, here.end));
        if (one && sameBytes(one.bytes, here.buf, here.from, here.end)) return one;
      }
      const outline = kinds.size > 0 ? outlineOf(here) : null;
      const kind = outline && kinds.get(outline.key);
      return kind?.ranges.every((range, i) => isIn(range, valueAt(here.buf, outline as Outline, i))) ? kind : null;
    },
    spelled(here) {
      const outline = spellings.size > 0 ? outlineOf(here) : null;
      const spelling = outline && spellings.get(outline.key);
      return spelling ? { outline, spelling } : null;
    },
    learn(piece, { prepared, trace }, bytes) {
      lines += piece.lines;
      // Offsets in the text are offsets in the bytes where it is ASCII.
      if (bytes.length !== piece.text.length || trace.end.stopped !== false || !standAlone(prepared.tree)) return;
      const { steps } = trace;
      for (let i = 0; i < steps.length; ) {
        const { line } = (steps[i] as Step).command;
        const first = i;
        while (steps[i]?.command.line === line) i++;
        if (line.commands.length !== i - first) continue;
        const own = steps.slice(first, i);
        if (own.some(({ move }) => move)) learnSpelling(piece, prepared, own, bytes);
        else if (isMild(context, piece.text, own)) learnText(piece, prepared, own, bytes);
      }
    },
  };
}

const NONE: ReadonlySet<string> = new Set();

const isIn = ([least, most]: Range, n: number): boolean => n >= least && n <= most;

/** Whether each tag is a value or a comment on one line, so that lines mean what they mean by themselves. */
const standAlone = ({ tags, text }: Prepared['tree']): boolean =>
  tags.every(({ kind, span }) => (kind === 'value' || kind === 'comment') && !/[\r\n]/.test(slice(text, span)));

/**
 * The ranges of the outline's numbers in which nothing is said of them; null where what a number means is not known, or
 * something is said already.
 */
function rangesOf(
  { machine }: Context,
  bytes: Uint8Array,
  outline: Outline,
  steps: readonly Step[],
): readonly Range[] | null {
  const ranges: Range[] = [];
  if (outline.numbered || outline.speaks || steps.length > 1) return null;
  const [{ command }] = steps as [Step];
  const { record, words } = command;
  if (!record) return ranges;
  if (record.effects.length > 0) return null;
  // Of a text behind a command, or of words.
  const numbers = words.filter(({ value }) => value?.type === 'number');
  if (words.some(({ value }) => value && value.type !== 'number')) return null;
  if (words.length > 0 && numbers.length !== outline.count) return null;
  for (const [i, { key, value }] of numbers.entries()) {
    const word = findRecordWord(record, key);
    const number = valueAt(bytes, outline, i);
    if (value?.type !== 'number' || value.number !== number) return null;
    const full = word?.unit === 'fan' ? machine?.controller.fanFull : undefined;
    const range: Range = [
      word?.min ?? Number.NEGATIVE_INFINITY,
      Math.min(word?.max ?? Number.POSITIVE_INFINITY, full ?? Number.POSITIVE_INFINITY),
    ];
    if (!isIn(range, number)) return null;
    ranges.push(range);
  }
  return ranges;
}

/** How often each rule has something to say of the line that this step is the first of, by itself. */
export function countsOf(context: Context, piece: Piece, { command, before }: Step): [string, number][] {
  const { span } = command.line;
  const text = `${piece.text.slice(span.start, span.end)}\n`;
  const counts = new Map<string, number>();
  const motion = command.node.code === '' ? command.code : piece.motion;
  const own: Piece = { ...piece, text, begin: before, motion, lines: 1 };
  for (const { rule } of findingsOf(context, [own], before, 'line', new Set()))
    counts.set(rule, (counts.get(rule) ?? 0) + 1);
  return [...counts];
}

/** Counted by the numbers of a move, see `suspect.ts` and `notes.ts`. */
const JUDGED: ReadonlySet<string> = new Set([...SUSPECTS, 'flow-too-high']);

function describe(
  context: Context,
  prepared: Prepared,
  line: Line,
  steps: readonly Step[],
): Omit<Remembered, 'bytes' | 'counts'> {
  const commands = steps.map(({ command }) => command);
  return {
    zeroE: commands.some(({ record }) => record?.effects.length),
    prepares: commands.some(prepares),
    lost: commands.some(couldBeAnything),
    lacking: commands.flatMap((command) => lackingIn(command, context) ?? []),
    reading: readingOf(prepared, line),
  };
}

/** What speaks of other lines, or to us. */
const SPEAKS = new RegExp(`[{%*]|${IGNORE_WORD}`);
const NUMBERED = /^[ \t]*N/i;

/** Whether lines that read like this do next to nothing, wherever they stand. */
function isMild({ catalog }: Context, text: string, steps: readonly Step[]): boolean {
  const isLittle = ({ command, move, before, after }: Step): boolean =>
    couldBeAnything(command) && before === after
      ? isLost(before)
      : !move && doesLittle(command, steps.length, catalog.isMissing(command.code));
  if (!steps.every(isLittle)) return false;
  const { span } = (steps[0] as Step).command.line;
  const own = text.slice(span.start, span.end);
  return !SPEAKS.test(own) && !NUMBERED.test(own) && !own.includes('\0');
}

/** A named command that nobody declared. */
const couldBeAnything = ({ record, node }: BoundCommand): boolean => record === null && node.named;

function doesLittle({ record, node, code, words }: BoundCommand, all: number, isMissing: boolean): boolean {
  if (node.named || node.code === null || code === '') return false;
  if (record === null) return true;
  // Words alone may stand for it from there on.
  if (record.group === 'motion') return false;
  const [effect, more] = record.effects;
  if (!effect) return true;
  const [word, other] = words;
  return (
    !more && all === 1 && !isMissing && effect.do === 'set-position' && word?.key === 'E' && !other && isZero(word)
  );
}

/** Of 53 bits, so that two lines hardly ever have the same: FNV-1a twice, from both ends of what it is given. */
function keyOf(buf: Uint8Array, from: number, end: number): number {
  let a = 0x811c9dc5;
  let b = 0x1000193;
  for (let i = from; i < end; i++) {
    const c = buf[i] as number;
    a = Math.imul(a ^ c, 0x01000193);
    b = Math.imul(b + c, 0x85ebca6b) ^ (b >>> 13);
  }
  return (a >>> 0) * 0x200000 + (b >>> 11) + 1;
}

/** Whether the line from `from` to `end` has these bytes. */
export function sameBytes(bytes: Uint8Array, buf: Uint8Array, from: number, end: number): boolean {
  if (bytes.length !== end - from) return false;
  for (let i = 0; i < bytes.length; i++) if (bytes[i] !== buf[from + i]) return false;
  return true;
}
