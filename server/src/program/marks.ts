import { IGNORE_FILE, IGNORE_NEXT, IGNORE_WORD } from '../check/suppress.ts';

const [LF, CR] = [10, 13] as const;

/** Bytes in a comment that need a closer look: 1 ends the line, 2 may begin a tag or a comment that is meant for us. */
export function commentMarks(tagOpens: readonly string[]): Uint8Array {
  const marks = new Uint8Array(256);
  for (const open of tagOpens) marks[open.charCodeAt(0) & 255] = 2;
  marks[IGNORE_WORD.charCodeAt(0)] = 3;
  marks[0] = 2;
  marks[LF] = 1;
  marks[CR] = 1;
  return marks;
}

/** Where the line ends whose comment begins at `from`; -1 where the comment may mean something. */
export function commentEnd(marks: Uint8Array, buf: Uint8Array, from: number): number {
  let p = from;
  for (;;) {
    const mark = marks[buf[++p] as number] as number;
    if (mark === 0) continue;
    if (mark === 1) return p;
    if (mark === 2) return -1;
    if (speaksToUs(buf, p)) return -1;
  }
}

const bytesOf = (word: string): Uint8Array => Uint8Array.from(word, (char) => char.charCodeAt(0));
const WORD = bytesOf(IGNORE_WORD);
const OF_NEXT = bytesOf(IGNORE_NEXT);
const OF_FILE = bytesOf(IGNORE_FILE);

function standsAt(word: Uint8Array, buf: Uint8Array, p: number): boolean {
  for (let i = 0; i < word.length; i++) if (buf[p + i] !== word[i]) return false;
  return true;
}

/** Whether the word that begins a comment for Bookend stands at `p`. */
export const speaksToUs = (buf: Uint8Array, p: number): boolean => standsAt(WORD, buf, p);

/** The same of one that speaks of the next line. */
export const speaksOfNext = (buf: Uint8Array, p: number): boolean => standsAt(OF_NEXT, buf, p);

/** The same of one that speaks of the whole text. */
export const speaksOfAll = (buf: Uint8Array, p: number): boolean => standsAt(OF_FILE, buf, p);
