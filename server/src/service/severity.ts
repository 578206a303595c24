import type { RuleSeverity } from '../machine/machine.ts';
import type { Finding } from '../rules/rule.ts';

/** How findings count, by rule; a rule that is absent keeps its own severity. */
export type Severities = ReadonlyMap<string, RuleSeverity>;

/** The findings with the severity that a person has chosen, and none of the rules that are off. */
export function weighed(findings: readonly Finding[], severities: Severities): readonly Finding[] {
  if (severities.size === 0) return findings;
  return findings.flatMap((finding) => {
    const severity = severities.get(finding.rule);
    if (severity === undefined || severity === finding.severity) return [finding];
    return severity === 'off' ? [] : [{ ...finding, severity }];
  });
}

/** The machine file's choices, and over them those of the person's own settings. */
export const severitiesOf = (machine: Severities | undefined, own: Severities): Severities =>
  machine && machine.size > 0 ? new Map([...machine, ...own]) : own;
