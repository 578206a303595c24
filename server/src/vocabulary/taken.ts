import { quoted } from '../machineFile/complaint.ts';
import { tell } from '../machineFile/consistency.ts';
import type { Walk } from '../machineFile/walk.ts';

/** A sign or words without needless spaces. */
export const plain = (written: string): string => written.trim().replace(/\s+/g, ' ');

/** What signs and words are taken, and for what: each may mean one thing. */
export class Taken {
  private readonly by = new Map<string, string>();
  constructor(
    private readonly walk: Walk,
    private readonly quotes: readonly string[],
  ) {}

  /** Takes a sign or word for what stands at the path; tells why it cannot be, and then gives null. */
  take(written: string, path: string, at = path): string | null {
    const word = plain(written);
    const other = this.by.get(word);
    const fault =
      other !== undefined && other !== path
        ? `, and so is ${other}: they cannot be told apart. Correct one of them.`
        : signFault(word, this.quotes);
    if (fault === null) {
      this.by.set(word, path);
      return word;
    }
    tell(this.walk, at, `${path} is ${quoted(written)}${fault} Until then it is not used.`);
    return null;
  }

  /** What a word is taken for; undefined: nothing. */
  for = (word: string): string | undefined => this.by.get(word);
}

/** Why nobody could read this as a sign or word between values. */
function signFault(written: string, quotes: readonly string[]): string | null {
  if (written === '') return ', which is blank. Write the sign or word, or remove it.';
  if (/[\r\n]/.test(written)) return ', which goes over a line end. Write it on one line.';
  const quote = quotes.find((one) => written.includes(one));
  if (quote !== undefined) return `, which contains ${quote}, in which texts stand. Write another one.`;
  if (/[(),]/.test(written)) return ', which contains a bracket or comma of a call. Write another one.';
  if (/^[\p{N}.]/u.test(written)) return ', which begins as a number does. Write another one.';
  for (const part of written.split(' '))
    if (/[\p{L}\p{N}_]/u.test(part) && /[^\p{L}\p{N}_.'-]/u.test(part))
      return ', which has letters and signs in one, so nobody can tell where it begins. Write a sign or a word.';
  return null;
}
