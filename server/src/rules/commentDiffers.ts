import type { BoundCommand } from '../commands/bind.ts';
import { targetKeys } from '../commands/quantity.ts';
import type { HeaterKind } from '../machine/effect.ts';
import { lineAt } from '../syntax/at.ts';
import type { Line } from '../syntax/nodes.ts';
import { type Span, slice } from '../text/span.ts';
import type { Rule, View } from './rule.ts';
import { num } from './say.ts';

/** A number with its unit, or behind a word that heats: 200 °C, 200 deg, 200C; heat to 200, bed: 60, nozzle 210. */
const WITH_UNIT = /(?<![\w.,-])(\d{2,3})(?: ?°(?: ?C)?| ?C| ?deg(?:rees?)?(?: C(?:elsius)?)?| celsius)(?![\w°])/gi;
const NAMED =
  /\b(?:heat(?:ing|ed|s)?|temp(?:erature)?|bed|nozzle|chamber|hot ?end)(?: (?:up|bed|nozzle|chamber|temp(?:erature)?))?(?: (?:to|at|is)|:| ?=)? (\d{2,3})(?![\w.,°%:/-]| ?(?:mm|min|s|sec|x|%|°|C\b|deg)|\d)/gi;

/** A comment with one of these speaks of more than what its line sets. */
const OTHER =
  /\b(?:was|not|no|instead|max\w*|most|least|min\w*|limit\w*|above|below|under|over|than|until|later|before|after|then|next|first|default\w*|usual\w*|old|from|standby|offset|minus|plus|up to|within|by|per|each|every|or|and|if|when)\b|[<>≤≥±~+]/i;

/** What people call the heaters. */
const CALLED: Record<HeaterKind, RegExp> = {
  nozzle: /nozzle|hot ?end|extruder/i,
  bed: /\bbed\b|plate/i,
  chamber: /chamber/i,
};

/** A comment that states another temperature than its line sets. */
export const commentDiffers: Rule = {
  id: 'comment-differs',
  severity: 'hint',
  title: 'A comment that states another temperature than its line',
  scope: 'line',
  check(view, report) {
    let checked: Line | null = null;
    for (const { line, record } of view.commands) {
      if (line === checked || line.comments.length === 0 || !record?.effects.some((e) => e.do === 'heat')) continue;
      checked = line;
      const differs = differing(view, line);
      if (!differs) continue;
      report({
        span: differs.said,
        message: `The comment says ${slice(view.tree.text, differs.said)} °C, and the line sets ${num(differs.number)}. Change the one that is wrong.`,
      });
    }
  },
  fix(view, { span }) {
    const differs = differing(view, lineAt(view.tree, span.start));
    if (!differs) return [];
    const { said, set, number } = differs;
    const text = slice(view.tree.text, said);
    return [
      {
        title: `Write ${num(number)} in the comment`,
        edits: [{ span: said, text: num(number) }],
        safe: false,
        preferred: true,
      },
      { title: `Set ${text} °C as the comment says`, edits: [{ span: set, text }], safe: false },
    ];
  },
};

interface Differing {
  /** The number in the comment. */
  readonly said: Span;
  /** The number that the command has. */
  readonly set: Span;
  readonly number: number;
}

/** The one temperature that a line sets, and another one, the only one that its comment states; null otherwise. */
function differing({ bound, tree }: View, line: Line): Differing | null {
  const [comment, more] = line.comments;
  const values = bound.on(line).flatMap(targets);
  const value = values[0]?.value;
  if (!comment || more || values.length !== 1 || value?.type !== 'number' || value.number <= 0) return null;
  const text = slice(tree.text, comment.span);
  const others = (Object.keys(CALLED) as HeaterKind[]).filter((kind) => !values.some((v) => v.heater === kind));
  if (OTHER.test(text) || others.some((kind) => CALLED[kind].test(text))) return null;
  const found = [...text.matchAll(WITH_UNIT), ...text.matchAll(NAMED)];
  const [one] = found;
  if (!one?.[1] || found.length > 1 || Number(one[1]) === value.number) return null;
  const start = comment.span.start + one.index + one[0].indexOf(one[1]);
  return { said: { start, end: start + one[1].length }, set: value.span, number: value.number };
}

/** The words that set a heater's target. */
function targets({ record, words }: BoundCommand) {
  const heats = (record?.effects ?? []).flatMap((e) => (e.do === 'heat' ? [e] : []));
  return words.flatMap(({ key, value }) => {
    const heat = heats.find((h) => targetKeys(h).includes(key));
    return heat && value ? [{ heater: heat.heater, value }] : [];
  });
}
