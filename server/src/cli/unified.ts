import { type Change, changedRows } from '../text/diff.ts';

/** Unchanged rows shown around a change. */
const AROUND = 3;

/**
 * What turns one text into another, as a unified diff (GNU diffutils manual, "Detailed Description of Unified Format");
 * empty where they are the same. Rows end at LF alone, as `patch` has it: a CR in front of it is part of the row.
 * @param name Of the file, in both headings; apply it with `patch -p0` in the folder that the name counts from.
 */
export function unifiedDiff(name: string, before: string, after: string): string {
  const a = rowsOf(before);
  const b = rowsOf(after);
  const changes = changedRows(a, b);
  if (changes.length === 0) return '';
  const heading = `--- ${fileName(name)}\n+++ ${fileName(name)}\n`;
  return (
    heading +
    hunksOf(changes)
      .map((hunk) => hunkText(hunk, a, b))
      .join('')
  );
}

/** With their LF; only the last one may lack it. */
const rowsOf = (text: string): string[] => text.match(/[^\n]*\n|[^\n]+$/g) ?? [];

/** Changes whose rows around them meet stand in one hunk. */
function hunksOf(changes: readonly Change[]): Change[][] {
  const hunks: Change[][] = [];
  for (const change of changes) {
    const hunk = hunks[hunks.length - 1];
    const last = hunk?.[hunk.length - 1];
    if (hunk && last && change.fromA - last.toA <= 2 * AROUND) hunk.push(change);
    else hunks.push([change]);
  }
  return hunks;
}

function hunkText(hunk: readonly Change[], a: readonly string[], b: readonly string[]): string {
  const first = hunk[0] as Change;
  const last = hunk[hunk.length - 1] as Change;
  const before = Math.min(AROUND, first.fromA);
  const behind = Math.min(AROUND, a.length - last.toA);
  const rows: string[] = [];
  let at = first.fromA - before;
  for (const { fromA, toA, fromB, toB } of hunk) {
    rows.push(...a.slice(at, fromA).map((row) => line(' ', row)));
    rows.push(...a.slice(fromA, toA).map((row) => line('-', row)), ...b.slice(fromB, toB).map((row) => line('+', row)));
    at = toA;
  }
  rows.push(...a.slice(at, last.toA + behind).map((row) => line(' ', row)));
  const old = place(first.fromA - before, last.toA + behind);
  const now = place(first.fromB - before, last.toB + behind);
  return `@@ -${old} +${now} @@\n${rows.join('')}`;
}

/** First row, counted from 1, and how many; of no rows the row in front is named. */
function place(from: number, to: number): string {
  const count = to - from;
  if (count === 1) return `${from + 1}`;
  return `${count === 0 ? from : from + 1},${count}`;
}

const line = (sign: string, row: string): string =>
  row.endsWith('\n') ? sign + row : `${sign}${row}\n\\ No newline at end of file\n`;

/**
 * A name with control characters or a quote in front is quoted as C quotes it; one with blanks ends at a tab, since
 * readers take what follows a blank for a date.
 */
function fileName(name: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what must not stand in a heading
  if (/[\u0000-\u001f\u007f]|^"/.test(name)) return `"${[...name].map(quoted).join('')}"`;
  return name.includes(' ') ? `${name}\t` : name;
}

function quoted(char: string): string {
  if (char === '"' || char === '\\') return `\\${char}`;
  const code = char.charCodeAt(0);
  return code < 0x20 || code === 0x7f ? `\\${code.toString(8).padStart(3, '0')}` : char;
}
