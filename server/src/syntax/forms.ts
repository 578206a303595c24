import type { Tag } from './nodes.ts';
import { type FormSlot, opensSection, SLOTS, type StatementForm, type StatementKind } from './tagStyle.ts';

// A statement's form, taken apart once for each language, and what it says of other forms.

/** A word, or a sign of one or more characters, that stands in a form as it is. */
export interface Literal {
  readonly text: string;
  readonly word: boolean;
}

/** A form as the literals in front of its first slot, then each slot with the literals behind it. */
export interface StatementShape {
  readonly form: StatementForm;
  readonly lead: readonly Literal[];
  readonly rest: readonly { readonly slot: FormSlot; readonly behind: readonly Literal[] }[];
}

/** What stands behind a form that has no slot of its own. */
const IMPLIED: Readonly<Record<StatementKind, string>> = {
  if: ' CONDITION',
  unless: ' CONDITION',
  elseIf: ' CONDITION',
  else: '',
  each: ' LIST',
  switch: ' VALUE',
  case: ' VALUE',
  set: ' NAME = VALUE',
  include: ' NAME',
  end: '',
};

const PIECE = /\s+|[\p{L}\p{N}_]+|[()[\]{}]|[^\s\p{L}\p{N}_()[\]{}]+/gu;
const isSlot = (piece: string): piece is FormSlot => (SLOTS as readonly string[]).includes(piece);

/** All forms, those with the longest beginning first, so that `or when` is found before `or`. */
export const formsOf = (statements: readonly StatementForm[]): readonly StatementShape[] =>
  statements
    .flatMap((statement) => takeApart(statement) ?? [])
    .sort((a, b) => lengthOf(b.lead) - lengthOf(a.lead) || lengthOf(allOf(b)) - lengthOf(allOf(a)));

const allOf = ({ lead, rest }: StatementShape): Literal[] => [...lead, ...rest.flatMap(({ behind }) => behind)];
const lengthOf = (literals: readonly Literal[]): number => literals.reduce((sum, { text }) => sum + text.length + 1, 0);

/** null: no literal at all, or two slots with nothing between them that could be told apart. */
function takeApart(form: StatementForm): StatementShape | null {
  const own = form.form.match(PIECE) ?? [];
  const pieces = own.some(isSlot) ? own : ((form.form + IMPLIED[form.is]).match(PIECE) ?? []);
  const lead: Literal[] = [];
  const rest: { slot: FormSlot; behind: Literal[] }[] = [];
  for (const piece of pieces) {
    if (piece.trim() === '') continue;
    const last = rest.at(-1);
    if (isSlot(piece)) {
      if (last && last.behind.length === 0) return null;
      rest.push({ slot: piece, behind: [] });
    } else (last?.behind ?? lead).push({ text: piece, word: /[\p{L}\p{N}_]/u.test(piece) });
  }
  return lead.length + rest.reduce((sum, { behind }) => sum + behind.length, 0) > 0 ? { form, lead, rest } : null;
}

/**
 * For each `end` and `else` that is named after what it belongs to (`endfor`, `/when`, `end if`, `else for`): the forms
 * that may open what it ends. One that is absent belongs to whatever is open.
 */
export function partners(statements: readonly StatementForm[]): ReadonlyMap<StatementForm, ReadonlySet<StatementForm>> {
  const openers = statements.filter(({ is }) => opensSection(is)).map((form) => ({ form, names: namesOf(form) }));
  const found = new Map<StatementForm, ReadonlySet<StatementForm>>();
  for (const form of statements) {
    if (form.is !== 'end' && form.is !== 'else') continue;
    const word = wordsOf(form).join('');
    const front = form.is === 'end' ? /^(end|close|)$/i : /^else$/i;
    const named = openers.filter(({ names }) =>
      names.some((name) => word.endsWith(name) && front.test(word.slice(0, word.length - name.length))),
    );
    if (named.length > 0) found.set(form, new Set(named.map((one) => one.form)));
  }
  return found;
}

/** The forms of a kind, those first that are named after what they belong to; without those named after something else. */
export function formsFor(
  statements: readonly StatementForm[],
  is: StatementKind,
  opener?: StatementForm,
): readonly StatementForm[] {
  const all = statements.filter((one) => one.is === is);
  if (!opener || (is !== 'end' && is !== 'else')) return all;
  const named = partners(statements);
  return [...all.filter((one) => named.get(one)?.has(opener)), ...all.filter((one) => !named.has(one))];
}

/** A form with these texts in its places; null where it has one of which there is no text. */
export function withSlots({ is, form }: StatementForm, texts: { readonly [slot in FormSlot]?: string }): string | null {
  const whole = (form.match(PIECE) ?? []).some(isSlot) ? form : form + IMPLIED[is];
  let lacks = false;
  const written = whole.replace(PIECE, (piece) => {
    if (!isSlot(piece)) return piece;
    const text = texts[piece];
    if (text === undefined) lacks = true;
    return text ?? '';
  });
  return lacks ? null : written;
}

/** How a section that this tag opens is closed, with what the form repeats of it; null where a Mustache mark does. */
export function endOf(statements: readonly StatementForm[], open: Tag | undefined, text: string): string | null {
  const ends = statements.filter(({ is }) => is === 'end');
  const named = partners(statements);
  const fits = (end: StatementForm): boolean => open?.form !== undefined && named.get(end)?.has(open.form) === true;
  const end = ends.find(fits) ?? ends.find((one) => !named.has(one)) ?? ends[0];
  if (!end) return null;
  const repeated = open ? text.slice(open.inner.start, Math.min(open.inner.end, open.inner.start + 100)) : '…';
  return SLOTS.reduce((form, slot) => form.replace(slot, () => repeated), end.form);
}

const wordsOf = ({ form }: StatementForm): string[] =>
  (form.match(/[\p{L}_]+/gu) ?? []).filter((word) => !isSlot(word));

/** What a closer may call an opener: its first word, or all words in front of its first slot. */
function namesOf(form: StatementForm): string[] {
  const [first = ''] = wordsOf(form);
  const lead = takeApart(form)?.lead.flatMap(({ text, word }) => (word ? [text] : [])) ?? [];
  return [...new Set([first, lead.join('')])].filter((name) => name !== '');
}
