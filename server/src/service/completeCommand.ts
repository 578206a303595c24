import { describeCommand, describeWord, unitText } from '../commands/describe.ts';
import type { CommandRecord, WordRecord } from '../commands/record.ts';
import { commandBefore, type Place } from '../syntax/at.ts';
import type { Command, Word } from '../syntax/nodes.ts';
import { type Span, touches } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import type { CompletionItem } from './completion.ts';

/** Commands, where one may begin at the offset; null where the cursor stands behind a command's code. */
export function completeCommands(a: Analysis, { line }: Place, offset: number): CompletionItem[] | null {
  const span = codeSpanAt(a, line.commands, line.number, offset);
  if (!span) return null;
  return a.catalog.all().map((record, i) => commandItem(a, record, i, span));
}

/** What a command typed at the offset would replace; null where none may begin there. */
function codeSpanAt(a: Analysis, commands: readonly Command[], number: Word | null, offset: number): Span | null {
  const on = commands.find((c) => c.code !== '' && touches(c.codeSpan, offset));
  // With one command a line, a second one is a mistake: nothing is offered for it.
  if (on) return on === commands[0] || a.catalog.commandsPerLine !== 'one' ? tokenOf(a, on.codeSpan, offset) : null;
  const first = commands[0];
  // A single letter without a value may be the beginning of a name: H for HEAT_SOAK, N for a line number or NEAR.
  if (first?.code === '' && first.words[0] && !first.words[0].value && touches(first.words[0].span, offset))
    return first.words[0].span;
  if (number && touches(number.span, offset)) return number.value ? null : number.span;
  if (number && offset < number.span.start) return null;
  if (first && offset >= first.span.start) return null;
  return looseSpan(a.tree.text, offset);
}

/** A code as it is written, or only its name where a tag stands in it. */
function tokenOf(a: Analysis, code: Span, offset: number): Span | null {
  return a.tree.tags.some((tag) => tag.span.start < code.end && tag.span.end > code.start)
    ? null
    : touches(code, offset)
      ? code
      : null;
}

/** At a line's beginning: nothing to replace, or the stray letters that stand there. null behind anything else. */
function looseSpan(text: string, offset: number): Span | null {
  let { start, end } = { start: offset, end: offset };
  while (start > 0 && /\w/.test(text.charAt(start - 1))) start--;
  while (end < text.length && /\w/.test(text.charAt(end))) end++;
  const before = text.charAt(start - 1);
  return before === '' || /[\s}\ufeff)]/.test(before) ? { start, end } : null;
}

function commandItem(a: Analysis, record: CommandRecord, index: number, span: Span): CompletionItem {
  return {
    label: record.code,
    kind: 'command',
    detail: record.title,
    documentation: describeCommand(record, a.machine?.controller ?? null),
    span,
    text: record.code,
    sort: String(index).padStart(4, '0'),
    // A reader who does not know the code finds it by what it does.
    filter: `${record.code} ${record.title}`,
  };
}

/** Words that the line's commands take and that are not there yet, required ones first. */
export function completeWords(a: Analysis, { line, word }: Place, offset: number): CompletionItem[] {
  const command = commandBefore(line, offset);
  if (!command || (offset <= command.codeSpan.end && command.code !== '')) return [];
  if (command.code !== null && a.catalog.freeText.has(command.code)) return [];
  const edit = wordEdit(a.tree.text, command, word, offset);
  if (!edit) return [];
  const given = new Set(
    line.commands
      .flatMap((c) => c.words)
      .filter((w) => w !== edit.word)
      .map((w) => w.key),
  );
  const items: CompletionItem[] = [];
  const offered = new Set<string>();
  for (const bound of a.bound[line.index] ?? []) {
    if (bound.node.span.start > offset || !bound.record || bound.record.freeText) continue;
    for (const record of bound.record.words) {
      if (given.has(record.key) || offered.has(record.key)) continue;
      offered.add(record.key);
      items.push(wordItem(a, bound.record, record, command.named, edit, items.length));
    }
  }
  return items;
}

/** What a word replaces, and the word that it stands for. */
interface WordEdit {
  readonly span: Span;
  readonly word: Word | null;
  /** A `=` stands behind the key already and is replaced with it. */
  readonly equals: boolean;
}

/** null where no word may begin: in a value, in quoted text, right behind a value. */
function wordEdit(text: string, command: Command, word: Word | null, offset: number): WordEdit | null {
  if (!word || !touches(word.span, offset)) {
    const before = text.charAt(offset - 1);
    // In free space only, or right behind a tag's or comment's end.
    if (!/[\s)}]/.test(before)) return null;
    return { span: { start: offset, end: offset }, word: null, equals: false };
  }
  if (word.key === '' || offset > word.keySpan.end) return null;
  if (!command.named) return { span: word.keySpan, word, equals: false };
  const equals = text.charAt(word.keySpan.end) === '=';
  return { span: { start: word.keySpan.start, end: word.keySpan.end + (equals ? 1 : 0) }, word, equals };
}

function wordItem(
  a: Analysis,
  command: CommandRecord,
  record: WordRecord,
  named: boolean,
  edit: WordEdit,
  index: number,
): CompletionItem {
  const traits = a.machine?.controller ?? null;
  const unit = unitText(record.unit, traits, null);
  const flag = record.value === 'flag' || (record.value === 'optional' && !edit.equals);
  return {
    label: record.key,
    kind: 'word',
    detail: `${record.meaning}${unit === '' ? '' : ` (${unit})`}`,
    documentation: describeWord(command, record, traits),
    span: edit.span,
    text: named && !flag ? `${record.key}=` : record.key,
    sort: `${record.required ? 0 : 1}${String(index).padStart(3, '0')}`,
    filter: record.key,
  };
}
