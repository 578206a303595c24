import { checking, type Open, type RuleResults } from '../check/check.ts';
import { inPart, OF_A_PART } from '../check/part.ts';
import { suppress } from '../check/suppress.ts';
import { isReadInPart, judging, type Verdict } from '../check/verdict.ts';
import { bindingLines } from '../commands/bind.ts';
import { catalogFor } from '../commands/catalog.ts';
import type { Machine } from '../machine/machine.ts';
import { scopesOf } from '../placeholders/elements.ts';
import { boundsEnv } from '../placeholders/environment.ts';
import { beside, type FirstContact, makingContact } from '../placeholders/firstContact.ts';
import type { Language } from '../placeholders/language.ts';
import { languageFor } from '../placeholders/languageFor.ts';
import { spellOut } from '../placeholders/spellOut.ts';
import { readingExpressions } from '../placeholders/tags.ts';
import { tagStyleOf, type Vocabulary } from '../placeholders/vocabulary.ts';
import { RULES } from '../rules/all.ts';
import type { Finding, View } from '../rules/rule.ts';
import { unknownLanguage } from '../rules/unknownLanguage.ts';
import type { Prepared } from '../simulate/context.ts';
import { simulating } from '../simulate/simulate.ts';
import { type Budget, PROGRAM, readableUntil, SEQUENCE } from '../syntax/budget.ts';
import { parsing } from '../syntax/parse.ts';
import type { Role } from '../syntax/role.ts';
import { MUSTACHE, type TagLanguage } from '../syntax/tagStyle.ts';
import { finish, type Pieces } from '../text/pieces.ts';
import type { Span } from '../text/span.ts';

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
 * @param budget How much of the text is checked; a finding says so where that is not all.
 */
export const analyze = (
  text: string,
  role: Role,
  machine: Machine | null,
  vocabulary: Vocabulary,
  budget: Budget = budgetOf(role),
): Analysis => finish(analyzing(text, role, machine, vocabulary, budget));

/** The same in pieces, for whoever has other things to do meanwhile. */
export function* analyzing(
  text: string,
  role: Role,
  machine: Machine | null,
  vocabulary: Vocabulary,
  budget: Budget = budgetOf(role),
): Pieces<Analysis> {
  const contact = role === 'program' ? null : yield* makingContact(text, vocabulary);
  const prepared = contact
    ? yield* preparingForeign(text, role, machine, contact, budget, languageFor(vocabulary))
    : yield* preparing(text, role, machine, tagStyleOf(vocabulary), budget, languageFor(vocabulary));
  const trace = yield* simulating(prepared, boundsEnv(vocabulary));
  const scopes = scopesOf(prepared.tree, prepared.expressions, vocabulary);
  const view: View = { ...prepared, vocabulary, scopes, trace, contact, commands: prepared.bound.all };
  const checked = withoutForeign(yield* checking(view, view.tree.rest ? OF_A_PART : RULES), view);
  const { findings: left, ignored } = suppress(prepared.tree, checked.findings, { ids: IDS, open: checked.open });
  const note = inPart(prepared.tree, budget);
  const told = note ? [...left, note] : left;
  const spelled = isReadInPart(view) ? yield* spelledOut(view) : null;
  const { verdict, crashes } = yield* judging(view, RULES, [...told, ...ignored], checked.open, spelled);
  return { ...view, findings: [...crashes, ...told], ignored, open: checked.open, verdict };
}

/** The same text over all jobs with each way that a line can turn out on a line of its own; null where that cannot be. */
function* spelledOut(view: View): Pieces<View | null> {
  const { vocabulary, role, machine } = view;
  const text = spellOut(view);
  if (text === null) return null;
  const prepared = yield* preparing(text, role, machine, tagStyleOf(vocabulary));
  const trace = yield* simulating(prepared, boundsEnv(vocabulary));
  const scopes = scopesOf(prepared.tree, prepared.expressions, vocabulary);
  return { ...prepared, vocabulary, scopes, trace, commands: prepared.bound.all };
}

const IDS: ReadonlySet<string> = new Set(RULES.map(({ id }) => id));

/** Reads a text with foreign tags: their values are unknown, and their sections are ones that may be left out. */
function* preparingForeign(
  text: string,
  role: Role,
  machine: Machine | null,
  { text: read, style, foreign }: FirstContact,
  budget: Budget,
  language: Language | undefined,
): Pieces<Prepared> {
  const prepared = yield* preparing(read, role, machine, style, budget, language);
  const places = new Set(foreign.tags.map(({ span }) => span.start));
  // What stands in the tags' place says nothing.
  const expressions = new Map([...prepared.expressions].filter(([tag]) => !places.has(tag.span.start)));
  return { ...prepared, tree: { ...prepared.tree, text }, expressions };
}

/** What was found without what comes from inside or beside a foreign tag: one finding tells of them all. */
function withoutForeign(checked: RuleResults, { contact, tree }: View): RuleResults {
  if (!contact) return checked;
  const places = beside(contact, tree);
  const comesFrom = ({ rule, span }: { readonly rule: string; readonly span: Span }): boolean => {
    if (rule === unknownLanguage.id) return false;
    // The last one that begins before the finding ends is the only one that can hold its end or lie in it at all.
    let [low, high] = [0, places.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((places[middle]?.start ?? 0) <= span.end) low = middle + 1;
      else high = middle;
    }
    const last = places[low - 1];
    return last !== undefined && span.start <= last.end && !(span.start < last.start && span.end > last.end);
  };
  return {
    findings: checked.findings.filter((one) => !comesFrom(one)),
    open: checked.open.filter((one) => !comesFrom(one)),
  };
}

/** How much of a text in this role is checked. */
export const budgetOf = (role: Role): Budget => (role === 'program' ? PROGRAM : SEQUENCE);

/**
 * Reads a text as far as it does not depend on a job.
 * @param budget How much of it is read; default: all.
 */
export const prepare = (
  text: string,
  role: Role,
  machine: Machine | null,
  tags: TagLanguage = MUSTACHE,
  budget?: Budget,
  language?: Language,
): Prepared => finish(preparing(text, role, machine, tags, budget, language));

/** The same in pieces. */
export function* preparing(
  text: string,
  role: Role,
  machine: Machine | null,
  tags: TagLanguage = MUSTACHE,
  budget?: Budget,
  language?: Language,
): Pieces<Prepared> {
  const catalog = catalogFor(machine);
  const until = budget ? readableUntil(text, budget, tags) : text.length;
  const tree = yield* parsing(text, { freeText: catalog.freeText, named: catalog.named, tags, until });
  const bound = yield* bindingLines(tree.lines, catalog);
  return {
    tree,
    items: tree.items,
    role,
    machine,
    catalog,
    bound,
    expressions: yield* readingExpressions(tree, language),
  };
}
