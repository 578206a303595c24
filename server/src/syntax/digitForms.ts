/** A form in which the digits of a value are told (`:.Nf`, `d`), as it is looked for: at one place, digits or zeros caught. */
export interface DigitForm {
  readonly at: RegExp;
  /** Whether as many zeros as there are digits stand for N (`:0.N`). */
  readonly zeros: boolean;
}

const escaped = (text: string): string => text.replace(/[\\^$.*+?()[\]{}|/-]/g, '\\$&');

/** @param form With N where the number of digits stands, or without one. */
export function digitForm(form: string): DigitForm {
  const zeros = form.includes('0.N');
  const source = escaped(form).replace('N', zeros ? '(0+)' : '(\\d{1,2})');
  return { at: new RegExp(`${source}(?![\\p{L}\\p{N}_])`, 'yu'), zeros };
}

/** Where the longest of these forms that begins at a place ends; that place where none does. */
export function digitsEnd(text: string, from: number, forms: readonly DigitForm[]): number {
  let end = from;
  for (const { at } of forms) {
    at.lastIndex = from;
    if (at.test(text)) end = Math.max(end, at.lastIndex);
  }
  return end;
}
