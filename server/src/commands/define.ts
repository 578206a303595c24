import { quantityOf } from './quantity.ts';
import type { CommandRecord, Family, WordDraft, WordRecord } from './record.ts';
import type { WordUnit } from './unit.ts';

/** A record as a family file writes it: lists that are empty may be left out, and practice is the usual source. */
export type RecordDraft = Omit<CommandRecord, 'family' | 'words' | 'effects' | 'cautions' | 'source'> &
  Partial<Pick<CommandRecord, 'effects' | 'cautions' | 'source'>> & { readonly words?: readonly WordDraft[] };

export const PRACTICE = 'common practice, no source';

/** Said where one code means different things on different controllers. */
export const DIFFERS = "This differs between controllers: see the machine's manual.";

/** Said where only some controllers have a command at all. */
export const SOME = "Only some controllers have it: check the machine's manual.";

/** Completes the records of one family. */
export const inFamily =
  (family: Family) =>
  ({ words = [], effects = [], ...draft }: RecordDraft): CommandRecord => ({
    cautions: [],
    source: PRACTICE,
    ...draft,
    family,
    effects,
    words: withQuantities(words, effects),
  });

/** The words of a command with what each is a quantity of. */
export const withQuantities = (words: readonly WordDraft[], effects: CommandRecord['effects']): readonly WordRecord[] =>
  words.map((w) => ({ ...w, quantity: quantityOf(w.key, w.unit, effects) }));

/** The source line for a section of RS-274/NGC as NISTIR 6556 prints it. */
export const nist = (section: string): string => `NISTIR 6556 ${section}`;

/** Of a setting that a line leaves out. */
export const KEEPS = { absent: 'it stays as it is' } as const;

/** One word of a command. */
export const word = (
  key: string,
  meaning: string,
  unit: WordUnit,
  more: Partial<Omit<WordDraft, 'key' | 'meaning' | 'unit'>> = {},
): WordDraft => ({ key, meaning, unit, ...more });

/** A word that is given without a number. */
export const flag = (key: string, meaning: string, more: Partial<WordDraft> = {}): WordDraft => ({
  key,
  meaning,
  unit: 'none',
  value: 'flag',
  ...more,
});

/** Which of several: 0 is the first. */
export const index = (key: string, meaning: string, absent: string): WordDraft =>
  word(key, meaning, 'index', { min: 0, absent });

/** On or off. */
export const onOff = (key: string, meaning: string, absent = 'reports how it is set'): WordDraft =>
  word(key, meaning, 'switch', { min: 0, max: 1, absent });

/** The same word for each axis; `meaning` is followed by the axis letter. */
export const perAxis = (
  meaning: string,
  unit: WordUnit,
  axes = 'XYZ',
  more: Partial<Omit<WordDraft, 'key' | 'meaning' | 'unit'>> = {},
): readonly WordDraft[] => [...axes].map((key) => word(key, `${meaning} ${key}`, unit, more));

/** One word per axis that only picks the axis: `G28 X`. Controllers take and ignore a number behind it. */
export const axisFlags = (meaning: string, axes = 'XYZ'): readonly WordDraft[] =>
  [...axes].map((key) => word(key, `${meaning} ${key}`, 'none', { value: 'optional' }));
