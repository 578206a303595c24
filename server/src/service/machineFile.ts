import { findNodeAtLocation, type Node } from 'jsonc-parser';
import { quoted } from '../machineFile/complaint.ts';
import { readJson } from '../machineFile/json.ts';
import { readMachine } from '../machineFile/load.ts';
import { spanOf } from '../machineFile/walk.ts';
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

/**
 * The finding at the first sequence that a machine file lists outside of a workspace that is not trusted; null where
 * there is none. `outside`: whether a file lies there, as the machine file names it.
 */
export function listedOutside(text: string, outside: (file: string) => boolean): Finding | null {
  const { root } = readJson(text);
  const sequences = root ? findNodeAtLocation(root, ['sequences']) : undefined;
  for (const property of sequences?.children ?? []) {
    const [key, value] = property.children ?? [];
    const files: readonly Node[] = value?.type === 'array' ? (value.children ?? []) : value ? [value] : [];
    const far = files.find((file) => typeof file.value === 'string' && outside(file.value));
    if (!far) continue;
    const message = `sequences.${key?.value} names ${quoted(String(far.value))}, which lies outside this workspace, and the workspace is not trusted: uses of names are not looked for in it. Trust the workspace, or move the sequence into it.`;
    return { rule: 'machine-file', severity: 'info', span: spanOf(far), message, when: null };
  }
  return null;
}
