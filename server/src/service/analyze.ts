import { bindLine } from '../commands/bind.ts';
import { catalogFor } from '../commands/catalog.ts';
import type { Machine } from '../machine/machine.ts';
import { boundsEnv } from '../placeholders/environment.ts';
import { readExpressions } from '../placeholders/tags.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import { RULES } from '../rules/all.ts';
import { check, type Open } from '../rules/check.ts';
import type { Finding, View } from '../rules/rule.ts';
import type { Prepared } from '../simulate/context.ts';
import { simulate } from '../simulate/simulate.ts';
import { parse } from '../syntax/parse.ts';
import type { Role } from '../syntax/role.ts';

/** Everything that is known of a text: what the editor features and the command line read. */
export interface Analysis extends View {
  readonly findings: readonly Finding[];
  /** What may happen by the bounds, and no job has shown: neither holds nor fails. */
  readonly open: readonly Open[];
}

/**
 * The product: what a text in this role means on this machine, for every job that the vocabulary allows.
 * Pure and total: no IO, no clock, no state kept; problems are findings. Without a machine, machine checks are off.
 */
export function analyze(text: string, role: Role, machine: Machine | null, vocabulary: Vocabulary): Analysis {
  const prepared = prepare(text, role, machine);
  const trace = simulate(prepared, boundsEnv(vocabulary));
  const view: View = { ...prepared, vocabulary, trace, commands: prepared.bound.flat() };
  return { ...view, ...check(view, RULES) };
}

/** Reads a text as far as it does not depend on a job. */
export function prepare(text: string, role: Role, machine: Machine | null): Prepared {
  const catalog = catalogFor(machine);
  const tree = parse(text, { freeText: catalog.freeText });
  let motion: string | null = null;
  const bound = tree.lines.map((line) => {
    const commands = bindLine(line, catalog, motion);
    for (const command of commands) if (command.record?.group === 'motion') motion = command.code;
    return commands;
  });
  return { tree, items: tree.items, role, machine, catalog, bound, expressions: readExpressions(tree) };
}
