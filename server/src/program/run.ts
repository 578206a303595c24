import type { State } from '../simulate/state.ts';
import type { ProgramContext } from './context.ts';
import { countMove, newConfirmed, recall, repeat } from './counted.ts';
import type { FastState } from './fastState.ts';
import { aboutBytes, type Collector, findingsOf } from './findings.ts';
import { type Lacking, noteNuls } from './notes.ts';
import { newOngoing, noteLength, type Ongoing, type RunLimits, stateNow } from './ongoing.ts';
import { noProgram } from './reading.ts';
import type { Here } from './remembered.ts';
import { batchEnd, MOST_ROWS } from './rows.ts';
import { scanOf } from './scan.ts';
import { simulateLines } from './simulated.ts';
import type { Store } from './store.ts';
import type { Sums } from './sums.ts';

/** A run over a program, line by line. */
export interface Run {
  readonly fast: FastState;
  readonly sums: Sums;
  readonly lacking: Lacking;
  readonly ignores: ReadonlySet<string>;
  readonly start: State;
  /** Runs the whole lines that lie in the store from `from` to `end`. `base`: bytes of the program in front of its first. */
  lines(from: number, end: number, base: number): void;
  /** Counts a line that is too long to be read, with the NUL bytes in it. */
  cut(length: number, base: number, nuls: number): void;
  /** The findings that only the whole program gives. */
  finish(): void;
  state(): State;
}

/**
 * Each line is taken by the first that can: the fast path (`scan.ts`), what counts lines that are known (`counted.ts`),
 * the general simulator (`simulated.ts`).
 */
export function newRun(context: ProgramContext, found: Collector, store: Store, bounds: RunLimits): Run {
  const run = newOngoing(context, found, store, bounds);
  const { fast, sums, lacking, ignores, start, limits, marks, mostChars } = run;
  const scan = scanOf(store, fast, sums, limits, marks, mostChars);
  const confirmed = newConfirmed();
  const { longest } = bounds;
  /** The next line belongs to the one before it. */
  let forced = false;
  /** Plain-looking lines that may go through the general simulator together. */
  let odd = 1;
  /** The line behind the last ones that did. */
  let behind = 1;

  return {
    ...{ fast, sums, lacking, ignores, start },
    lines(from, end, base) {
      const buf = store.bytes;
      let p = from;
      while (p < end) {
        if (!forced) {
          if (run.on) p = scan(p, end, base);
          if (p >= end) break;
          const here = lineAt(buf, p);
          if ((run.on && countMove(run, confirmed, here, base)) || recall(run, here) || repeat(run, here, base)) {
            p = behindEnd(here);
            continue;
          }
        }
        // Where odd lines stand close together, more of them are taken at once, and plain ones between them along.
        odd = fast.line - behind >= FEW ? 1 : Math.min(MOST_ROWS, odd * 2);
        const batch = batchEnd(buf, p, end, run.on ? odd : MOST_ROWS, forced, longest, fast);
        // One line that is far longer than any controller reads.
        if (batch.longest > longest) this.cut(batch.longest, base + p, batch.nuls);
        else {
          noteNuls(found, batch.nuls, fast.line + batch.nulRow, base + batch.nulAt);
          simulateLines(run, buf, p, batch, base);
        }
        p = batch.end;
        behind = fast.line;
        forced = batch.next;
      }
    },
    state: () => stateNow(run),
    cut(length, base, nuls) {
      noteNuls(found, nuls, fast.line, base);
      found.add(aboutBytes('endless-line', 'error', fast.line, 1, base, endless(length, longest)));
      noteLength(fast, length);
      fast.line++;
    },
    finish: () => finishRun(run),
  };
}

function finishRun(run: Ongoing): void {
  const { found, worst, context, ignores } = run;
  stateNow(run);
  const none = run.moves ? null : noProgram(run.reading);
  if (none) found.add(none);
  run.kept.finish(run.sums.moves - run.simulatedMoves + run.recalled);
  if (!worst.piece) return;
  const [flow] = findingsOf(context, [worst.piece], worst.piece.begin, 'flow', ignores);
  const more = worst.lines > 1 ? ` ${worst.lines} lines feed too fast; this one is the worst.` : '';
  if (flow) found.add({ ...flow, message: `${flow.message}${more}` });
}

/** So many plain lines between two odd ones are read faster by themselves, and the odd ones one by one. */
const FEW = 4;

/** The line that begins at `from`. */
function lineAt(buf: Uint8Array, from: number): Here {
  let end = from;
  while (buf[end] !== 10 && buf[end] !== 13) end++;
  return { buf, from, end, outline: undefined };
}

/** Where the next line begins. */
const behindEnd = ({ buf, end }: Here): number => (buf[end] === 13 && buf[end + 1] === 10 ? end + 2 : end + 1);

const endless = (length: number, longest: number): string =>
  `This line is ${length} bytes long, and nothing longer than ${longest} is read: no controller takes a line like that. It is passed over, and what it would do is not counted.`;
