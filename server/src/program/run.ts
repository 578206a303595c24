import { initialState } from '../simulate/start.ts';
import type { State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { decode } from '../text/decode.ts';
import { noteBody, notePlain } from './body.ts';
import { readPlain } from './careful.ts';
import { type Context, type Piece, runPiece } from './context.ts';
import { enter, type FastState, leave, newFastState, zeroE } from './fastState.ts';
import { aboutBytes, type Collector, findingsOf } from './findings.ts';
import { keptPieces } from './kept.ts';
import { limitsOf } from './limits.ts';
import { commentMarks } from './marks.ts';
import { fileIgnores, type Lacking, lackingIn, noteLacking, noteNuls, type Worst, worstFlow } from './notes.ts';
import { addReading, noProgram, type Reading, readLines } from './reading.ts';
import { newMemory, sameBytes } from './remembered.ts';
import { type Batch, batchEnd, MOST_ROWS } from './rows.ts';
import { scanOf } from './scan.ts';
import { CONTINUES } from './slots.ts';
import { spelledWords } from './spelled.ts';
import { type Still, stillOf } from './still.ts';
import type { Store } from './store.ts';
import { addFilament, addMove, addStep, newSums, type Sums } from './sums.ts';
import { hitsOf, SUSPECTS } from './suspect.ts';
import { newTold, noteStep } from './told.ts';
import { wordsOf } from './words.ts';

/** As `long-line` has it where the machine file says nothing. */
const STANDARD_LINE = 256;

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

/** What a run is bounded by, see `ProgramOptions`. */
export interface RunLimits {
  readonly confirm: number;
  readonly longest: number;
  readonly part: number;
}

export function newRun(context: Context, found: Collector, store: Store, { confirm, longest, part }: RunLimits): Run {
  const { machine } = context;
  const limits = limitsOf(machine);
  const marks = commentMarks(context.tags.delimiters.map(([open]) => open));
  const mostChars = machine?.controller.longestLine ?? STANDARD_LINE;
  const start = initialState('program', machine, context.env);
  const fast = newFastState(store.numbers, start);
  const sums = newSums(store.numbers);
  const scan = scanOf(store, fast, sums, limits, marks, mostChars);
  const told = newTold();
  const ignores = new Set<string>();
  const lacking: Lacking = new Map();
  const kept = keptPieces(context, found, start, ignores, part);
  const memory = newMemory(context, marks);
  /** How often each rule has had something to say of lines that were known already, and were looked at again. */
  const again = new Map<string, number>();
  const worst: Worst = { lines: 0, flow: 0, piece: null };
  const confirmed = SUSPECTS.map(() => 0);
  let pieces = 0;
  let state = start;
  const reading: Reading = { lines: 0, commands: 0 };
  let on = false;
  /** Plain moves may have come: what leads up to them is a program, whatever else is in it. */
  let moves = false;
  /** The next line belongs to the one before it. */
  let forced = false;
  /** Plain-looking lines that may go through the general simulator together. */
  let odd = 1;
  /** The line behind the last ones that did. */
  let behind = 1;
  /** The last line that went through it, if it changed nothing; and the line behind it, or behind its repetitions. */
  let still: Still | null = null;
  let stillNext = 0;

  const toState = (): State => {
    if (!on) return state;
    const now = leave(fast);
    if (fast.filament !== 0) addFilament(sums, now, fast.filament);
    fast.filament = 0;
    return now;
  };

  const general = (buf: Uint8Array, from: number, { end: to, rows, next: goesOn }: Batch, base: number): void => {
    const text = textOf(buf.subarray(from, to));
    const begin = toState();
    const ran = runPiece(context, text, begin, fast.wordsMove);
    const { prepared, trace } = ran;
    if (!moves) readLines(reading, prepared);
    const place = { line: fast.line, offset: base + from, lines: rows, number: pieces++ };
    const piece: Piece = { ...place, text, begin, motion: fast.wordsMove };
    fileIgnores(text, ignores);
    const isAscii = text.length === to - from;
    for (const step of trace.steps) {
      const { span, index, eol } = step.command.line;
      const before = isAscii ? span.start : new TextEncoder().encode(text.slice(0, span.start)).length;
      take(step, piece.line + index, piece.offset + before, () => text.slice(span.start, eol.end));
    }
    state = trace.end;
    fast.wordsMove = ran.motion;
    const bytes = buf.subarray(from, to);
    memory.learn(piece, ran, bytes);
    kept.add(piece, ran, goesOn);
    // Only while lines are not kept one and all: the rules of a whole program see each of those.
    still = kept.isLong() ? stillOf(context, piece, ran, bytes) : null;
    fast.line += rows;
    stillNext = fast.line;
    on = enter(fast, state, told, machine);
    moves ||= on;
  };

  /** @param own The step's line by itself. */
  const take = (step: Step, line: number, offset: number, own: () => string): void => {
    addStep(sums, step);
    noteStep(told, step, machine);
    const feature = lackingIn(step.command, context);
    if (feature !== null) noteLacking(lacking, feature, line);
    noteBody(fast, step, line, offset);
    worstFlow(worst, step, machine, () => {
      const { before: begin, command } = step;
      return { text: own(), line, offset, lines: 1, begin, motion: command.code, number: 0 };
    });
  };

  /** Whether each of these has been told so often that it is only counted; else counts that it is told again. */
  const areTold = (counts: readonly (readonly [string, number])[]): boolean => {
    let all = true;
    for (const [rule, times] of counts) {
      const before = again.get(rule) ?? 0;
      if (before >= confirm) continue;
      again.set(rule, before + times);
      all = false;
    }
    return all;
  };

  /** Where the next line begins, if this one is plain and only needs a closer look or a count; else -1. */
  const careful = (buf: Uint8Array, from: number, base: number): number => {
    let end = from;
    while (buf[end] !== 10 && buf[end] !== 13) end++;
    if (end - from > mostChars) return -1;
    const read = wordsOf(buf, from, end, marks);
    const spelled = read ? null : memory.spelled(buf, from, end);
    // Whether numbers of lines go up only the run over all that is kept can tell.
    if (spelled?.outline.numbered && !kept.isLong()) return -1;
    const words = spelled ? spelledWords(buf, spelled.outline, spelled.spelling, fast.wordsMove) : read;
    const plain = words && readPlain(fast, limits, machine, words);
    if (!plain) return -1;
    const counts = spelled?.spelling.counts;
    if (counts && !areTold(counts)) return -1;
    const hits = hitsOf(machine, plain.move, plain.about);
    if (hits.some((times, i) => times > 0 && (confirmed[i] as number) < confirm)) {
      hits.forEach((times, i) => {
        confirmed[i] = (confirmed[i] as number) + times;
      });
      return -1;
    }
    for (const [rule, times] of counts ?? []) found.more(rule, times);
    hits.forEach((times, i) => {
      if (times > 0) found.more(SUSPECTS[i] as string, times);
    });
    const { line } = fast;
    if (machine?.mostFlow != null && plain.flow > machine.mostFlow * 1.05) {
      worst.lines++;
      if (plain.flow > worst.flow) {
        worst.flow = plain.flow;
        const now = leave(fast);
        worst.piece = {
          text: `${textOf(buf.subarray(from, end))}\n`,
          line,
          offset: base + from,
          lines: 1,
          begin: now,
          motion: plain.code,
          number: 0,
        };
      }
    }
    addMove(sums, plain.move, fast.modes);
    sums.seconds += plain.seconds;
    fast.x = plain.x;
    fast.y = plain.y;
    fast.z = plain.z;
    fast.e = plain.e;
    fast.feed = plain.feed;
    fast.retracted = plain.retracted;
    fast.motion = plain.code;
    fast.wordsMove = plain.code;
    notePlain(fast, plain.move, line, base + from);
    noteLength(end - from);
    fast.line++;
    fast.fastLines++;
    return behindEnd(buf, end);
  };

  /** Where the next line begins, if this one is known to do next to nothing; else -1. */
  const recall = (buf: Uint8Array, from: number): number => {
    if (!on && state.stopped !== false) return -1;
    let end = from;
    while (buf[end] !== 10 && buf[end] !== 13) end++;
    const one = memory.of(buf, from, end);
    if (!one || (one.zeroE && !on)) return -1;
    if (!areTold(one.counts)) return -1;
    for (const [rule, times] of one.counts) found.more(rule, times);
    for (const feature of one.lacking) noteLacking(lacking, feature, fast.line);
    if (!moves) addReading(reading, one.reading);
    if (one.zeroE) zeroE(fast);
    else if (one.prepares && fast.group < CONTINUES) fast.group = 0;
    noteLength(end - from);
    fast.line++;
    return behindEnd(buf, end);
  };

  /** Where the next line begins, if this one is the one before it again, which changed nothing; else -1. */
  const repeat = (buf: Uint8Array, from: number, base: number, again: Still): number => {
    const end = from + again.bytes.length;
    if ((buf[end] !== 10 && buf[end] !== 13) || !sameBytes(again.bytes, buf, from, end) || !areTold(again.counts()))
      return -1;
    for (const step of again.steps) take(step, fast.line, base + from, () => `${again.text}\n`);
    for (const [rule, times] of again.counts()) found.more(rule, times);
    if (!moves) addReading(reading, again.reading);
    noteLength(end - from);
    stillNext = ++fast.line;
    return behindEnd(buf, end);
  };

  const noteLength = (length: number): void => {
    if (length <= fast.longest) return;
    fast.longest = length;
    fast.longestLine = fast.line;
  };

  return {
    fast,
    sums,
    lacking,
    ignores,
    start,
    lines(from, end, base) {
      const buf = store.bytes;
      let p = from;
      while (p < end) {
        if (!forced) {
          if (on) p = scan(p, end, base);
          if (p >= end) break;
          let next = on ? careful(buf, p, base) : -1;
          if (next < 0) next = recall(buf, p);
          if (next < 0 && still && fast.line === stillNext) next = repeat(buf, p, base, still);
          if (next > 0) {
            p = next;
            continue;
          }
        }
        // Where odd lines stand close together, more of them are taken at once, and plain ones between them along.
        odd = fast.line - behind >= FEW ? 1 : Math.min(MOST_ROWS, odd * 2);
        const batch = batchEnd(buf, p, end, on ? odd : MOST_ROWS, forced, longest, fast);
        // One line that is far longer than any controller reads.
        if (batch.longest > longest) this.cut(batch.longest, base + p, batch.nuls);
        else {
          noteNuls(found, batch.nuls, fast.line + batch.nulRow, base + batch.nulAt);
          general(buf, p, batch, base);
        }
        p = batch.end;
        behind = fast.line;
        forced = batch.next;
      }
    },
    state: toState,
    cut(length, base, nuls) {
      noteNuls(found, nuls, fast.line, base);
      found.add(aboutBytes('endless-line', 'error', fast.line, 1, base, endless(length, longest)));
      noteLength(length);
      fast.line++;
    },
    finish() {
      toState();
      const none = moves ? null : noProgram(reading);
      if (none) found.add(none);
      kept.finish();
      if (worst.piece) {
        const [flow] = findingsOf(context, [worst.piece], worst.piece.begin, 'flow', ignores);
        const more = worst.lines > 1 ? ` ${worst.lines} lines feed too fast; this one is the worst.` : '';
        if (flow) {
          found.add({ ...flow, message: `${flow.message}${more}` });
          found.more(flow.rule, worst.lines - 1);
        }
      }
    },
  };
}

/** So many plain lines between two odd ones are read faster by themselves, and the odd ones one by one. */
const FEW = 4;

/** Behind the line end at `end`. */
const behindEnd = (buf: Uint8Array, end: number): number =>
  buf[end] === 13 && buf[end + 1] === 10 ? end + 2 : end + 1;

const endless = (length: number, longest: number): string =>
  `This line is ${length} bytes long, and nothing longer than ${longest} is read: no controller takes a line like that. It is passed over, and what it would do is not counted.`;

const utf8 = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

function textOf(bytes: Uint8Array): string {
  try {
    return utf8.decode(bytes);
  } catch {
    return decode(bytes).text;
  }
}
