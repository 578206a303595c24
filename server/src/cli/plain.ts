/** Without control characters: a terminal would act on them, and the text comes from anywhere. Same length. */
export const plain = (text: string): string =>
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
  text.replace(/[\u0000-\u0008\u000a-\u001f\u007f-\u009f\u2028\u2029]/g, '\ufffd');

/** A number of things in words. */
export const plural = (n: number, one: string, many: string): string => `${grouped(n)} ${n === 1 ? one : many}`;

/** A whole number with its thousands apart; the same whatever the language of the machine. */
export const grouped = (n: number): string => String(n).replace(/\B(?=(\d{3})+$)/g, ',');
