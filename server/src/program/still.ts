import { IGNORE_WORD } from '../check/suppress.ts';
import { whole } from '../simulate/afterMove.ts';
import type { State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import type { ProgramContext, ProgramPiece, RanPiece } from './context.ts';
import { countsOf } from './described.ts';
import { type ProgramLikeness, readingOf } from './reading.ts';

/**
 * A line that left the state as it found it: where the same line comes again next, it does the same again and the same is
 * said of it. Whatever the line is, and however little is known of the state.
 */
export interface Still {
  /** Without its line end. */
  readonly bytes: Uint8Array;
  readonly steps: readonly Step[];
  readonly text: string;
  readonly reading: Readonly<ProgramLikeness>;
  /** How often each rule has something to say of it. */
  counts(): readonly (readonly [string, number])[];
}

const LONGEST = 200;
/** What speaks of other lines, or of this one's number. */
const SPEAKS = new RegExp(`[{%]|${IGNORE_WORD}|^[ \\t]*N|\\0`, 'i');

/** The last line that has just been run, if it changed nothing and the line in front of it was the same. `bytes`: of all lines. */
export function stillOf(
  context: ProgramContext,
  piece: ProgramPiece,
  { prepared, trace }: RanPiece,
  bytes: Uint8Array,
): Still | null {
  const { lines, tags } = prepared.tree;
  const { steps } = trace;
  const line = steps[steps.length - 1]?.command.line;
  if (!line || bytes.length !== piece.text.length || tags.length > 0 || trace.end.stopped !== false) return null;
  const { start: from, end } = line.span;
  const before = lines[line.index - 1]?.span;
  const text = piece.text.slice(from, end);
  if (line.eol.end !== piece.text.length || end - from > LONGEST || SPEAKS.test(text)) return null;
  if (!before || piece.text.slice(before.start, before.end) !== text) return null;
  let first = steps.length - 1;
  while (steps[first - 1]?.command.line === line) first--;
  const own = steps.slice(first);
  const [step] = own as [Step];
  if (own.length !== line.commands.length || !isSame(factsOf(step.before), factsOf(trace.end))) return null;
  let counts: ReturnType<Still['counts']> | null = null;
  return {
    bytes: bytes.slice(from, end),
    steps: own,
    text,
    reading: readingOf(prepared, line),
    counts() {
      counts ??= countsOf(context, piece, step);
      return counts;
    },
  };
}

/** All facts of a state, however it keeps them. */
function factsOf(state: State): State {
  const { x, y, z, e } = state.at;
  return { ...whole(state), at: { x, y, z, e } };
}

/** Whether two facts say the same. */
function isSame(a: unknown, b: unknown): boolean {
  // No fact is NaN, and a zero is a zero.
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  // Tables are made anew when they change.
  if (a instanceof Map || b instanceof Map) return false;
  const of = (one: object, key: string): unknown => (one as Record<string, unknown>)[key];
  // What is left out and what is undefined are one.
  for (const key of Object.keys(b)) if (of(b, key) !== undefined && of(a, key) === undefined) return false;
  return Object.keys(a).every((key) => isSame(of(a, key), of(b, key)));
}
