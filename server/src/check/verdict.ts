import { unread } from '../rules/bareTags.ts';
import type { Finding, Rule, View } from '../rules/rule.ts';
import { Pace, type Pieces } from '../text/pieces.ts';
import { crashed, type Open, RULE_FAILED } from './check.ts';

/**
 * What the rules say of a text as a whole. `holds`: shown for every job by the bounds. `fails`: there is a finding.
 * `undecided`: neither, with the reason; it is never counted as holding.
 */
export interface Verdict {
  readonly holds: number;
  readonly fails: number;
  readonly undecided: readonly { readonly rule: string; readonly reason: string }[];
}

/** A verdict, and the rules that crashed while they were asked for the reason of their silence. */
export interface Judged {
  readonly verdict: Verdict;
  readonly crashes: readonly Finding[];
}

/** Counts every rule once, in pieces. */
export function* judging(
  view: View,
  rules: readonly Rule[],
  findings: readonly Finding[],
  open: readonly Open[],
): Pieces<Judged> {
  const pace = new Pace();
  const failing = new Set(findings.map((f) => f.rule));
  const failed = new Set(findings.flatMap(({ rule, about }) => (rule === RULE_FAILED && about ? [about] : [])));
  const crashes: Finding[] = [];
  let holds = 0;
  let fails = 0;
  const first = new Map<string, Open>();
  for (const one of open) if (!first.has(one.rule)) first.set(one.rule, one);
  const undecided: { rule: string; reason: string }[] = [];
  const nothingSaid = unread(view);
  for (const rule of rules) {
    if (pace.due(1 + (view.commands.length >> 4))) yield;
    const left = first.get(rule.id);
    const reason = left
      ? `no job was found that shows it, and none is ruled out: ${left.message}`
      : failed.has(rule.id)
        ? FAILED
        : (reasonOf(rule, view, crashes) ?? nothingSaid);
    if (failing.has(rule.id)) fails++;
    else if (reason) undecided.push({ rule: rule.id, reason });
    else if (view.tree.rest) undecided.push({ rule: rule.id, reason: 'only part of the text was checked' });
    else holds++;
  }
  return { verdict: { holds, fails, undecided }, crashes };
}

const FAILED = 'the rule failed on this text';

function reasonOf(rule: Rule, view: View, crashes: Finding[]): string | null {
  try {
    return rule.blind?.(view) ?? null;
  } catch (error) {
    crashes.push(crashed(rule, error, null));
    return FAILED;
  }
}
