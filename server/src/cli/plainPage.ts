import { plain } from './plain.ts';

/** Columns of a page on a terminal. */
const WIDE = 80;

/**
 * A reference page as plain text for a terminal. Reads the Markdown that the pages are made of: headings, fences,
 * tables, bullet lists and paragraphs, a blank line between each two.
 */
export function plainPage(markdown: string): string {
  const parts = partsOf(markdown).map(partText);
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

/** Cut at blank rows, but for those within a fence. */
function partsOf(markdown: string): string[] {
  const parts: string[][] = [[]];
  let inFence = false;
  for (const row of markdown.split('\n')) {
    if (row.startsWith('```')) inFence = !inFence;
    if (row === '' && !inFence) parts.push([]);
    else parts[parts.length - 1]?.push(row);
  }
  return parts.map((rows) => rows.join('\n'));
}

function partText(part: string): string {
  if (part.startsWith('<!--')) return '';
  if (part.startsWith('```'))
    return part
      .split('\n')
      .slice(1, -1)
      .map((row) => plain(`    ${row}`.trimEnd()))
      .join('\n');
  const heading = /^(#+) (.*)$/.exec(part);
  if (heading) return underlined(plain(inline(heading[2] ?? '')), heading[1] === '#' ? '=' : '-');
  if (part.startsWith('| ')) return tableText(part.split('\n'));
  if (part.startsWith('- '))
    return part
      .split(/\n(?=- )/)
      .map((item) => wrapped(inline(item.slice(2)), '  - ', '    '))
      .join('\n');
  return wrapped(inline(part), '', '');
}

const underlined = (text: string, sign: string): string => `${text}\n${sign.repeat(text.length)}`;

/** Of a table's columns but the last, which takes what is left. */
const WIDEST_COLUMN = 26;

function tableText(rows: readonly string[]): string {
  const cells = rows
    .filter((row) => !/^[|\s-]+$/.test(row))
    .map((row) =>
      row
        .slice(2, -2)
        .split(' | ')
        .map((cell) => inline(cell).trim()),
    );
  const last = Math.max(...cells.map((row) => row.length)) - 1;
  const widths = Array.from({ length: last }, (_, i) =>
    Math.min(WIDEST_COLUMN, Math.max(...cells.map((row) => row[i]?.length ?? 0))),
  );
  const rest = WIDE - widths.reduce((sum, width) => sum + width + 2, 2);
  return cells.map((row) => rowText(row, [...widths, rest])).join('\n');
}

/** One row of a table, on as many rows of the page as its longest cell needs. */
function rowText(row: readonly string[], widths: readonly number[]): string {
  const wrappedCells = widths.map((width, i) => wrapped(row[i] ?? '', '', '', width).split('\n'));
  const height = Math.max(...wrappedCells.map((lines) => lines.length));
  return Array.from({ length: height }, (_, at) =>
    `  ${wrappedCells.map((lines, i) => (lines[at] ?? '').padEnd(widths[i] ?? 0)).join('  ')}`.trimEnd(),
  ).join('\n');
}

/** Without Markdown's marks: escapes, bold, code spans, links. */
function inline(text: string): string {
  return text.replace(
    /\\([!-/:-@[-`{-~])|(`+) ?(.*?) ?\2(?!`)|\*\*|\[([^\]]*)\]\([^)]*\)|&lt;|&amp;/g,
    (whole, escaped?: string, _ticks?: string, code?: string, link?: string) =>
      escaped ?? code ?? link ?? (whole === '&lt;' ? '<' : whole === '&amp;' ? '&' : ''),
  );
}

/** Broken at blanks so that no row is wider than `width`, where words allow it. */
export function wrapped(text: string, first: string, next: string, width = WIDE): string {
  const rows: string[] = [];
  let row = first;
  let empty = true;
  for (const word of plain(text.replaceAll('\n', ' ')).split(/ +/)) {
    if (!empty && row.length + 1 + word.length > width) {
      rows.push(row.trimEnd());
      row = next;
      empty = true;
    }
    row += empty ? word : ` ${word}`;
    empty = false;
  }
  return [...rows, row.trimEnd()].join('\n');
}
