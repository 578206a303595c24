import { describeCommand, describeWord, unitText } from '../commands/describe.ts';
import { joinOf } from '../commands/joining.ts';
import { type CommandRecord, type WordRecord, writtenCode } from '../commands/record.ts';
import { commandBefore, type Place } from '../syntax/at.ts';
import type { Command, Line, Word } from '../syntax/nodes.ts';
import { type Span, touches } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import type { CompletionItem } from './completionItem.ts';

/** Commands, where one may begin at the offset; null where the cursor stands behind a command's code. */
export function completeCommands(a: Analysis, { line }: Place, offset: number): CompletionItem[] | null {
  const edit = codeEdit(a, line, offset);
  if (!edit) return null;
  return a.catalog.all().map((record, i) => commandItem(a, record, i, edit));
}

interface CodeEdit {
  readonly span: Span;
  /** A blank, where words follow at once. */
  readonly tail: string;
}

/** What a command typed at the offset would replace; null where none may begin there. */
function codeEdit(a: Analysis, { commands, number }: Line, offset: number): CodeEdit | null {
  const first = commands[0];
  const on = commands.find((c) => c.code !== '' && touches(c.codeSpan, offset));
  if (on) {
    // With one command a line, a second one is a mistake: nothing is offered for it. Nor in a code that a tag gives.
    if (on !== first && a.catalog.commandsPerLine === 'one') return null;
    const tagged = a.tree.tags.some((tag) => tag.span.start < on.codeSpan.end && tag.span.end > on.codeSpan.start);
    return tagged ? null : { span: on.codeSpan, tail: '' };
  }
  const word = first?.code === '' ? first.words[0] : undefined;
  // A single letter without a value may be the beginning of a name: S for SWEEP-TIP, N for a line number or NEAR.
  if (word && !word.value && touches(word.span, offset)) return { span: word.span, tail: '' };
  if (word && word.span.start === offset) return { span: { start: offset, end: offset }, tail: ' ' };
  if (number && touches(number.span, offset)) return number.value ? null : { span: number.span, tail: '' };
  if ((number && offset < number.span.start) || (first && offset >= first.span.start)) return null;
  const span = looseSpan(a.tree.text, offset);
  return span && { span, tail: '' };
}

/** At a line's beginning: nothing to replace, or the stray letters that stand there. null behind anything else. */
function looseSpan(text: string, offset: number): Span | null {
  let { start, end } = { start: offset, end: offset };
  while (start > 0 && /\w/.test(text.charAt(start - 1))) start--;
  while (end < text.length && /\w/.test(text.charAt(end))) end++;
  const before = text.charAt(start - 1);
  return before === '' || /[\s}\ufeff)]/.test(before) ? { start, end } : null;
}

function commandItem(a: Analysis, record: CommandRecord, index: number, edit: CodeEdit): CompletionItem {
  const code = writtenCode(record, record.code);
  return {
    label: code,
    kind: 'command',
    detail: record.title,
    documentation: describeCommand(record, a.machine?.controller ?? null),
    span: edit.span,
    text: code + edit.tail,
    sort: String(index).padStart(4, '0'),
    // A reader who does not know the code finds it by what it does.
    filter: `${code} ${record.title}`,
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
  for (const bound of a.bound.on(line)) {
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
  /** What joins the key with the value that stands behind it already; a sign is replaced with the key. */
  readonly joined: string | null;
}

/** null where no word may begin: in a value, in quoted text, right behind a value. */
function wordEdit(text: string, command: Command, word: Word | null, offset: number): WordEdit | null {
  if (!word || !touches(word.span, offset)) {
    const before = text.charAt(offset - 1);
    // In free space only, or right behind a tag's or comment's end.
    if (!/[\s)}]/.test(before)) return null;
    return { span: { start: offset, end: offset }, word: null, joined: null };
  }
  if (word.key === '' || offset > word.keySpan.end) return null;
  if (!command.named) return { span: word.keySpan, word, joined: null };
  const { start, end } = word.keySpan;
  const sign = /^[=:]/.exec(text.slice(end, end + 1))?.[0];
  if (sign !== undefined) return { span: { start, end: end + 1 }, word, joined: sign };
  return { span: word.keySpan, word, joined: word.value ? text.slice(end, word.value.span.start) : null };
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
  const flag = record.value === 'flag' || (record.value === 'optional' && edit.joined === null);
  const key = record.written ?? record.key;
  return {
    label: key,
    kind: 'word',
    detail: `${record.meaning}${unit === '' ? '' : ` (${unit})`}`,
    documentation: describeWord(command, record, traits),
    span: edit.span,
    text: named && !flag ? key + joinText(a, record, edit) : key,
    sort: `${record.required ? 0 : 1}${String(index).padStart(3, '0')}`,
    filter: key,
  };
}

/** What is written behind a key: the sign that the machine or the text has; where neither says, what stands there. */
function joinText({ catalog, tree }: Analysis, { key }: WordRecord, { joined }: WordEdit): string {
  const sign = joined?.trim() ?? '';
  // A blank that joins them stands there already.
  if (joined !== null && sign === '') return '';
  return catalog.named.joins === null && sign !== '' ? sign : (joinOf(catalog, tree, key) ?? sign);
}
