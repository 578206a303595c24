import { badArc } from '../rules/badArc.ts';
import { mostFed } from '../rules/flowTooHigh.ts';
import { isLost } from '../simulate/start.ts';
import { notePlain } from './body.ts';
import { readPlain } from './careful.ts';
import { type FastState, leave, zeroE } from './fastState.ts';
import { noteLacking } from './notes.ts';
import { areTold, noteLength, type Ongoing } from './ongoing.ts';
import { addReading } from './reading.ts';
import { type Here, sameBytes } from './remembered.ts';
import { takeStep, textOf } from './simulated.ts';
import { CONTINUES } from './slots.ts';
import { type Spelling, spelledWords } from './spelled.ts';
import { addMove } from './sums.ts';
import { hitsOf, SUSPECTS } from './suspect.ts';
import { type Words, wordsOf } from './words.ts';

// Lines of which it is known what they do, and of which nothing new is told: they are counted, and go neither through
// the parser nor through the rules. Each of these returns whether it has taken the line.

/** How often each rule judged by a move's numbers has been looked at with care; by the index of `SUSPECTS`. */
export type Confirmed = number[];

export const newConfirmed = (): Confirmed => SUSPECTS.map(() => 0);

/** A plain move that only needs a closer look or a count. */
export function countMove(run: Ongoing, confirmed: Confirmed, here: Here, base: number): boolean {
  const { fast, found, context, limits, bounds } = run;
  const { from, end } = here;
  const read = readMove(run, here);
  const plain = read && readPlain(fast, limits, context.machine, read.words);
  if (!plain) return false;
  const { spelling } = read;
  if (spelling && !areTold(run, spelling.counts)) return false;
  const hits = hitsOf(plain.move, plain.facts);
  // Where an arc that is none leads, no rule says for certain.
  if (plain.move.arcFault !== null && hits.some((times, i) => times > 0 && SUSPECTS[i] !== badArc.id)) return false;
  if (spelling && spelling.ignored.size > 0)
    SUSPECTS.forEach((rule, i) => {
      if (spelling.ignored.has(rule)) hits[i] = 0;
    });
  if (hits.some((times, i) => times > 0 && (confirmed[i] as number) < bounds.confirm)) {
    hits.forEach((times, i) => {
      confirmed[i] = (confirmed[i] as number) + times;
    });
    return false;
  }
  for (const [rule, times] of spelling?.counts ?? []) found.more(rule, times);
  hits.forEach((times, i) => {
    if (times > 0) found.more(SUSPECTS[i] as string, times);
  });
  noteFlow(run, plain, here, base);
  addMove(run.sums, plain.move, fast.modes);
  run.sums.seconds += plain.seconds;
  if (spelling?.prepares && fast.group < CONTINUES) fast.group = 0;
  follow(fast, plain);
  notePlain(fast, plain.move, fast.line, base + from);
  noteLength(fast, end - from);
  fast.line++;
  fast.fastLines++;
  return true;
}

/** The words of a plain move, and how it is spelled where that is another way than most. */
function readMove(run: Ongoing, here: Here): { readonly words: Words; readonly spelling: Spelling | null } | null {
  const { fast, memory, kept, marks, mostChars } = run;
  const { buf, from, end } = here;
  const words = end - from > mostChars ? null : wordsOf(buf, from, end, marks);
  if (words) return { words, spelling: null };
  const spelled = memory.spelled(here);
  if (!spelled) return null;
  const { outline, spelling } = spelled;
  // Whether numbers of lines go up, and comments are of use, only the run over all that is kept can tell.
  if ((outline.numbered || outline.speaks) && !kept.isLong()) return null;
  const own = spelledWords(buf, outline, spelling, fast.wordsMove, fast.modes);
  return own && { words: own, spelling };
}

type Plain = NonNullable<ReturnType<typeof readPlain>>;

/** The worst flow is looked at in the end. */
function noteFlow({ context, worst, fast }: Ongoing, { flow, code }: Plain, here: Here, base: number): void {
  if (!(flow > mostFed(context.machine))) return;
  worst.lines++;
  if (flow <= worst.flow) return;
  worst.flow = flow;
  const text = `${textOf(here.buf.subarray(here.from, here.end))}\n`;
  const place = { line: fast.line, offset: base + here.from, lines: 1, number: 0 };
  worst.piece = { text, ...place, begin: leave(fast), motion: code };
}

/** The state is the one behind the move. */
function follow(fast: FastState, { x, y, z, e, feed, retracted, code }: Plain): void {
  fast.x = x;
  fast.y = y;
  fast.z = z;
  fast.e = e;
  fast.feed = feed;
  fast.retracted = retracted;
  fast.motion = code;
  fast.wordsMove = code;
}

/** A line that is known to do next to nothing. */
export function recall(run: Ongoing, here: Here): boolean {
  const { fast, found, lacking } = run;
  if (!run.on && run.state.stopped !== false) return false;
  const one = run.memory.of(here);
  if (!one || (one.zeroE && !run.on) || (one.lost && (run.on || !isLost(run.state)))) return false;
  if (!areTold(run, one.counts)) return false;
  for (const [rule, times] of one.counts) found.more(rule, times);
  for (const feature of one.lacking) noteLacking(lacking, feature, fast.line);
  if (!run.moves) addReading(run.reading, one.reading);
  if (one.zeroE) zeroE(fast);
  else if (one.prepares && fast.group < CONTINUES) fast.group = 0;
  noteLength(fast, here.end - here.from);
  fast.line++;
  run.recalled++;
  return true;
}

/** The line before it again, which changed nothing. */
export function repeat(run: Ongoing, { buf, from, end }: Here, base: number): boolean {
  const { fast, found, still } = run;
  if (!still || fast.line !== run.stillNext || !sameBytes(still.bytes, buf, from, end)) return false;
  if (!areTold(run, still.counts())) return false;
  for (const step of still.steps) takeStep(run, step, fast.line, base + from, () => `${still.text}\n`);
  for (const [rule, times] of still.counts()) found.more(rule, times);
  if (!run.moves) addReading(run.reading, still.reading);
  noteLength(fast, end - from);
  run.stillNext = ++fast.line;
  return true;
}
