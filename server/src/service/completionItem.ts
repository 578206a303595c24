import type { Span } from '../text/span.ts';

/** One thing that may be written at the cursor. */
export interface CompletionItem {
  readonly label: string;
  readonly kind: 'command' | 'word' | 'placeholder' | 'function';
  /** One line beside the label. */
  readonly detail: string;
  /** Markdown. */
  readonly documentation: string;
  /** What `text` replaces. It holds the cursor and lies on one row. */
  readonly span: Span;
  readonly text: string;
  /** Items are shown in the order of this text. */
  readonly sort: string;
  /** What the user's typing is held against. */
  readonly filter: string;
}

export interface Completions {
  readonly items: CompletionItem[];
}
