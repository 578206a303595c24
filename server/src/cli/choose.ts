import type { Severity } from '../rules/rule.ts';
import { isTold } from './levels.ts';
import type { FileReport } from './report.ts';

/** A report as it is told, and how many of its findings are not. */
export interface Chosen {
  readonly told: FileReport;
  readonly left: number;
}

/** Leaves out what is weaker than asked for, and what comes after the first `most` over all reports. */
export function chooser(least: Severity, most: number | null): (told: FileReport) => Chosen {
  let room = most ?? Number.POSITIVE_INFINITY;
  const take = <T extends { readonly severity: Severity }>(all: readonly T[]): readonly T[] => {
    const taken = all.filter(({ severity }) => isTold(severity, least)).slice(0, room);
    room -= taken.length;
    return taken;
  };
  return (told) => {
    const findings = take(told.findings);
    const undecided = take(told.undecided);
    const left = told.findings.length - findings.length + told.undecided.length - undecided.length;
    return { told: { ...told, findings, undecided }, left };
  };
}

/** How many findings of a severity a report has, those counted that a long program has no places for. */
export function countOf({ findings }: FileReport, severity: Severity): number {
  const rules = new Map<string, number>();
  let sum = 0;
  for (const finding of findings) {
    if (finding.severity !== severity) continue;
    if (finding.count === 1) sum++;
    else rules.set(finding.rule, finding.count);
  }
  for (const count of rules.values()) sum += count;
  return sum;
}

export const hasError = ({ findings }: FileReport): boolean => findings.some(({ severity }) => severity === 'error');
