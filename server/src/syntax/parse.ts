import { finish, Pace, type Pieces } from '../text/pieces.ts';
import { span } from '../text/span.ts';
import type { DeepSection } from './building.ts';
import { readLine } from './line.ts';
import { ANY_FORM, type NamedForm } from './namedForm.ts';
import { nestLines } from './nest.ts';
import { type Line, TokenKind, type Tokens, type Tree } from './nodes.ts';
import type { ProblemList } from './problems.ts';
import { findRow, startScan, tokensOf } from './scan.ts';
import { pairSections } from './sections.ts';
import { MUSTACHE, shownTag, type TagLanguage } from './tagStyle.ts';
import { findingTags, type ParserWork } from './tags.ts';

/** Commands that are followed by free text instead of words (common practice, no source). */
export const FREE_TEXT_CODES: ReadonlySet<string> = new Set(['M117', 'M118']);

export interface ParseOptions {
  /** Codes that are followed by free text; default `FREE_TEXT_CODES`. */
  readonly freeText?: ReadonlySet<string>;
  /** How named commands are written; default: nothing is stated. */
  readonly named?: NamedForm;
  /** How tags are written; default: as the Mustache specification has them. */
  readonly tags?: TagLanguage;
  /** Where reading stops: the beginning of a line, outside of tags. Default: at the text's end. */
  readonly until?: number;
  /** Counts the work done, for tests. */
  readonly work?: ParserWork;
}

/** Parses any text at all; never throws. Tags first, then lines. Time and memory grow linearly with the text. */
export const parse = (text: string, options: ParseOptions = {}): Tree => finish(parsing(text, options));

/** The same in pieces. */
export function* parsing(text: string, options: ParseOptions = {}): Pieces<Tree> {
  const { until = text.length } = options;
  if (until >= text.length) return yield* readingAll(text, options, false);
  const tree = yield* readingAll(text.slice(0, until), options, true);
  return { ...tree, text, tokens: withRest(tree.tokens, text.length), rest: span(until, text.length) };
}

/** With one token more, for what was not read. */
function withRest({ count, kinds, ends }: Tokens, end: number): Tokens {
  const all = { count: count + 1, kinds: new Uint8Array(count + 1), ends: new Uint32Array(count + 1) };
  all.kinds.set(kinds);
  all.ends.set(ends);
  all.kinds[count] = TokenKind.stray;
  all.ends[count] = end;
  return all;
}

/** @param goesOn The text goes on behind this: what is open here may be closed there. */
function* readingAll(text: string, options: ParseOptions, goesOn: boolean): Pieces<Tree> {
  const problems: ProblemList = { text, found: [] };
  const work = options.work ?? { steps: 0 };
  const language = options.tags ?? MUSTACHE;
  const tags = yield* findingTags(text, problems, work, language);
  yield;
  const { sections, after } = pairSections(text, tags, problems, language, goesOn);
  yield;
  const form = {
    freeText: options.freeText ?? FREE_TEXT_CODES,
    named: options.named ?? ANY_FORM,
    tagShown: shownTag(language),
  };
  const scan = startScan(text, tags, after, form, problems, work);

  const pace = new Pace();
  const lines: Line[] = [];
  const holders: (DeepSection | null)[] = [];
  for (;;) {
    const line = readLine(scan, lines.length);
    lines.push(line);
    holders.push(scan.holder);
    if (pace.due(1 + line.commands.length)) yield;
    if (line.eol.start === line.eol.end) break;
    findRow(scan);
  }
  yield;
  problems.found.sort((a, b) => a.span.start - b.span.start);
  return {
    text,
    lines,
    items: nestLines(lines, holders),
    tags,
    sections,
    tokens: tokensOf(scan),
    problems: problems.found,
    rest: null,
  };
}
