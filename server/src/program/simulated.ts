import type { Step } from '../simulate/trace.ts';
import { decode } from '../text/decode.ts';
import { noteBody } from './body.ts';
import { type ProgramPiece, runPiece } from './context.ts';
import { enter } from './fastState.ts';
import { fileIgnores, lackingIn, noteLacking, worstFlow } from './notes.ts';
import { type Ongoing, stateNow } from './ongoing.ts';
import { readLines } from './reading.ts';
import type { Batch } from './rows.ts';
import { stillOf } from './still.ts';
import { addStep } from './sums.ts';
import { noteStep } from './told.ts';

/** Runs whole lines through the parser and the simulator, from the state that holds in front of them. */
export function simulateLines(
  run: Ongoing,
  buf: Uint8Array,
  from: number,
  { end: to, rows, next: goesOn }: Batch,
  base: number,
): void {
  const { context, fast } = run;
  const bytes = buf.subarray(from, to);
  const text = textOf(bytes);
  const begin = stateNow(run);
  const ran = runPiece(context, text, begin, fast.wordsMove);
  const { prepared, trace } = ran;
  if (!run.moves) readLines(run.reading, prepared);
  const place = { line: fast.line, offset: base + from, lines: rows, number: run.pieces++ };
  const piece: ProgramPiece = { ...place, text, begin, motion: fast.wordsMove };
  fileIgnores(text, run.ignores);
  const isAscii = text.length === to - from;
  for (const step of trace.steps) {
    const { span, index, eol } = step.command.line;
    const before = isAscii ? span.start : new TextEncoder().encode(text.slice(0, span.start)).length;
    takeStep(run, step, piece.line + index, piece.offset + before, () => text.slice(span.start, eol.end));
  }
  run.simulatedMoves += trace.steps.filter(({ move }) => move && move.kind !== 'home').length;
  run.state = trace.end;
  fast.wordsMove = ran.motion;
  run.memory.learn(piece, ran, bytes);
  run.kept.add(piece, ran, goesOn);
  // Only while lines are not kept one and all: the rules of a whole program see each of those.
  run.still = run.kept.isLong() ? stillOf(context, piece, ran, bytes) : null;
  fast.line += rows;
  run.stillNext = fast.line;
  run.on = enter(fast, run.state, run.told, context.machine);
  run.moves ||= run.on;
}

/**
 * Counts what a step does.
 * @param line Its line's number, `offset`: the bytes in front of that, `own`: the line by itself.
 */
export function takeStep(
  { context, sums, told, lacking, fast, worst }: Ongoing,
  step: Step,
  line: number,
  offset: number,
  own: () => string,
): void {
  const { machine } = context;
  addStep(sums, step);
  noteStep(told, step, machine);
  const feature = lackingIn(step.command, context);
  if (feature !== null) noteLacking(lacking, feature, line);
  noteBody(fast, step, line, offset);
  worstFlow(worst, step, machine, () => {
    const { before: begin, command } = step;
    return { text: own(), line, offset, lines: 1, begin, motion: command.code, number: 0 };
  });
}

const utf8 = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

/** The text of whole lines, whatever the bytes are. */
export function textOf(bytes: Uint8Array): string {
  try {
    return utf8.decode(bytes);
  } catch {
    return decode(bytes).text;
  }
}
