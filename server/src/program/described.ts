import { IGNORE_WORD } from '../check/suppress.ts';
import type { BoundCommand } from '../commands/bind.ts';
import { findRecordWord } from '../commands/record.ts';
import { isZero } from '../rules/heatSteps.ts';
import type { Prepared } from '../simulate/context.ts';
import { isLost } from '../simulate/start.ts';
import type { Step } from '../simulate/trace.ts';
import type { Line } from '../syntax/nodes.ts';
import { prepares } from './body.ts';
import type { ProgramContext, ProgramPiece } from './context.ts';
import { findingsOf } from './findings.ts';
import { lackingIn } from './notes.ts';
import type { LineOutline } from './outline.ts';
import { type ProgramLikeness, readingOf } from './reading.ts';
import { valueAt } from './spelled.ts';

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
  readonly reading: ProgramLikeness;
}

/** Lines of one kind, whatever their numbers are within these ranges: one for each number. */
export interface LineKind extends Omit<Remembered, 'bytes'> {
  readonly ranges: readonly Range[];
}

type Range = readonly [least: number, most: number];

const isIn = ([least, most]: Range, n: number): boolean => n >= least && n <= most;

/** Whether each number of a line with this outline is in its range. */
export const areIn = ({ ranges }: LineKind, buf: Uint8Array, outline: LineOutline): boolean =>
  ranges.every((range, i) => isIn(range, valueAt(buf, outline, i)));

/**
 * The ranges of the outline's numbers in which nothing is said of them; null where what a number means is not known, or
 * something is said already.
 */
export function rangesOf(
  { machine }: ProgramContext,
  bytes: Uint8Array,
  outline: LineOutline,
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
export function countsOf(context: ProgramContext, piece: ProgramPiece, { command, before }: Step): [string, number][] {
  const { span } = command.line;
  const text = `${piece.text.slice(span.start, span.end)}\n`;
  const counts = new Map<string, number>();
  const motion = command.node.code === '' ? command.code : piece.motion;
  const own: ProgramPiece = { ...piece, text, begin: before, motion, lines: 1 };
  for (const { rule } of findingsOf(context, [own], before, 'line', new Set()))
    counts.set(rule, (counts.get(rule) ?? 0) + 1);
  return [...counts];
}

export function describe(
  context: ProgramContext,
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
export function isMild({ catalog }: ProgramContext, text: string, steps: readonly Step[]): boolean {
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
