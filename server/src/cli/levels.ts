import type { Severity } from '../rules/rule.ts';

/** Severities, the worst first. */
export const RULE_LEVELS: readonly Severity[] = ['error', 'warning', 'info', 'hint'];

/** Whether a finding is told where nothing weaker than `least` is. */
export const isTold = (severity: Severity, least: Severity): boolean =>
  RULE_LEVELS.indexOf(severity) <= RULE_LEVELS.indexOf(least);
