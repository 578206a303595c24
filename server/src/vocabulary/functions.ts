import { getNodeValue, type Node } from 'jsonc-parser';
import { listOf, quoted } from '../machineFile/complaint.ts';
import { spanOf, type Walk } from '../machineFile/walk.ts';
import { type AnyFunction, FUNCTIONS, LENT } from '../placeholders/expr.ts';
import type { LanguageFunction } from '../placeholders/grammar.ts';
import { nearest } from '../text/nearest.ts';
import type { Taken } from './taken.ts';

/** More functions than these are no language that a person uses. */
const MOST = 500;
const GIVES: readonly string[] = ['number', 'text', 'flag'];

/** The functions of a language by its own names. What cannot be used is reported. */
export function readFunctions(walk: Walk, node: Node, taken: Taken): ReadonlyMap<string, LanguageFunction> {
  const functions = new Map<string, LanguageFunction>();
  const report = (at: Node, message: string): void =>
    void walk.problems.push({ span: spanOf(at), message, severity: 'error' });
  if (node.type !== 'object') {
    report(
      node,
      'expressions.functions must be an object in { }, of names to what they stand for. Until then there are none.',
    );
    return functions;
  }
  for (const [i, property] of (node.children ?? []).entries()) {
    const [key, value] = property.children ?? [];
    if (!key || !value) continue;
    if (i >= MOST) {
      report(
        key,
        `expressions.functions has ${node.children?.length} entries; ${MOST} are read. Remove what no sequence needs.`,
      );
      return functions;
    }
    const name = String(key.value).trim().replace(/\s+/g, ' ');
    const fault = nameFault(name, taken);
    if (fault !== null) {
      report(key, `The function ${quoted(name)} ${fault} Until then it is not used.`);
      continue;
    }
    const meant = meantBy(value, name, report);
    if (meant) functions.set(name, meant);
  }
  return functions;
}

function nameFault(name: string, taken: Taken): string | null {
  if (!/^[\p{L}_$][\p{L}\p{N}_$.\- ]*$/u.test(name))
    return 'cannot be read as a name: functions begin with a letter, and have letters, digits, dots, hyphens and spaces. Correct it.';
  const other = taken.for(name);
  return other === undefined ? null : `is also ${other}, so the two cannot be told apart. Correct one of them.`;
}

function meantBy(node: Node, name: string, report: (at: Node, message: string) => void): LanguageFunction | null {
  const ours = [...Object.keys(FUNCTIONS), ...Object.keys(LENT)];
  if (node.type === 'string') {
    const target = String(node.value);
    if (ours.includes(target)) return { is: 'ours', name: target as AnyFunction };
    const near = nearest(target, ours)[0];
    const hint = near === undefined ? ` They are ${listOf(ours)}.` : ` Did you mean ${quoted(near)}?`;
    report(
      node,
      `${quoted(name)} stands for ${quoted(target)}, which is not a function of Bookend’s.${hint} Write what it gives if there is none: { "gives": "number" }. Until then its result is not known.`,
    );
    return null;
  }
  const given: unknown = getNodeValue(node);
  const { gives, range } = (node.type === 'object' ? given : {}) as { gives?: unknown; range?: unknown };
  if (typeof gives !== 'string' || !GIVES.includes(gives)) {
    report(
      node,
      `${quoted(name)} must be one of ${listOf(ours.map(quoted))}, or { "gives": "number" }, "text" or "flag". Until then its result is not known.`,
    );
    return null;
  }
  if (gives !== 'number') {
    if (range !== undefined)
      report(node, `The range of ${quoted(name)} is only for numbers, and it gives a ${gives}. Remove it.`);
    return { is: gives === 'text' ? 'text' : 'flag' };
  }
  const [lo, hi] = Array.isArray(range) && range.length === 2 ? range : [];
  const isRange = typeof lo === 'number' && typeof hi === 'number' && lo <= hi;
  if (range !== undefined && !isRange)
    report(
      node,
      `The range of ${quoted(name)} must be two numbers, the smaller one first, such as [0, 10]. Until then it gives any number.`,
    );
  return { is: 'number', range: isRange ? { lo, hi } : null };
}
