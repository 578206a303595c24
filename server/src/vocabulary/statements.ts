import { listOf, quoted } from '../machineFile/complaint.ts';
import { itemPath, tell } from '../machineFile/consistency.ts';
import type { Walk } from '../machineFile/walk.ts';
import type { StatementForm, TagPair } from '../syntax/tagStyle.ts';
import { nearest } from '../text/nearest.ts';
import type { VocabularyRoot } from './schema.ts';

// How sections, loops and settings are written: one form for each way.

/** What is put into a form, by the word in capitals that stands for it. */
const SLOTS: readonly string[] = ['CONDITION', 'ITEM', 'INDEX', 'LIST', 'NAME', 'VALUE'];

/** The slots that a form of each kind may have, and those that it cannot do without; `behind`: a form with none has it behind. */
const OF: Readonly<
  Record<
    StatementForm['is'],
    { readonly may: readonly string[]; readonly needs: readonly string[]; readonly behind?: true }
  >
> = {
  if: { may: ['CONDITION'], needs: [] },
  unless: { may: ['CONDITION'], needs: [] },
  elseIf: { may: ['CONDITION'], needs: [] },
  else: { may: [], needs: [] },
  each: { may: ['ITEM', 'INDEX', 'LIST'], needs: ['LIST'], behind: true },
  switch: { may: ['VALUE'], needs: [] },
  case: { may: ['VALUE'], needs: [] },
  set: { may: ['NAME', 'VALUE'], needs: ['NAME', 'VALUE'] },
  include: { may: ['NAME'], needs: ['NAME'], behind: true },
  end: { may: ['CONDITION', 'LIST', 'NAME'], needs: [] },
};
const KINDS = Object.keys(OF) as readonly StatementForm['is'][];

/** What stands around statements. */
export interface Around {
  readonly pairs: readonly TagPair[];
  readonly lineMarks: readonly string[];
  /** Names of the file. */
  readonly names: ReadonlySet<string>;
}

/** The forms that can be told apart, each without needless spaces. */
export function soundStatements(walk: Walk, given: VocabularyRoot['keywords'], around: Around): StatementForm[] {
  if (!given) return [];
  const kept: StatementForm[] = [];
  const seen = new Map<string, StatementForm['is']>();
  for (const is of KINDS) {
    const list = typeof given[is] === 'string' ? [given[is]] : (given[is] ?? []);
    for (const [i, written] of list.entries()) {
      const path = typeof given[is] === 'string' ? `keywords.${is}` : itemPath(walk, `keywords.${is}`, i);
      const form = written.trim().replace(/\s+/g, ' ');
      const fault = formFault(is, form, around, seen.get(form));
      if (!seen.has(form)) seen.set(form, is);
      if (fault) tell(walk, path, `keywords.${is} is ${quoted(written)}${fault} Until then it counts as left out.`);
      else {
        kept.push({ is, form });
        const slip = slipOf(form);
        if (slip) tell(walk, path, slip, 'warning');
      }
    }
  }
  tellGaps(walk, kept, given, around);
  return kept;
}

function formFault(
  is: StatementForm['is'],
  form: string,
  { pairs, lineMarks, names }: Around,
  other: StatementForm['is'] | undefined,
): string | null {
  if (form === '') return ', which is blank. Write the word, or remove it.';
  if (other !== undefined)
    return other === is
      ? ', which stands there twice. Remove one of them.'
      : `, and so is keywords.${other}: they cannot be told apart. Correct one of them.`;
  if (names.has(form)) return ', which is also a name of this file: it could never be filled in. Rename one of them.';
  return slotFault(is, form) ?? insideFault(form, pairs, lineMarks);
}

function slotFault(is: StatementForm['is'], form: string): string | null {
  const { may, needs, behind } = OF[is];
  const found = slotsIn(form);
  const twice = found.find((slot, i) => found.indexOf(slot) < i);
  if (twice !== undefined) return `, which has ${twice} twice. Write it once.`;
  const alien = found.find((slot) => !may.includes(slot));
  if (alien !== undefined)
    return `, but ${alien} has no meaning there. ${may.length > 0 ? `It may have ${listOf(may)}.` : 'Write the words alone.'}`;
  const lacking = behind && found.length === 0 ? [] : needs.filter((slot) => !found.includes(slot));
  if (lacking.length > 0)
    return `, which does not say where ${lacking.join(' and ')} ${lacking.length > 1 ? 'stand' : 'stands'}. Write for example ${quoted(EXAMPLES[is] ?? '')}.`;
  const words = found.reduce((left, slot) => left.replace(wordOf(slot), ''), form);
  if (words.trim() === '')
    return `, which is nothing but ${listOf(found)}, so every tag would be one. Write the words around it.`;
  const touching = /[A-Z]+ (?=[A-Z]+)/.exec(form)?.[0].trim();
  return touching !== undefined &&
    found.includes(touching) &&
    found.some((slot) => form.includes(`${touching} ${slot}`))
    ? `, in which nothing stands between ${touching} and what follows, so nobody can tell where one ends. Write the word or sign between them.`
    : null;
}

const EXAMPLES: Partial<Record<StatementForm['is'], string>> = {
  each: 'for each ITEM in LIST',
  set: 'set NAME = VALUE',
  include: 'include NAME',
};

const wordOf = (slot: string): RegExp => new RegExp(`(?<![A-Za-z])${slot}(?![A-Za-z])`, 'g');

/** The slots of a form, in its order; one that stands twice twice. */
export const slotsIn = (form: string): string[] =>
  [...form.matchAll(/(?<![A-Za-z])[A-Z]+(?![A-Za-z])/g)].map(([word]) => word).filter((word) => SLOTS.includes(word));

/** A word in capitals that is nearly a slot's. */
function slipOf(form: string): string | null {
  for (const [word] of form.matchAll(/(?<![A-Za-z])[A-Z]{4,}(?![A-Za-z])/g)) {
    const near = SLOTS.includes(word) ? undefined : nearest(word, SLOTS)[0];
    if (near !== undefined)
      return `${quoted(word)} counts as a word that is written like this in the text. Did you mean ${near}, for what is put in?`;
  }
  return null;
}

const holdsStatements = ({ holds }: TagPair): boolean => holds === 'anything' || holds === 'statements';

/** A form that a tag cannot hold, since its own delimiter would end it. */
function insideFault(form: string, pairs: readonly TagPair[], lineMarks: readonly string[]): string | null {
  if (lineMarks.length > 0) return null;
  const signs = pairs
    .filter(holdsStatements)
    .map(({ open, close }) => [close, open].find((one) => one !== '' && form.includes(one)));
  if (signs.length === 0) return null;
  const inside = signs[0];
  return signs.includes(undefined) || inside === undefined
    ? null
    : `, which contains the delimiter ${quoted(inside)}. Write the word alone, without delimiters.`;
}

/** What the forms together lack. */
function tellGaps(
  walk: Walk,
  kept: readonly StatementForm[],
  given: NonNullable<VocabularyRoot['keywords']>,
  { pairs, lineMarks }: Around,
): void {
  const has = (is: StatementForm['is']): boolean => kept.some((one) => one.is === is);
  const opener = (['if', 'unless', 'each', 'switch'] as const).find(has);
  const gap = (message: string): void => tell(walk, 'keywords', message, 'warning');
  if (opener !== undefined && given.end === undefined)
    gap(
      `keywords has “${opener}” and no “end”, so sections are closed by the mark /. Add “end” if this program writes a word there.`,
    );
  if (has('case') && given.switch === undefined)
    gap('keywords has “case” and no “switch”, so no section has such branches. Add “switch”, or remove “case”.');
  if (has('switch') && given.case === undefined)
    gap('keywords has “switch” and no “case”, so its sections have no branches. Add “case”, or remove “switch”.');
  if (kept.length > 0 && lineMarks.length === 0 && !pairs.some(holdsStatements))
    gap(
      'keywords says how sections are written, but no delimiters hold statements. Add a pair with “statements”, or lineStatements.',
    );
}
