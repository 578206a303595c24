const [LF, CR] = [10, 13] as const;

/** Bytes in a comment that need a closer look: 1 ends the line, 2 may begin a tag or a comment that is meant for us. */
export function commentMarks(tagOpens: readonly string[]): Uint8Array {
  const marks = new Uint8Array(256);
  for (const open of tagOpens) marks[open.charCodeAt(0) & 255] = 2;
  marks['b'.charCodeAt(0)] = 3;
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
    // The word that begins a comment for Bookend, as far as is needed to tell it from others.
    if (buf[p + 1] === 111 && buf[p + 2] === 111 && buf[p + 3] === 107 && buf[p + 4] === 101) return -1;
  }
}
