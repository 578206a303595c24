import type { Rule } from './rule.ts';

/** Rules that a reader looks for in one place. */
export interface Subject {
  readonly title: string;
  readonly ids: readonly string[];
}

/** Every rule under one subject, in the order in which the reference lists them. A new rule gets its place here. */
export const SUBJECTS: readonly Subject[] = [
  {
    title: 'Text and numbers',
    ids: [
      'bad-number',
      'unknown-command',
      'unknown-word',
      'missing-word',
      'duplicate-word',
      'two-commands',
      'stray-text',
      'long-line',
      'lower-case',
      'non-ascii',
      'stray-percent',
      'numbered-text',
      'after-end',
      'comment-differs',
      'unused-ignore',
    ],
  },
  {
    title: 'Placeholders',
    ids: [
      'unclosed-placeholder',
      'bad-expression',
      'unknown-language',
      'unknown-placeholder',
      'no-value-here',
      'unit-mismatch',
      'divides-by-zero',
      'always-same',
    ],
  },
  {
    title: 'Order',
    ids: [
      'not-homed',
      'level-before-home',
      'level-lost',
      'cold-probing',
      'hot-homing',
      'nozzle-hot-while-bed-warms',
      'fan-while-heating',
      'tool-not-picked',
      'no-such-tool',
    ],
  },
  {
    title: 'Motion',
    ids: [
      'beyond-reach',
      'below-bed',
      'off-bed',
      'in-keep-out',
      'bad-arc',
      'drag-over-part',
      'low-approach',
      'no-feed',
      'feed-mm-s',
      'feed-too-fast',
    ],
  },
  {
    title: 'Extrusion',
    ids: ['cold-extrusion', 'e-mode-unset', 'e-not-zeroed', 'long-retraction', 'bead-size', 'flow-too-high', 'blob'],
  },
  {
    title: 'Heat',
    ids: [
      'not-awaited',
      'wait-without-target',
      'endless-wait',
      'too-hot',
      'material-range',
      'heat-left-on',
      'fan-left-on',
    ],
  },
  {
    title: 'Hand-over',
    ids: [
      'modes-left',
      'e-mode-left',
      'goes-on-cold',
      'e-not-reset',
      'unretract-missing',
      'tool-left',
      'factors-left',
      'plane-left',
      'feed-mode-left',
      'offset-left',
      'fan-handed-over',
    ],
  },
  {
    title: 'Protection',
    ids: ['cold-allowed', 'limits-off', 'unhomed-allowed', 'heater-protection', 'stored-settings', 'reset-in-sequence'],
  },
];

/** The rules of each subject, in its order; subjects without one are left out. */
export function bySubject(rules: readonly Rule[]): { readonly title: string; readonly rules: readonly Rule[] }[] {
  const byId = new Map(rules.map((rule) => [rule.id, rule]));
  return SUBJECTS.map(({ title, ids }) => ({ title, rules: ids.flatMap((id) => byId.get(id) ?? []) })).filter(
    (subject) => subject.rules.length > 0,
  );
}
