import { slice, span } from '../text/span.ts';
import type { Problem, Related } from './nodes.ts';

/** No text gets more problems than this: a binary file would otherwise give millions, which helps nobody. */
export const MOST_PROBLEMS = 5000;

/** Collects problems up to `MOST_PROBLEMS`; the last one then says that more were left out. */
export interface ProblemList {
  readonly text: string;
  readonly found: Problem[];
}

/** Records a problem for the text from `start` to `end`. */
export function report(
  list: ProblemList,
  kind: Problem['kind'],
  start: number,
  end: number,
  message: string,
  replacement?: string,
  related: readonly Related[] = [],
): void {
  const { found } = list;
  if (found.length >= MOST_PROBLEMS) return;
  if (found.length === MOST_PROBLEMS - 1) {
    const more = `The text has more than ${MOST_PROBLEMS} places that cannot be read; the ones behind this are left out. Check that this file holds commands at all.`;
    found.push({ kind: 'stray-text', span: span(start, end), message: more });
    return;
  }
  found.push({
    kind,
    span: span(start, end),
    message,
    ...(replacement === undefined ? {} : { replacement }),
    ...(related.length === 0 ? {} : { related }),
  });
}

/** Whether `report` would still record anything: lets callers skip the making of a message. */
export const hasRoom = (list: ProblemList): boolean => list.found.length < MOST_PROBLEMS;

const MOST_QUOTED = 40;

/** The text from `start` to `end` in quotation marks, cut where it is long, blanks and rows made visible as one space. */
export function quote(text: string, start: number, end: number): string {
  const cut = end - start > MOST_QUOTED;
  // A cut must not fall between the halves of a surrogate pair.
  const at = cut && (text.charCodeAt(start + MOST_QUOTED - 1) & 0xfc00) === 0xd800 ? MOST_QUOTED - 1 : MOST_QUOTED;
  const shown = slice(text, span(start, cut ? start + at : end)).replace(/\s+/g, ' ');
  return `"${shown}${cut ? '…' : ''}"`;
}
