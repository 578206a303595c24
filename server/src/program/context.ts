import { bindLines } from '../commands/bind.ts';
import { type Catalog, catalogFor } from '../commands/catalog.ts';
import type { Machine } from '../machine/machine.ts';
import { scopesOf } from '../placeholders/elements.ts';
import { boundsEnv } from '../placeholders/environment.ts';
import { readExpressions } from '../placeholders/tags.ts';
import type { Env } from '../placeholders/value.ts';
import { tagStyleOf, type Vocabulary } from '../placeholders/vocabulary.ts';
import type { View } from '../rules/rule.ts';
import { whole } from '../simulate/afterMove.ts';
import type { Prepared } from '../simulate/context.ts';
import { simulate } from '../simulate/simulate.ts';
import type { State } from '../simulate/state.ts';
import type { Step, Trace } from '../simulate/trace.ts';
import { parse } from '../syntax/parse.ts';
import type { Role } from '../syntax/role.ts';
import type { TagLanguage } from '../syntax/tagStyle.ts';

/** What does not change during a check. */
export interface ProgramContext {
  readonly machine: Machine | null;
  readonly vocabulary: Vocabulary;
  readonly catalog: Catalog;
  readonly tags: TagLanguage;
  readonly env: Env;
  /** Told of lines that the parser is given. */
  readonly parsed: (lines: number) => void;
}

/** Lines that go through the general simulator, with the state in which they begin. */
export interface ProgramPiece {
  /** Whole lines with their ends. */
  readonly text: string;
  /** Of the first line, counted from 1. */
  readonly line: number;
  /** Of the first byte. */
  readonly offset: number;
  readonly lines: number;
  readonly begin: State;
  /** The motion that words alone stand for where it begins. A command that could be anything leaves it as it is. */
  readonly motion: string | null;
  /** Counted over all pieces of a program: between two that follow each other only plain moves have been left out. */
  readonly number: number;
}

export function contextOf(
  machine: Machine | null,
  vocabulary: Vocabulary,
  parsed: ProgramContext['parsed'] = () => {},
): ProgramContext {
  return {
    machine,
    vocabulary,
    catalog: catalogFor(machine),
    tags: tagStyleOf(vocabulary),
    env: boundsEnv(vocabulary),
    parsed,
  };
}

/** As `prepare` of the service, with the motion that is in force where each of these offsets begins. */
function prepareLines(
  { machine, catalog, tags, parsed }: ProgramContext,
  text: string,
  motions: readonly { readonly at: number; readonly motion: string | null }[],
  role: Role,
): Prepared {
  const tree = parse(text, { freeText: catalog.freeText, named: catalog.named, tags });
  parsed(tree.lines.length);
  let next = 0;
  const bound = bindLines(tree.lines, catalog, (line, motion) => {
    let now = motion;
    for (let begin = motions[next]; begin && begin.at <= line.span.start; begin = motions[++next]) now = begin.motion;
    return now;
  });
  return { tree, items: tree.items, role, machine, catalog, bound, expressions: readExpressions(tree) };
}

/** Lines that have been run: how they read, the state after them, and what each command did. */
export interface RanPiece {
  readonly prepared: Prepared;
  readonly trace: Trace;
  /** The motion that words alone stand for behind them. */
  readonly motion: string | null;
}

/** Runs lines from a state. */
export function runPiece(context: ProgramContext, text: string, begin: State, motion: string | null): RanPiece {
  const prepared = prepareLines(context, text, [{ at: 0, motion }], 'program');
  const last = prepared.bound.all.findLast(({ record }) => record?.group === 'motion');
  return { prepared, trace: simulate(prepared, context.env, begin), motion: last ? last.code : motion };
}

/** The view over one piece that has been run, where nothing else is looked at. */
export const viewOfRun = (context: ProgramContext, { prepared, trace }: RanPiece): View =>
  asView(context, prepared, trace);

const asView = ({ vocabulary }: ProgramContext, prepared: Prepared, trace: Trace): View => ({
  ...prepared,
  vocabulary,
  scopes: scopesOf(prepared.tree, prepared.expressions, vocabulary),
  trace,
  commands: prepared.bound.all,
});

/** One view over several pieces, as if nothing stood between them. Offsets are of the pieces' joined text. */
export function viewOf(
  context: ProgramContext,
  pieces: readonly ProgramPiece[],
  start: State,
  role: Role = 'program',
): View {
  const starts: number[] = [];
  let text = '';
  for (const piece of pieces) {
    starts.push(text.length);
    text += piece.text;
  }
  const motions = pieces.map(({ motion }, i) => ({ at: starts[i] as number, motion }));
  const prepared = prepareLines(context, text, motions, role);
  const steps: Step[] = [];
  const settings: Step[] = [];
  let end = start;
  let last: Trace | null = null;
  let from = 0;
  const { items } = prepared;
  pieces.forEach((piece, i) => {
    const until = starts[i + 1] ?? Number.POSITIVE_INFINITY;
    let to = from;
    while (to < items.length && placeOf(items[to] as (typeof items)[number]) < until) to++;
    const before = pieces[i - 1];
    const begin = before && piece.number === before.number + 1 ? heatOf(piece.begin, end) : piece.begin;
    last = simulate({ ...prepared, items: items.slice(from, to) }, context.env, begin);
    for (const step of last.steps) steps.push(step);
    for (const step of last.settings) settings.push(step);
    end = last.end;
    from = to;
  });
  const whole = last ?? simulate({ ...prepared, items: [] }, context.env, start);
  const view = asView(context, prepared, { ...whole, start, steps, settings, end });
  return role === 'end' ? { ...view, handedOver: true } : view;
}

/** Plain moves heat nothing: the very same heaters, by which some rules know what they have told. */
const heatOf = (state: State, { nozzles, bed, chamber }: State): State => ({ ...whole(state), nozzles, bed, chamber });

const placeOf = (item: Prepared['items'][number]): number =>
  item.type === 'line' ? item.span.start : item.section.span.start;
