import { ANY_FORM, type Join, type NamedForm, type Takes } from '../../../server/src/syntax/namedForm.ts';

const WORDS = new Map<string, Takes>([
  ['MINUTES', 'number'],
  ['KEY', 'number'],
  ['HE', 'text'],
  ['FAST', 'flag'],
  ['X', 'number'],
]);

const stated = (joins: Join | null, letters: boolean | null): NamedForm => ({ joins, letters, wordsOf: () => WORDS });

/** How named commands may be written, with every sign, with all words declared and with none. */
export const FORMS: readonly NamedForm[] = [
  ANY_FORM,
  { ...ANY_FORM, joins: '', letters: true },
  stated(null, null),
  stated('=', false),
  stated(':', true),
  stated(' ', null),
  stated('', true),
];
