import { unread } from '../rules/bareTags.ts';
import type { Finding, Report, Rule, Unstated, View } from '../rules/rule.ts';
import { Pace, type Pieces } from '../text/pieces.ts';
import { crashed, type Open, RULE_FAILED } from './check.ts';

/**
 * What the rules say of a text as a whole. `holds`: shown for every job by the bounds. `fails`: there is a finding.
 * `undecided`: neither, with the reason; it is never counted as holding. `unasked`: it judges by a fact that nobody has
 * stated, which is one gap for all texts, whatever this one says; never counted as holding either.
 */
export interface Verdict {
  readonly holds: number;
  readonly fails: number;
  readonly undecided: readonly Doubt[];
  readonly unasked: readonly Doubt[];
}

/** A verdict, and the rules that crashed while they were asked for the reason of their silence. */
export interface Judged {
  readonly verdict: Verdict;
  readonly crashes: readonly Finding[];
}

/** A rule that neither holds nor fails, and why. */
export interface Doubt {
  readonly rule: string;
  readonly reason: string;
}

/** Whether part of a text is read otherwise by the machine than by the run, so that writing its lines out may tell more. */
export const isReadInPart = (view: View): boolean => unread(view) !== null || (view.trace.cut && !view.tree.rest);

/** Counts every rule once, in pieces. */
export function* judging(
  view: View,
  rules: readonly Rule[],
  findings: readonly Finding[],
  open: readonly Open[],
  spelled: View | null = null,
): Pieces<Judged> {
  const pace = new Pace();
  const failing = new Set(findings.map((f) => f.rule));
  const failed = new Set(findings.flatMap(({ rule, about }) => (rule === RULE_FAILED && about ? [about] : [])));
  const crashes: Finding[] = [];
  let holds = 0;
  let fails = 0;
  const first = new Map<string, Open>();
  for (const one of open) if (!first.has(one.rule)) first.set(one.rule, one);
  const undecided: Doubt[] = [];
  const unasked: Doubt[] = [];
  const nothingSaid = unread(view);
  const other = spelled && unread(spelled) === null && oddNumbers(spelled) <= oddNumbers(view) ? spelled : null;
  for (const rule of rules) {
    if (pace.due(1 + (view.commands.length >> 4))) yield;
    const left = first.get(rule.id);
    const blind = reasonOf(rule, view, crashes);
    if (failing.has(rule.id)) fails++;
    else if (left)
      undecided.push({
        rule: rule.id,
        reason: `no job was found that shows it, and none is ruled out: ${left.message}`,
      });
    else if (failed.has(rule.id)) undecided.push({ rule: rule.id, reason: FAILED });
    else if (isUnstated(blind)) unasked.push({ rule: rule.id, reason: blind.reason });
    else {
      const reason = blind ?? (rule.reads === 'tags' ? null : nothingSaid);
      if (reason && !(other && rule.reads !== 'tags' && isSilent(rule, other)))
        undecided.push({ rule: rule.id, reason });
      else if (view.tree.rest) undecided.push({ rule: rule.id, reason: 'only part of the text was checked' });
      else holds++;
    }
  }
  return { verdict: { holds, fails, undecided, unasked }, crashes };
}

const FAILED = 'the rule failed on this text';

/** Letters where a number belongs, as written: what a machine makes of the rest of such a line is not known. */
const oddNumbers = ({ tree }: View): number => tree.problems.filter(({ kind }) => kind === 'bad-number').length;

const isUnstated = (blind: string | Unstated | null): blind is Unstated => typeof blind === 'object' && blind !== null;

/** Whether a rule says by its silence that it holds for every job of a text. */
function isSilent(rule: Rule, view: View): boolean {
  const reports: Report[] = [];
  try {
    rule.check(view, (report) => reports.push(report));
  } catch {
    return false;
  }
  // One that crashes there says nothing by its silence; of this text it is told.
  return reports.length === 0 && reasonOf(rule, view, []) === null;
}

function reasonOf(rule: Rule, view: View, crashes: Finding[]): string | Unstated | null {
  try {
    return rule.blind?.(view) ?? null;
  } catch (error) {
    crashes.push(crashed(rule, error, null));
    return FAILED;
  }
}
