import type { BoundCommand } from '../commands/bind.ts';
import type { HeaterKind } from '../machine/effect.ts';
import type { Step, Trace } from '../simulate/trace.ts';
import { once } from '../text/once.ts';

/**
 * Things that stand on lines, for "the nearest one above" or "below": each question takes a look into a sorted list,
 * where going through all of them for every finding would take the square of the text's length.
 */
export class ByLine<T> {
  /** Rising, each once. */
  private readonly lines: readonly number[];
  /** For each of them: the index of the last item up to there, and of the first one from there on. */
  private readonly last: readonly number[];
  private readonly first: readonly number[];

  /** @param items In the order in which "first" and "last" are meant, whatever their lines. */
  constructor(
    readonly items: readonly T[],
    lineOf: (item: T) => number,
  ) {
    const ends = new Map<number, { first: number; last: number }>();
    items.forEach((item, i) => {
      const line = lineOf(item);
      const end = ends.get(line);
      if (end) end.last = i;
      else ends.set(line, { first: i, last: i });
    });
    const sorted = [...ends].sort(([a], [b]) => a - b);
    this.lines = sorted.map(([line]) => line);
    const last = sorted.map(([, end]) => end.last);
    const first = sorted.map(([, end]) => end.first);
    for (let i = 1; i < last.length; i++) last[i] = Math.max(last[i] as number, last[i - 1] as number);
    for (let i = first.length - 2; i >= 0; i--) first[i] = Math.min(first[i] as number, first[i + 1] as number);
    this.last = last;
    this.first = first;
  }

  /** The last one of those on the lines above. */
  above(line: number): T | undefined {
    return this.items[this.last[this.upTo(line - 1) - 1] ?? -1];
  }

  /** The first one of those on the lines below. */
  below(line: number): T | undefined {
    return this.items[this.first[this.upTo(line)] ?? -1];
  }

  /** The index of the first one of those on the lines below; behind the last where there is none. */
  startBelow(line: number): number {
    return this.first[this.upTo(line)] ?? this.items.length;
  }

  /** How many lines with items there are up to this one. */
  private upTo(line: number): number {
    let low = 0;
    let high = this.lines.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.lines[middle] as number) <= line) low = middle + 1;
      else high = middle;
    }
    return low;
  }
}

/** The commands of a text that pass a test, by line; looked for once in each text. */
export function commandsThat(
  test: (command: BoundCommand) => boolean,
): (view: { readonly commands: readonly BoundCommand[] }) => ByLine<BoundCommand> {
  const found = once((all: readonly BoundCommand[]) => new ByLine(all.filter(test), ({ line }) => line.index));
  return ({ commands }) => found(commands);
}

/** The commands of a text that heat this. */
export const heats = (heater: HeaterKind) =>
  commandsThat(({ record }) =>
    Boolean(record?.effects.some((effect) => effect.do === 'heat' && effect.heater === heater)),
  );

/** The commands of a text that heat this and wait for it. */
export const waitsForHeat = (heater: HeaterKind) =>
  commandsThat(({ record }) =>
    Boolean(record?.effects.some((effect) => effect.do === 'heat' && effect.wait && effect.heater === heater)),
  );

/** The steps of a run that pass a test, by line; looked for once in each run. */
export function stepsThat(test: (step: Step) => boolean): (view: { readonly trace: Trace }) => ByLine<Step> {
  const found = once(({ steps }: Trace) => new ByLine(steps.filter(test), ({ command }) => command.line.index));
  return ({ trace }) => found(trace);
}

const byCommand = once(({ steps }: Trace) => {
  const found = new Map<BoundCommand, Step[]>();
  for (const step of steps) {
    const same = found.get(step.command);
    if (same) same.push(step);
    else found.set(step.command, [step]);
  }
  return found;
});

/** The steps in which a command runs: several where a list repeats it; none where it never runs. */
export const stepsOf = ({ trace }: { readonly trace: Trace }, command: BoundCommand): readonly Step[] =>
  byCommand(trace).get(command) ?? [];
