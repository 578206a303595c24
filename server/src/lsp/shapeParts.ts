import { also, count, record, uri } from './shape.ts';

// Forms that many messages have in common.

export const position = record({ line: count, character: count });

interface Range {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

export const range = also<Range>(record({ start: position, end: position }), ({ start, end }) =>
  end.line < start.line || (end.line === start.line && end.character < start.character)
    ? 'a range ends before it begins'
    : null,
);

const document = record({ uri });
export const inDocument = record({ textDocument: document });
export const at = record({ textDocument: document, position });
export const inRange = record({ textDocument: document, range });
export const ofUri = record({ uri });
