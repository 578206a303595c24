import { unread } from '../rules/bareTags.ts';
import type { Finding, Rule, View } from '../rules/rule.ts';
import { finish, Pace, type Pieces } from '../text/pieces.ts';
import type { Open } from './check.ts';

/**
 * What the rules say of a text as a whole. `holds`: shown for every job by the bounds. `fails`: there is a finding.
 * `undecided`: neither, with the reason; it is never counted as holding.
 */
export interface Verdict {
  readonly holds: number;
  readonly fails: number;
  readonly undecided: readonly { readonly rule: string; readonly reason: string }[];
}

/** Counts every rule once. */
export const verdictOf = (
  view: View,
  rules: readonly Rule[],
  findings: readonly Finding[],
  open: readonly Open[],
): Verdict => finish(judging(view, rules, findings, open));

/** The same in pieces. */
export function* judging(
  view: View,
  rules: readonly Rule[],
  findings: readonly Finding[],
  open: readonly Open[],
): Pieces<Verdict> {
  const pace = new Pace();
  const failing = new Set(findings.map((f) => f.rule));
  const crashed = failing.has('rule-failed');
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
      : (reasonOf(rule, view) ?? nothingSaid);
    if (failing.has(rule.id)) fails++;
    else if (reason) undecided.push({ rule: rule.id, reason });
    else if (view.tree.rest) undecided.push({ rule: rule.id, reason: 'only part of the text was checked' });
    else if (crashed) undecided.push({ rule: rule.id, reason: 'a rule failed on this text' });
    else holds++;
  }
  return { holds, fails, undecided };
}

function reasonOf(rule: Rule, view: View): string | null {
  try {
    return rule.blind?.(view) ?? null;
  } catch {
    return 'the rule failed on this text';
  }
}
