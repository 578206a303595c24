// The draft as a page: properties with what they were concluded from, and questions. What is guessed and what is asked
// is marked in comments, which `answers.ts` finds again.

/** In front of what a guess was concluded from. */
export const GUESS = '// guess: ';
/** In front of what is asked. */
export const ASK = '// ask: ';
/** In front of one answer to the question above it. */
export const ANSWER = '// answer: ';

/** One part of the page. `id`: what is left out where it has a fault; null: it stays. */
export type DraftPart =
  | {
      readonly is: 'property';
      readonly id: string | null;
      readonly key: string;
      readonly json: string;
      /** What it was concluded from; null: nothing to be confirmed. */
      readonly guess: string | null;
      /** What a person has to complete. */
      readonly fill: string | null;
    }
  | { readonly is: 'group'; readonly id: string | null; readonly key: string; readonly parts: readonly DraftPart[] }
  | { readonly is: 'note'; readonly text: string }
  | { readonly is: 'question'; readonly asks: string; readonly answers: readonly { json: string; does: string }[] };

/** A page, and for each of its rows which part it holds. */
export interface DraftPage {
  readonly text: string;
  readonly ids: readonly (string | null)[];
}

/** Writes the parts; those in `without` are left out. */
export function printPage(
  head: readonly string[],
  parts: readonly DraftPart[],
  without: ReadonlySet<string>,
): DraftPage {
  const rows: { text: string; id: string | null }[] = head.map((text) => ({ text: `// ${text}`, id: null }));
  rows.push({ text: '{', id: null });
  printParts(parts, '  ', null, without, rows);
  rows.push({ text: '}', id: null }, { text: '', id: null });
  return { text: rows.map(({ text }) => text).join('\n'), ids: rows.map(({ id }) => id) };
}

function printParts(
  parts: readonly DraftPart[],
  indent: string,
  within: string | null,
  without: ReadonlySet<string>,
  rows: { text: string; id: string | null }[],
): void {
  const add = (text: string, id: string | null): void => void rows.push({ text: indent + text, id: id ?? within });
  for (const part of parts) {
    if (part.is === 'note') add(`// ${remark(part.text)}`, null);
    else if (part.is === 'question') {
      add(`${ASK}${remark(part.asks)}`, null);
      for (const { json, does } of part.answers) add(`${ANSWER}${json}, // ${remark(does)}`, null);
    } else if (part.id !== null && without.has(part.id)) continue;
    else if (part.is === 'property') {
      const guess = part.guess === null ? '' : ` ${GUESS}${remark(part.guess, 400)}`;
      const fill = part.fill === null ? '' : ` // fill in: ${remark(part.fill)}`;
      add(`${JSON.stringify(part.key)}: ${part.json},${fill}${guess}`, part.id);
    } else {
      const begin = rows.length;
      add(`${JSON.stringify(part.key)}: {`, part.id);
      printParts(part.parts, `${indent}  `, part.id, without, rows);
      if (rows.length > begin + 1) add('},', part.id);
      else {
        // An empty one says that nothing of Bookend's own is meant either.
        rows.length = begin;
        add(`${JSON.stringify(part.key)}: {}, // nothing in these texts hangs on it`, part.id);
      }
    }
  }
}

/** A text as a comment may hold it: on one row. */
export const remark = (text: string, most = 240): string => text.replace(/[\p{Cc}\u2028\u2029]/gu, ' ').slice(0, most);

/** JSON on one row, with blanks as people write them. */
export function spaced(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(spaced).join(', ')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  return `{ ${Object.entries(value)
    .map(([key, one]) => `${JSON.stringify(key)}: ${spaced(one)}`)
    .join(', ')} }`;
}
