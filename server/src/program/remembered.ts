import { ignoredOn } from '../check/suppress.ts';
import type { Prepared } from '../simulate/context.ts';
import type { Step } from '../simulate/trace.ts';
import { slice } from '../text/span.ts';
import { prepares } from './body.ts';
import type { ProgramContext, ProgramPiece, RanPiece } from './context.ts';
import { areIn, countsOf, describe, isMild, type LineKind, type Remembered, rangesOf } from './described.ts';
import { lackingIn } from './notes.ts';
import { type LineOutline, outliner } from './outline.ts';
import { type Spelling, spellingOf } from './spelled.ts';
import { SUSPECTS } from './suspect.ts';

/** A line in the store, without its line end; how it reads is found out where somebody asks. */
export interface Here {
  readonly buf: Uint8Array;
  readonly from: number;
  readonly end: number;
  outline: LineOutline | null | undefined;
}

/** Lines that have been seen, by their bytes, and what lines have in common that differ in their numbers. */
export interface Memory {
  /** What is known of the line, which is no move; null: it has to be run. */
  of(here: Here): Omit<Remembered, 'bytes'> | null;
  /** How the plain move reads that stands there; null: the parser has to read it. */
  spelled(here: Here): { readonly outline: LineOutline; readonly spelling: Spelling } | null;
  /** Takes note of lines that have just been run; `bytes` are theirs. */
  learn(piece: ProgramPiece, ran: RanPiece, bytes: Uint8Array): void;
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

/** Counted by the numbers of a move, see `suspect.ts` and `notes.ts`. */
const JUDGED: ReadonlySet<string> = new Set([...SUSPECTS, 'flow-too-high']);

/** A memory that stays small, and takes but a small share of the time, whatever the lines are. */
export function newMemory(context: ProgramContext, marks: Uint8Array, mostChars: number): Memory {
  const known = new Map<number, Remembered>();
  const kinds = new Map<number, LineKind>();
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

  const outlineOf = (here: Here): LineOutline | null => {
    if (here.outline === undefined) here.outline = read(here.buf, here.from, here.end);
    return here.outline;
  };

  const learnText = (piece: ProgramPiece, prepared: Prepared, steps: readonly Step[], bytes: Uint8Array): void => {
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

  const learnSpelling = (piece: ProgramPiece, prepared: Prepared, steps: readonly Step[], bytes: Uint8Array): void => {
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
      ignored: outline.speaks ? ignoredOn(prepared.tree, line) : new Set<string>(),
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
      return outline && kind && areIn(kind, here.buf, outline) ? kind : null;
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

/** Whether each tag is a value or a comment on one line, so that lines mean what they mean by themselves. */
const standAlone = ({ tags, text }: Prepared['tree']): boolean =>
  tags.every(({ kind, span }) => (kind === 'value' || kind === 'comment') && !/[\r\n]/.test(slice(text, span)));

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
