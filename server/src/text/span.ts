/** A stretch of text: `start` inclusive, `end` exclusive, both UTF-16 code-unit offsets from the start of the text. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** Makes a span. */
export const span = (start: number, end: number): Span => ({ start, end });

/** Whether `offset` lies in the span or touches its end (a cursor right behind a word still belongs to the word). */
export const touches = (s: Span, offset: number): boolean => offset >= s.start && offset <= s.end;

/** The text that a span covers. */
export const slice = (text: string, s: Span): string => text.slice(s.start, s.end);
