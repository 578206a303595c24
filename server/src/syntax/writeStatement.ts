import { formsFor, withSlots } from './forms.ts';
import {
  type FormSlot,
  marksOf,
  type StatementForm,
  type StatementKind,
  statementPair,
  type TagLanguage,
  writtenIn,
} from './tagStyle.ts';

/** What is put into a statement's places. */
export type SlotTexts = { readonly [slot in FormSlot]?: string };

/** A statement as a language writes it: a tag, or a whole row of its own. */
export interface WrittenStatement {
  readonly text: string;
  readonly isRow: boolean;
  /** The form by which it is written; absent: a mark. */
  readonly form?: StatementForm;
}

const MARKS: Readonly<Partial<Record<StatementKind, string>>> = { if: '#', unless: '^', each: '#', end: '/' };

/**
 * A statement of a language: by one of its forms of which all places can be filled, else by a mark of the Mustache
 * specification where it has that; null where it has neither.
 * @param opener The form that opened what an `end` or `else` belongs to.
 */
export function statementText(
  language: TagLanguage,
  is: StatementKind,
  slots: SlotTexts = {},
  opener?: StatementForm,
): WrittenStatement | null {
  for (const form of formsFor(language.statements, is, opener)) {
    const content = withSlots(form, slots);
    const framed = content === null ? null : frame(language, content);
    if (framed) return { ...framed, form };
  }
  const mark = MARKS[is];
  if (mark === undefined || !marksOf(language).includes(mark)) return null;
  const inner = is === 'end' ? '' : (slots.LIST ?? slots.CONDITION);
  const pair = statementPair(language);
  if (inner === undefined || !pair || pair.close === '') return null;
  const wide = pair.open.length > 1;
  const text = inner === '' ? mark : wide ? `${mark} ${inner} ` : `${mark}${inner}`;
  return { text: `${pair.open}${text}${pair.close}`, isRow: false };
}

function frame(language: TagLanguage, content: string): WrittenStatement | null {
  const [mark] = language.lineMarks;
  const own = language.pairs.find(({ holds }) => holds === 'statements');
  if (mark !== undefined && !own) return { text: `${mark}${content}`, isRow: true };
  const pair = own ?? statementPair(language);
  return pair ? { text: writtenIn(pair, content), isRow: false } : null;
}
