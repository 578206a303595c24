import type { BoundCommand } from '../commands/bind.ts';
import type { Prepared } from '../simulate/context.ts';
import type { Line, Word } from '../syntax/nodes.ts';
import { aboutBytes, type Placed } from './findings.ts';

/** How much of a text reads like a program. Blank lines and comments say nothing for it or against it. */
export interface ProgramLikeness {
  lines: number;
  commands: number;
}

/** Told of a text in which hardly a line holds a command: a letter, a list, a page. */
export const NO_PROGRAM = 'no-program';

/** Below one line in so many. Even where nothing but named commands that nobody declared does the work, more lines move. */
const HARDLY = 10;

/** Counts the lines of a piece. */
export function readLines(reading: ProgramLikeness, prepared: Pick<Prepared, 'tree' | 'bound'>): void {
  for (const line of prepared.tree.lines) addReading(reading, readingOf(prepared, line));
}

export function addReading(reading: ProgramLikeness, { lines, commands }: Readonly<ProgramLikeness>): void {
  reading.lines += lines;
  reading.commands += commands;
}

/** The same of one line. */
export function readingOf({ tree, bound }: Pick<Prepared, 'tree' | 'bound'>, line: Line): Readonly<ProgramLikeness> {
  if (!saysSomething(tree.text, line)) return SILENT;
  const [first] = bound.on(line);
  return first && isCommand(tree.text, first) ? COMMAND : OTHER;
}

const SILENT = { lines: 0, commands: 0 };
const COMMAND = { lines: 1, commands: 1 };
const OTHER = { lines: 1, commands: 0 };

/** What is told of a text that is no program; null where it may be one. */
export function noProgram({ lines, commands }: ProgramLikeness): Placed | null {
  if (commands * HARDLY >= lines) return null;
  const them = lines === 1 ? 'line holds' : 'lines hold';
  return aboutBytes(
    NO_PROGRAM,
    'error',
    1,
    1,
    0,
    `This does not read like a program: ${commands} of ${lines} ${them} a command, blank lines and comments left out. Check the right file. What else is told of it is told as if it were a program.`,
  );
}

function saysSomething(text: string, { span, commands, comments }: Line): boolean {
  if (commands.length > 0) return true;
  let at = span.start;
  let rest = '';
  for (const comment of comments) {
    rest += text.slice(at, comment.span.start);
    at = comment.span.end;
  }
  rest = `${rest}${text.slice(at, span.end)}`.trim();
  return rest !== '' && rest !== '%';
}

/** Whether it is written as a command is, known or not: no sentence that happens to begin with one. */
function isCommand(text: string, { line, node, record }: BoundCommand): boolean {
  const { code, codeSpan, words } = node;
  const begin = line.number?.span.end ?? line.span.start;
  if (text.slice(begin, codeSpan.start).trim() !== '') return false;
  if (node.named) return record !== null || looksNamed(text, text.slice(codeSpan.start, codeSpan.end), words);
  if (areLetters(words)) return false;
  const [first] = words;
  // A letter without a number is none.
  if (code === '' || code === 'T') return first?.value != null && first.value.type !== 'bad';
  return code === null || /\d/.test(code);
}

/** As commands that a machine file may declare are mostly written: `PARK`, `SWIRL 30`, `warm-through minutes:4`. */
function looksNamed(text: string, name: string, words: readonly Word[]): boolean {
  const capitals = name.length > 1 && name === name.toUpperCase();
  const isPair = ({ key, value }: Word): boolean => key !== '' && value !== null && value.type !== 'bad';
  // With a blank or nothing between them, a word and a number stand in many a sentence.
  const isSigned = ({ keySpan, value }: Word): boolean =>
    value !== null && /[=:]/.test(text.slice(keySpan.end, value.span.start));
  if (name !== '' && words.length > 0 && words.every((word) => isPair(word) && isSigned(word))) return true;
  return capitals && words.every((word) => isPair(word) || word.value?.type === 'number');
}

/** Two letters run together are the beginning of a word, as in "M3 screws", unless they are axes: `G28 XY`. */
const areLetters = (words: readonly Word[]): boolean =>
  words.some((word, i) => {
    const next = words[i + 1];
    return word.value === null && next?.span.start === word.span.end && !/^[XYZE]{2}$/.test(word.key + next.key);
  });
