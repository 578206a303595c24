import { bindingLines } from '../commands/bind.ts';
import { catalogFor } from '../commands/catalog.ts';
import type { Machine } from '../machine/machine.ts';
import { scopesOf } from '../placeholders/elements.ts';
import { boundsEnv } from '../placeholders/environment.ts';
import { readingExpressions } from '../placeholders/tags.ts';
import { tagStyleOf, type Vocabulary } from '../placeholders/vocabulary.ts';
import { RULES } from '../rules/all.ts';
import { checking, type Open } from '../rules/check.ts';
import type { Finding, View } from '../rules/rule.ts';
import { suppress } from '../rules/suppress.ts';
import { judging, type Verdict } from '../rules/verdict.ts';
import type { Prepared } from '../simulate/context.ts';
import { simulating } from '../simulate/simulate.ts';
import { parsing } from '../syntax/parse.ts';
import type { Role } from '../syntax/role.ts';
import { MUSTACHE, type TagStyle } from '../syntax/tagStyle.ts';
import { finish, type Pieces } from '../text/pieces.ts';

/** Everything that is known of a text: what the editor features and the command line read. */
export interface Analysis extends View {
  readonly findings: readonly Finding[];
  /** Findings that a comment of the text switches off. */
  readonly ignored: readonly Finding[];
  /** What may happen by the bounds, and no job has shown: neither holds nor fails. */
  readonly open: readonly Open[];
  /** How many rules hold for every job, how many fail, and which cannot be decided. */
  readonly verdict: Verdict;
}

/**
 * The product: what a text in this role means on this machine, for every job that the vocabulary allows.
 * Pure and total: no IO, no clock, no state kept; problems are findings. Without a machine, machine checks are off.
 */
export const analyze = (text: string, role: Role, machine: Machine | null, vocabulary: Vocabulary): Analysis =>
  finish(analyzing(text, role, machine, vocabulary));

/** The same in pieces, for whoever has other things to do meanwhile. */
export function* analyzing(
  text: string,
  role: Role,
  machine: Machine | null,
  vocabulary: Vocabulary,
): Pieces<Analysis> {
  const prepared = yield* preparing(text, role, machine, tagStyleOf(vocabulary));
  const trace = yield* simulating(prepared, boundsEnv(vocabulary));
  const scopes = scopesOf(prepared.tree, prepared.expressions, vocabulary);
  const view: View = { ...prepared, vocabulary, scopes, trace, commands: prepared.bound.all };
  const checked = yield* checking(view, RULES);
  const { findings, ignored } = suppress(prepared.tree, checked.findings, { ids: IDS, open: checked.open });
  return {
    ...view,
    findings,
    ignored,
    open: checked.open,
    verdict: yield* judging(view, RULES, [...findings, ...ignored], checked.open),
  };
}

const IDS: ReadonlySet<string> = new Set(RULES.map(({ id }) => id));

/** Reads a text as far as it does not depend on a job. */
export const prepare = (text: string, role: Role, machine: Machine | null, tags: TagStyle = MUSTACHE): Prepared =>
  finish(preparing(text, role, machine, tags));

/** The same in pieces. */
export function* preparing(
  text: string,
  role: Role,
  machine: Machine | null,
  tags: TagStyle = MUSTACHE,
): Pieces<Prepared> {
  const catalog = catalogFor(machine);
  const tree = yield* parsing(text, { freeText: catalog.freeText, named: catalog.named, tags });
  const bound = yield* bindingLines(tree.lines, catalog);
  return { tree, items: tree.items, role, machine, catalog, bound, expressions: yield* readingExpressions(tree) };
}
