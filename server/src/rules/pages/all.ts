import type { Rule } from '../rule.ts';
import { CONTROLLER } from './controller.ts';
import { EXTRUSION } from './extrusion.ts';
import { HAND_OVER } from './handOver.ts';
import { HEAT } from './heat.ts';
import { MOTION } from './motion.ts';
import { ORDER } from './order.ts';
import type { Page, Subject } from './page.ts';

export type { Example, Page, Subject } from './page.ts';

import { PLACEHOLDERS } from './placeholders.ts';
import { PROTECTION } from './protection.ts';
import { TEXT } from './text.ts';

/** Every subject, in the order of the reference. */
export const SUBJECTS: readonly Subject[] = [
  TEXT,
  PLACEHOLDERS,
  ORDER,
  MOTION,
  EXTRUSION,
  HEAT,
  HAND_OVER,
  PROTECTION,
  CONTROLLER,
];

const PAGES: ReadonlyMap<string, Page> = new Map(SUBJECTS.flatMap(({ pages }) => Object.entries(pages)));

/** The page of a rule. Each has one: a test holds it. */
export const pageOf = ({ id }: Pick<Rule, 'id'>): Page => PAGES.get(id) as Page;

/** The title of the subject that a rule is listed under. */
export const subjectOf = ({ id }: Pick<Rule, 'id'>): string | undefined =>
  SUBJECTS.find(({ pages }) => id in pages)?.title;

/** The rules of each subject, in its order; subjects without one are left out. */
export function bySubject(rules: readonly Rule[]): { readonly title: string; readonly rules: readonly Rule[] }[] {
  const byId = new Map(rules.map((rule) => [rule.id, rule]));
  return SUBJECTS.map(({ title, pages }) => ({
    title,
    rules: Object.keys(pages).flatMap((id) => byId.get(id) ?? []),
  })).filter((subject) => subject.rules.length > 0);
}
