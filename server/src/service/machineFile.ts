import { readMachine } from '../machine/load.ts';
import type { Finding } from '../rules/rule.ts';

/** What is wrong with a machine file, at its place in that file. The rule's id is always `machine-file`. */
export function checkMachineFile(text: string): Finding[] {
  return readMachine(text).problems.map(({ span, message, severity }) => ({
    rule: 'machine-file',
    severity,
    span,
    message,
    when: null,
  }));
}
