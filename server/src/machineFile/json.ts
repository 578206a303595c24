import { createScanner, type Node, type ParseError, parseTree } from 'jsonc-parser';
import { type Span, span } from '../text/span.ts';

/**
 * Characters of a machine file that are read at most, whoever hands it in. A real one has a few thousand, and who reads
 * files refuses them at a tenth of this unless a person raised that (`files/read.ts`).
 */
const LONGEST = 10_000_000;
/** How deep objects and lists may lie in one another. The format itself needs 6. */
const DEEPEST = 32;
/** Broken JSON breaks in many places at once; the first few say enough. */
const MOST_FAULTS = 10;

// The library declares its enums `const`, which isolated modules cannot read: these are their numbers.
const TOKEN = { openBrace: 1, closeBrace: 2, openBracket: 3, closeBracket: 4, end: 17 } as const;

export interface JsonFault {
  readonly span: Span;
  readonly message: string;
}

/**
 * Reads JSON with comments and trailing commas into a tree, as far as it can be read. Never throws and does not
 * overflow: text that is nested too deep is left out. null: there is no value at all.
 */
export function readJson(
  text: string,
  kind: 'machine' | 'vocabulary' = 'machine',
): { readonly root: Node | null; readonly faults: readonly JsonFault[] } {
  if (text.length > LONGEST) {
    const message = `This file has ${text.length} characters; ${kind} files are read up to ${LONGEST}. Take out what does not belong to the ${kind}.`;
    return { root: null, faults: [{ span: span(0, 1), message }] };
  }
  const faults: JsonFault[] = [];
  const shallow = shallowJson(text, faults, kind);
  const errors: ParseError[] = [];
  const root = parseTree(shallow, errors, { allowTrailingComma: true, disallowComments: false }) ?? null;
  const seen = new Set<number>();
  for (const error of errors) {
    // Where there is no value at all the reader says so itself, and says what belongs there.
    if (root === null && (error.error as number) === 4) continue;
    if (seen.has(error.offset) || faults.length >= MOST_FAULTS) continue;
    seen.add(error.offset);
    faults.push({ span: visibleSpan(text, error), message: explain(error, shallow, kind) });
  }
  return { root, faults };
}

/** The value of a key; undefined: there is none; null: it stands there twice, so that nobody knows which one counts. */
export function soleValue(object: Node, key: string): Node | null | undefined {
  const all = (object.children ?? []).filter(({ children }) => children?.[0]?.value === key);
  return all.length > 1 ? null : all[0]?.children?.[1];
}

/**
 * The text for who reads it by recursion: every stretch below the deepest level is `0` and blanks, and a byte order mark,
 * which is no part of JSON, is a blank. Offsets, lines and columns stay.
 * @param faults Gets the first stretch that is left out.
 */
export function shallowJson(given: string, faults: JsonFault[] = [], kind = 'machine'): string {
  const text = given.replace(/^\uFEFF/, ' ');
  const scanner = createScanner(text, true);
  let depth = 0;
  let from = -1;
  let kept = 0;
  let out = '';
  const leaveOut = (end: number): void => {
    out += `${text.slice(kept, from)}0${text.slice(from + 1, end).replace(/[^\r\n]/g, ' ')}`;
    kept = end;
    const message = `Lists and objects lie more than ${DEEPEST} deep in one another from here on; a ${kind} file needs 6. This part is not read. Take it out.`;
    if (faults.length === 0) faults.push({ span: span(from, from + 1), message });
    from = -1;
  };
  for (let token = scanner.scan(); (token as number) !== TOKEN.end; token = scanner.scan()) {
    const kind = token as number;
    if (kind === TOKEN.openBrace || kind === TOKEN.openBracket) {
      if (++depth === DEEPEST + 1) from = scanner.getTokenOffset();
    } else if ((kind === TOKEN.closeBrace || kind === TOKEN.closeBracket) && depth > 0) {
      if (depth-- === DEEPEST + 1) leaveOut(scanner.getTokenOffset() + scanner.getTokenLength());
    }
  }
  if (from >= 0) leaveOut(text.length);
  return kept === 0 ? text : out + text.slice(kept);
}

/** At least one character wide where the text has one, so that it can be seen. */
function visibleSpan(text: string, error: ParseError): Span {
  const start = Math.min(error.offset, text.length);
  const end = Math.min(start + error.length, text.length);
  if (end > start) return span(start, end);
  return start < text.length ? span(start, start + 1) : span(Math.max(0, start - 1), start);
}

function explain(error: ParseError, text: string, kind: string): string {
  const found = text.slice(error.offset, error.offset + Math.min(error.length, 40));
  switch (error.error as number) {
    case 1:
      return `“${found}” means nothing in JSON. Values are numbers, texts in double quotes, true, false, null, { } and [ ].`;
    case 2:
    case 13:
      return `“${found}” is no number as JSON has them. Write it like 228, -8 or 0.4.`;
    case 3:
      return /\d,\s?$/.test(text.slice(Math.max(0, error.offset - 3), error.offset)) && /^\d/.test(found)
        ? `A digit stands behind a comma where a property’s name should. If this is a decimal comma, write a point: ${decimal(text, error.offset)}.`
        : 'A property’s name in double quotes should stand here, such as "name": …';
    case 4:
      return 'A value is missing here. Write one, or take the property out.';
    case 5:
      return 'A colon is missing between the property’s name and its value.';
    case 6:
      return 'A comma is missing between this and what stands before it.';
    case 7:
      return 'An object is not closed: a } is missing.';
    case 8:
      return 'A list is not closed: a ] is missing.';
    case 9:
      return `The ${kind}’s object has ended before this. Take out what follows its last }.`;
    case 10:
    case 11:
      return 'This comment is not closed: a */ is missing.';
    case 12:
      return 'This text is not closed: a " is missing at the end of the line.';
    case 14:
    case 15:
      return 'This \\ sequence is not known in a text. Write \\\\ for a backslash, or / in file names.';
    default:
      return 'This character may not stand in a text. Write a line break as \\n, a tab as \\t.';
  }
}

/** The number that was meant by `228,5`, with a point. */
function decimal(text: string, offset: number): string {
  const before = /-?\d+,\s?$/.exec(text.slice(Math.max(0, offset - 20), offset))?.[0] ?? '';
  const after = /^\d+/.exec(text.slice(offset, offset + 20))?.[0] ?? '';
  return `${before.replace(/,\s?$/, '')}.${after}`;
}
