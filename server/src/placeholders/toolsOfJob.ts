import { exact } from './bounds.ts';
import type { Env, Value } from './value.ts';
import type { Name, Vocabulary } from './vocabulary.ts';

// The tool in use is one of those that the job uses, and each of them is listed once, by rising numbers.

/** The names under which a vocabulary has the tools of a job. */
interface ToolNames {
  readonly list: Name;
  /** The list as the vocabulary's built-in names have it, and as the file calls it. */
  readonly isList: (used: string) => boolean;
  readonly isInUse: (used: string) => boolean;
  /** The element's own name that is its number. */
  readonly number: Name;
}

function toolNames({ names, standIns }: Vocabulary): ToolNames | null {
  const real = (name: string): string => standIns?.get(name) ?? name;
  const [list, inUse] = [names.get(real('tools')), names.get(real('tool.number'))];
  const number = list?.items?.find(({ rising }) => rising);
  if (list?.kind !== 'list' || !inUse || !number) return null;
  return {
    list,
    number,
    isList: (used) => real(used) === list.name,
    isInUse: (used) => real(used) === inUse.name,
  };
}

/** With more tools than these there are too many cases. */
const MOST_TOOLS = 3;

/**
 * Every job is in one of these: which tools it uses, and which of them is in use. null: there are too many, or there is
 * one alone.
 */
export function toolCases(
  vocabulary: Vocabulary,
  all: Env,
): { readonly name: string; readonly envs: readonly Env[] } | null {
  const tools = toolNames(vocabulary);
  const any = tools && all(tools.list.name);
  const { lo, hi } = tools?.number.range ?? { lo: 0, hi: 0 };
  if (!tools || any?.type !== 'list' || !any.each || hi <= lo || hi - lo >= MOST_TOOLS) return null;
  const { each } = any;
  const numbers = Array.from({ length: hi - lo + 1 }, (_, i) => lo + i);
  const envs = subsetsOf(numbers)
    .filter(({ length }) => length >= any.length.lo && length <= any.length.hi)
    .flatMap((used) => {
      const items = used.map((n) => new Map([...each, [tools.number.name, exactly(n)]]));
      const list: Value = { ...any, length: exact(used.length), items };
      return used.map((inUse): Env => {
        const value = exactly(inUse);
        return (name) => (tools.isList(name) ? list : tools.isInUse(name) ? value : all(name));
      });
    });
  return { name: tools.list.name, envs };
}

const exactly = (n: number): Value => ({ type: 'number', ...exact(n) });

/** Each set of one and more of these, in their order. */
const subsetsOf = (numbers: readonly number[]): (readonly number[])[] =>
  Array.from({ length: 2 ** numbers.length - 1 }, (_, set) => numbers.filter((_, i) => (set + 1) & (1 << i)));
