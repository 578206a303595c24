import type { BoundCommand } from '../commands/bind.ts';
import { isZero } from '../rules/heatSteps.ts';
import { IGNORE_WORD } from '../rules/suppress.ts';
import type { Prepared } from '../simulate/context.ts';
import type { Step } from '../simulate/trace.ts';
import type { Line } from '../syntax/nodes.ts';
import { prepares } from './body.ts';
import type { Context, Piece, Ran } from './context.ts';
import { findingsOf } from './findings.ts';
import { lackingIn } from './notes.ts';
import { type Reading, readingOf } from './reading.ts';
import { type Outline, outliner, type Spelling, spellingOf } from './spelled.ts';
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
  /** How often each rule has something to say of it, whatever the state. */
  readonly counts: readonly (readonly [string, number])[];
  /** What of it the machine lacks. */
  readonly lacking: readonly string[];
  readonly reading: Reading;
}

/** Lines that have been seen, by their bytes, and ways to spell a move. */
export interface Memory {
  /** What is known of the line from `from` to `end`, without its line end; null: it has to be run. */
  of(buf: Uint8Array, from: number, end: number): Remembered | null;
  /** How the plain move reads that stands there; null: the parser has to read it. */
  spelled(
    buf: Uint8Array,
    from: number,
    end: number,
  ): { readonly outline: Outline; readonly spelling: Spelling } | null;
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
const OF_SPELLING: ReadonlySet<string> = new Set(['lower-case']);

/** A memory that stays small, and takes but a small share of the time, whatever the lines are. */
export function newMemory(context: Context, marks: Uint8Array): Memory {
  const known = new Map<number, Remembered>();
  const spellings = new Map<number, Spelling>();
  const seen = new Float64Array(PLACES);
  const outlineOf = outliner(marks);
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

  const learnText = (piece: Piece, prepared: Prepared, steps: readonly Step[], bytes: Uint8Array): void => {
    const [first] = steps as [Step];
    const { line } = first.command;
    const { start: from, end } = line.span;
    const key = keyOf(bytes, from, end);
    if (known.has(key) || !isWorth(key)) return;
    const own = describe(context, prepared, line, steps);
    put(known, key, { ...own, bytes: bytes.slice(from, end), counts: countsOf(context, piece, first) });
  };

  const learnSpelling = (piece: Piece, step: Step, bytes: Uint8Array): void => {
    const { start: from, end } = step.command.line.span;
    const outline = outlineOf(bytes, from, end);
    if (!outline || spellings.has(outline.key) || !isWorth(outline.key)) return;
    const spelling = spellingOf(bytes, outline, step);
    if (!spelling) return;
    // What is said of the move itself is counted by its numbers.
    const counts = countsOf(context, piece, step).filter(([rule]) => !JUDGED.has(rule));
    if (counts.every(([rule]) => OF_SPELLING.has(rule))) put(spellings, outline.key, { ...spelling, counts });
  };

  return {
    of(buf, from, end) {
      if (known.size === 0 || end - from > LONGEST) return null;
      const one = known.get(keyOf(buf, from, end));
      return one && sameBytes(one.bytes, buf, from, end) ? one : null;
    },
    spelled(buf, from, end) {
      if (spellings.size === 0 || end - from > LONGEST) return null;
      const outline = outlineOf(buf, from, end);
      const spelling = outline && spellings.get(outline.key);
      return spelling ? { outline, spelling } : null;
    },
    learn(piece, { prepared, trace }, bytes) {
      lines += piece.lines;
      // Offsets in the text are offsets in the bytes where it is ASCII.
      if (bytes.length !== piece.text.length || trace.end.stopped !== false || prepared.tree.tags.length > 0) return;
      const { steps } = trace;
      for (let i = 0; i < steps.length; ) {
        const step = steps[i] as Step;
        const { line } = step.command;
        const first = i;
        while (steps[i]?.command.line === line) i++;
        if (line.commands.length !== i - first || line.span.end - line.span.start > LONGEST) continue;
        if (step.move) {
          if (i - first === 1) learnSpelling(piece, step, bytes);
        } else if (isMild(context, piece.text, steps.slice(first, i))) {
          learnText(piece, prepared, steps.slice(first, i), bytes);
        }
      }
    },
  };
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
    lacking: commands.flatMap((command) => lackingIn(command, context) ?? []),
    reading: readingOf(prepared, line),
  };
}

/** What speaks of other lines, or to us. */
const SPEAKS = new RegExp(`[{%*]|${IGNORE_WORD}`);
const NUMBERED = /^[ \t]*N/i;

/** Whether lines that read like this do next to nothing, wherever they stand. */
function isMild({ catalog }: Context, text: string, steps: readonly Step[]): boolean {
  if (!steps.every(({ command, move }) => !move && doesLittle(command, steps.length, catalog.isMissing(command.code))))
    return false;
  const { span } = (steps[0] as Step).command.line;
  const own = text.slice(span.start, span.end);
  return !SPEAKS.test(own) && !NUMBERED.test(own) && !own.includes('\0');
}

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
