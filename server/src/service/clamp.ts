import { withKeys } from '../placeholders/elements.ts';
import { boundsEnv, jobEnv } from '../placeholders/environment.ts';
import { asNumber, evaluate } from '../placeholders/evaluate.ts';
import { limited } from '../placeholders/limited.ts';
import type { Edit, Finding } from '../rules/rule.ts';
import { lineAt, wordAt } from '../syntax/at.ts';
import type { Tag, Word } from '../syntax/nodes.ts';
import type { Analysis } from './analyze.ts';
import { ownerOf, ranOf } from './steps.ts';

/** The machine's own names for the two ends of each axis. */
const ENDS = {
  X: ['reach.left', 'reach.right'],
  Y: ['reach.front', 'reach.back'],
  Z: ['reach.bottom', 'reach.top'],
} as const;

const TOLERANCE = 1e-6;

/** The same of the bed, and how far a line stays from its edge: half a bead, and a little. mm. Common practice, no source. */
const BED = { X: ['bed.left', 'bed.right'], Y: ['bed.front', 'bed.back'] } as const;
const MARGIN = 2;

/**
 * Limits the expression behind a word to the machine's reach: `min(part.top + 10, reach.top)`, or to where it may
 * extrude: `max(part.left - 5, bed.left + 2)`. null where that does not
 * help: the value is more than one tag, is a step or shifted, or the reach is not a rectangle along this axis.
 */
export function clampEdit(a: Analysis, finding: Finding, to: 'reach' | 'bed' = 'reach'): Edit | null {
  const line = lineAt(a.tree, finding.span.start);
  const word = wordAt(line, finding.span.start);
  const tag = word && loneTag(word);
  const ends: Partial<Record<string, readonly [string, string]>> = to === 'bed' ? BED : ENDS;
  const margin = to === 'bed' ? MARGIN : 0;
  const key = word?.key;
  const expr = tag && a.expressions.get(tag)?.expr;
  if (!word || !tag || !expr || !key || !Object.hasOwn(ends, key)) return null;
  const axis = key.toLowerCase() as 'x' | 'y' | 'z';
  const area = (to === 'reach' ? a.machine?.reach : null) ?? a.machine?.bed;
  if (axis !== 'z' && area?.shape !== 'rectangle') return null;
  const owner = ownerOf(a, line, word);
  if (!owner || owner.node.named || !placesAre(a, owner, axis)) return null;

  const keyed = withKeys(expr, (name) => a.scopes.find(tag, name)?.key ?? name);
  const env = finding.when ? jobEnv(a.vocabulary, new Map(Object.entries(finding.when))) : boundsEnv(a.vocabulary);
  const value = asNumber(evaluate(keyed, env));
  if (!value) return null;
  const [lowName = '', highName = ''] = ends[key] ?? [];
  const [low, high] = [lowName, highName].map((name) => limitOf(a, tag, name));
  const under = low !== null && low !== undefined && value.lo < low + margin - TOLERANCE;
  const over = high !== null && high !== undefined && value.hi > high - margin + TOLERANCE;
  if (!under && !over) return null;
  const text = limited(a.vocabulary, a.tree, tag, expr, {
    least: under ? { name: lowName, plus: margin } : null,
    most: over ? { name: highName, plus: -margin } : null,
  });
  return text === null ? null : { span: tag.inner, text };
}

function loneTag({ value }: Word): Tag | null {
  const only = value?.type === 'filled' && value.parts.length === 1 ? value.parts[0] : undefined;
  return only && 'type' in only && only.kind === 'value' && only.closed ? only : null;
}

/** Whether the words of a command are the machine's own places along an axis, wherever it runs: no steps, no inches, no offset. */
function placesAre(a: Analysis, command: Parameters<typeof ranOf>[1], axis: 'x' | 'y' | 'z'): boolean {
  const { steps } = ranOf(a, command);
  return (
    steps.length > 0 &&
    steps.every(
      ({ before }) =>
        before.relative === false &&
        before.inches !== true &&
        before.offset[axis]?.lo === 0 &&
        before.offset[axis]?.hi === 0,
    )
  );
}

/** The figure behind one of the machine's names; null where it may not be used here, or the machine does not state it. */
function limitOf(a: Analysis, tag: Tag, name: string): number | null {
  const found = a.scopes.find(tag, name)?.name;
  const range = found?.fromMachine && !found.hidden ? found.range : null;
  return range && range.lo === range.hi ? range.lo : null;
}
