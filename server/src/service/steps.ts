import type { BoundCommand } from '../commands/bind.ts';
import { join, type Known } from '../placeholders/bounds.ts';
import { boundsEnv } from '../placeholders/environment.ts';
import { wordNumber } from '../placeholders/tags.ts';
import { stepsOf } from '../rules/byLine.ts';
import type { Step } from '../simulate/trace.ts';
import type { Command, Line, Word } from '../syntax/nodes.ts';
import type { Analysis } from './analyze.ts';

/** A command of the text with every step in which it runs. */
export interface Ran {
  readonly command: BoundCommand;
  /** Several where a list repeats it, or where words of it stand in some jobs only. Empty: it never runs. */
  readonly steps: readonly Step[];
}

/** The bound form of a command node; undefined where it has none. Words split off from it stand under a code of their own. */
export function boundOf(a: Analysis, line: Line, node: Command): BoundCommand | undefined {
  const own = a.bound.of(line, node);
  return own.find((command) => command.code === node.code) ?? own[0];
}

/** The command that takes a word: on a line with several commands not always the one in front of it. */
export function ownerOf(a: Analysis, line: Line, word: Word): BoundCommand | undefined {
  return a.bound.taking(line, word);
}

export function ranOf(a: Analysis, command: BoundCommand): Ran {
  return { command, steps: stepsOf(a, command) };
}

/** What is true of all runs together; unknown where it is in one of them, or where there is none. */
export function over(steps: readonly Step[], of: (step: Step) => Known): Known {
  let all: Known = null;
  for (let i = 0; i < steps.length; i++) {
    const value = of(steps[i] as Step);
    if (!value) return null;
    all = i === 0 ? value : join(all, value);
  }
  return all;
}

/** What all runs have in common; null where they differ or nothing runs. */
export function common<T>(steps: readonly Step[], of: (step: Step) => T): T | null {
  const [first, ...rest] = steps;
  if (!first) return null;
  const value = of(first);
  return rest.every((step) => of(step) === value) ? value : null;
}

/**
 * The number behind a word, for every job that comes there: as written, no unit applied. Where it never runs, what the
 * names alone tell of it.
 */
export function numberOf(a: Analysis, { steps }: Ran, word: Word | undefined): Known {
  if (!word?.value) return null;
  const read = steps.flatMap((step) => step.readings.filter((r) => r.word === word));
  if (read.length === 0) return wordNumber(word.value, a.tree.text, a.expressions, boundsEnv(a.vocabulary));
  return read.map((r) => r.written).reduce(join);
}
