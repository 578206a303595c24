import { type StructuredPatchHunk, structuredPatch } from 'diff';

/** Unchanged rows shown around a change. */
const AROUND = 3;

/**
 * What turns one text into another, as a unified diff (GNU diffutils manual, "Detailed Description of Unified Format");
 * empty where they are the same. Rows end at LF alone, as `patch` has it: a CR in front of it is part of the row.
 * @param name Of the file, in both headings; apply it with `patch -p0` in the folder that the name counts from.
 */
export function unifiedDiff(name: string, before: string, after: string): string {
  if (before === after) return '';
  const heading = `--- ${fileName(name)}\n+++ ${fileName(name)}\n`;
  return heading + hunksOf(before, after).map(hunkText).join('');
}

/** Differences beyond this many rows are told as one big change: the search grows with the square of it. */
const MOST_ROWS = 1500;

/** The changes with the rows around them, by the library; where there are too many, all in one. */
function hunksOf(before: string, after: string): readonly StructuredPatchHunk[] {
  const options = { context: AROUND, maxEditLength: MOST_ROWS };
  const patch = structuredPatch('', '', before, after, undefined, undefined, options);
  return patch?.hunks ?? [bigHunk(rowsOf(before), rowsOf(after))];
}

/** From the first row that differs to the last one. */
function bigHunk(a: readonly string[], b: readonly string[]): StructuredPatchHunk {
  const most = Math.min(a.length, b.length);
  let head = 0;
  while (head < most && a[head] === b[head]) head++;
  let tail = 0;
  while (tail < most - head && a[a.length - 1 - tail] === b[b.length - 1 - tail]) tail++;
  const from = Math.max(0, head - AROUND);
  const [toA, toB] = [a.length - tail, b.length - tail];
  const end = Math.min(a.length, toA + AROUND);
  const lines = [
    ...a.slice(from, head).flatMap((row) => linesOf(' ', row)),
    ...a.slice(head, toA).flatMap((row) => linesOf('-', row)),
    ...b.slice(head, toB).flatMap((row) => linesOf('+', row)),
    ...a.slice(toA, end).flatMap((row) => linesOf(' ', row)),
  ];
  const newLines = toB + end - toA - from;
  return { oldStart: from + 1, oldLines: end - from, newStart: from + 1, newLines, lines };
}

/** With their LF; only the last one may lack it. */
const rowsOf = (text: string): string[] => text.match(/[^\n]*\n|[^\n]+$/g) ?? [];

const linesOf = (sign: string, row: string): string[] =>
  row.endsWith('\n') ? [sign + row.slice(0, -1)] : [sign + row, '\\ No newline at end of file'];

function hunkText({ oldStart, oldLines, newStart, newLines, lines }: StructuredPatchHunk): string {
  const rows = lines.map((row) => `${row}\n`).join('');
  return `@@ -${place(oldStart, oldLines)} +${place(newStart, newLines)} @@\n${rows}`;
}

/** First row, counted from 1, and how many; of no rows the row in front is named. */
function place(start: number, count: number): string {
  if (count === 1) return `${start}`;
  return `${count === 0 ? start - 1 : start},${count}`;
}

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
