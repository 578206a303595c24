import { RULES } from '../rules/all.ts';
import type { Finding, Rule } from '../rules/rule.ts';
import type { Budget } from '../syntax/budget.ts';
import type { Tree } from '../syntax/nodes.ts';

// A text that is too long is checked up to some line. What is said of that part must hold for the whole.

/**
 * Rules that judge by what stands further down, or by how a text ends. What the run does not know at its end they leave
 * open by themselves; these look at the text's own lines as well, so that they would tell what the rest may put right.
 */
const BY_THE_REST: ReadonlySet<string> = new Set([
  'cold-allowed',
  'e-mode-left',
  'e-not-reset',
  'factors-left',
  'fan-handed-over',
  'fan-left-on',
  'feed-mode-left',
  'goes-on-cold',
  'heat-left-on',
  'level-lost',
  'limits-off',
  'modes-left',
  'nozzle-hot-while-bed-warms',
  'numbered-text',
  'offset-left',
  'plane-left',
  'stray-percent',
  'tool-left',
  'unhomed-allowed',
  'unretract-missing',
]);

/** The id of the finding that a text was checked in part. */
export const IN_PART = 'checked-in-part';

/** The rules for a text of which only the first part was read. */
export const OF_A_PART: readonly Rule[] = RULES.filter(({ id }) => !BY_THE_REST.has(id));

/** How much of a text was read, as the ends of sentences. */
export interface ReadPart {
  /** "up to line 75,000 of 208,335"; null: not even line 1. */
  readonly upTo: string | null;
  /** "more than 300,000 tokens (…)". */
  readonly has: string;
}

/** What of a text was read; null where all was. */
export function readPart({ text, rest }: Pick<Tree, 'text' | 'rest'>, { most, tag }: Budget): ReadPart | null {
  if (!rest) return null;
  const read = rowsIn(text, 0, rest.start);
  const all = read + rowsIn(text, rest.start, text.length) + 1;
  return {
    upTo: read === 0 ? null : `up to line ${figure(read)} of ${figure(all)}`,
    has: `more than ${figure(most)} tokens (letters and numbers of commands; a placeholder counts as ${tag})`,
  };
}

/** The finding that tells what of a text was checked; null where all was. */
export function inPart(tree: Tree, budget: Budget): Finding | null {
  const { rest } = tree;
  const part = readPart(tree, budget);
  if (!rest || !part) return null;
  const what =
    part.upTo === null
      ? `Nothing in this file is checked, because line 1 alone has ${part.has}. Break that line into several.`
      : `This file is checked ${part.upTo}, because it has ${part.has}. From here on nothing is checked. Split it into shorter files.`;
  const message = `${what} A complete job file of any size can be checked under a name such as NAME.gcode, on the command line or with “Check This Job…”.`;
  return { rule: IN_PART, severity: 'warning', span: { start: rest.start, end: rest.start }, message, when: null };
}

/** 1,250,000 */
const figure = (n: number): string => String(n).replace(/\B(?=(\d{3})+$)/g, ',');

/** Ends of line in a stretch of text. */
function rowsIn(text: string, from: number, to: number): number {
  let rows = 0;
  for (let i = from; i < to; i++) {
    const c = text.charCodeAt(i);
    if (c === 10 || (c === 13 && text.charCodeAt(i + 1) !== 10)) rows++;
  }
  return rows;
}
