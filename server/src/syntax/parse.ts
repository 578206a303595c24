import { finish, Pace, type Pieces } from '../text/pieces.ts';
import { readLine } from './line.ts';
import { ANY_FORM, type NamedForm } from './namedForm.ts';
import type { Line, Tree } from './nodes.ts';
import type { ProblemList } from './problems.ts';
import { findRow, startScan, tokensOf } from './scan.ts';
import { type DeepSection, nestLines, pairSections } from './sections.ts';
import { MUSTACHE, type TagStyle } from './tagStyle.ts';
import { findingTags, type Work } from './tags.ts';

/** Commands that are followed by free text instead of words (common practice, no source). */
export const FREE_TEXT_CODES: ReadonlySet<string> = new Set(['M117', 'M118']);

export interface ParseOptions {
  /** Codes that are followed by free text; default `FREE_TEXT_CODES`. */
  readonly freeText?: ReadonlySet<string>;
  /** How named commands are written; default: nothing is stated. */
  readonly named?: NamedForm;
  /** How tags are written; default: as the Mustache specification has them. */
  readonly tags?: TagStyle;
  /** Counts the work done, for tests. */
  readonly work?: Work;
}

/** Parses any text at all; never throws. Tags first, then lines. Time and memory grow linearly with the text. */
export const parse = (text: string, options: ParseOptions = {}): Tree => finish(parsing(text, options));

/** The same in pieces. */
export function* parsing(text: string, options: ParseOptions = {}): Pieces<Tree> {
  const problems: ProblemList = { text, found: [] };
  const work = options.work ?? { steps: 0 };
  const style = options.tags ?? MUSTACHE;
  const tags = yield* findingTags(text, problems, work, style);
  yield;
  const { sections, after } = pairSections(text, tags, problems, style);
  yield;
  const form = { freeText: options.freeText ?? FREE_TEXT_CODES, named: options.named ?? ANY_FORM };
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
  };
}
