import type { Node } from 'jsonc-parser';
import { normalCode } from '../commands/named.ts';
import { readJson } from '../machine/json.ts';
import { readMachine } from '../machine/load.ts';
import { namesIn } from '../placeholders/expression.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import type { Prepared } from '../simulate/context.ts';
import type { Word } from '../syntax/nodes.ts';
import { changeBetween, type Edit } from '../text/edit.ts';

/** A named command that a sequence uses and its machine file does not know, as it may be declared there. */
export interface DraftedCommand {
  readonly name: string;
  /** For the person to fill in; marked as such. */
  readonly meaning: string;
  readonly words: readonly DraftedWord[];
}

interface DraftedWord {
  readonly key: string;
  readonly meaning: string;
  /** Left out where the sequence does not tell. */
  readonly unit?: string;
  /** Given every time. */
  readonly required?: true;
}

/** What stands where a person has to say what is meant. */
export const FILL_IN = 'fill in:';

/** More than these in one text are no commands. */
const MOST = 50;
const NAME = /^[A-Z_][A-Z0-9_.]{0,99}$/;
const KEY = /^[A-Z_][A-Z0-9_]{0,99}$/;

/** What a key's own name tells of its unit; a guess, which the drafted meaning says. */
const UNITS: readonly (readonly [RegExp, string])[] = [
  [/TEMP|NOZZLE_HEAT|^(HOTEND|EXTRUDER|BED|CHAMBER)$/, 'degrees C'],
  [/MINUTES|^MIN$/, 'min'],
  [/SECONDS|TIMEOUT|DURATION|^(TIME|DELAY)$/, 's'],
  [/PERCENT/, 'percent'],
  [/LENGTH|DISTANCE|DIAMETER|HEIGHT|WIDTH|^[XYZE]$|_[XYZ]$/, 'mm'],
  [/COUNT|TIMES|STROKES|REPEAT/, 'count'],
  [/^TOOL$|INDEX/, 'index'],
];

interface Seen {
  uses: number;
  readonly words: Map<string, { times: number; text: boolean; unit: string | null }>;
}

/**
 * The named commands that a text uses and its machine does not know, in the order of the text, each with the words that
 * the text gives it. Units are guessed from the words' names and from the placeholders in them.
 */
export function unknownNamed(prepared: Prepared, vocabulary: Vocabulary): DraftedCommand[] {
  const seen = new Map<string, Seen>();
  for (const line of prepared.tree.lines) {
    for (const node of line.commands) {
      const name = node.code === null ? '' : normalCode(node.code);
      if (!node.named || !NAME.test(name) || prepared.catalog.find(name)) continue;
      const known = seen.get(name);
      if (!known && seen.size >= MOST) continue;
      const one = known ?? { uses: 0, words: new Map() };
      seen.set(name, one);
      one.uses++;
      for (const word of new Map(node.words.map((w) => [w.key.toUpperCase(), w])).values())
        note(prepared, vocabulary, one, word);
    }
  }
  return [...seen].map(([name, { uses, words }]) => ({
    name,
    meaning: `${FILL_IN} what ${name} does, and its effects.`,
    words: [...words].map(([key, { times, text, unit }]) => ({
      key,
      meaning: `${FILL_IN} what ${key} sets${unit !== null || text ? '; check the unit' : ', and its unit'}.`,
      ...(text ? { unit: 'text' } : unit === null ? {} : { unit }),
      ...(times === uses && uses > 1 ? { required: true as const } : {}),
    })),
  }));
}

function note(prepared: Prepared, vocabulary: Vocabulary, seen: Seen, word: Word): void {
  const key = word.key.toUpperCase();
  if (!KEY.test(key)) return;
  const before = seen.words.get(key);
  const unit = before?.unit ?? unitOf(prepared, vocabulary, word);
  const text = (before?.text ?? false) || word.value?.type === 'string';
  seen.words.set(key, { times: (before?.times ?? 0) + 1, text, unit });
}

/** By the one placeholder that gives its value, where that has a unit; else by the word's own name. */
function unitOf({ expressions }: Prepared, vocabulary: Vocabulary, { key, value }: Word): string | null {
  const parts = value?.type === 'filled' ? value.parts : [];
  const [only] = parts;
  const expr = parts.length === 1 && only && 'kind' in only ? expressions.get(only)?.expr : null;
  const names = expr ? namesIn(expr) : [];
  const unit = names.length === 1 ? vocabulary.names.get(names[0]?.name ?? '')?.unit : '';
  return unit || (UNITS.find(([name]) => name.test(key.toUpperCase()))?.[1] ?? null);
}

/**
 * The one change of a machine file that declares these commands behind those it has; everything else in it stays,
 * comments included. null: the file cannot be added to (it is broken, or its "commands" is no list), or would have
 * errors that it has not now.
 */
export function declareCommands(file: string, commands: readonly DraftedCommand[]): Edit | null {
  const { root, faults } = readJson(file);
  if (root?.type !== 'object' || faults.length > 0 || commands.length === 0) return null;
  const lists = (root.children ?? []).filter(({ children }) => children?.[0]?.value === 'commands');
  const list = lists[0]?.children?.[1];
  if (lists.length > 1 || (list && list.type !== 'array')) return null;
  const style: Style = {
    eol: file.includes('\r\n') ? '\r\n' : '\n',
    unit: /^(\t| +)\S/m.exec(file)?.[1] ?? '  ',
  };
  const text = list
    ? added(file, list, commands.map((one) => JSON.stringify(one, null, style.unit)).join(',\n'), style)
    : added(file, root, `"commands": ${JSON.stringify(commands, null, style.unit)}`, style);
  const errors = (one: string): number => readMachine(one).problems.filter((p) => p.severity === 'error').length;
  return errors(text) > errors(file) ? null : changeBetween(file, text);
}

interface Style {
  readonly eol: string;
  readonly unit: string;
}

/** The text with JSON put in at the end of a list or an object, behind the comments that stand there. */
function added(text: string, into: Node, json: string, { eol, unit }: Style): string {
  const last = into.children?.at(-1);
  const close = into.offset + into.length - 1;
  const from = last ? last.offset + last.length : into.offset + 1;
  const tail = text.slice(from, close);
  const outer = indentAt(text, into.offset);
  // As what stands there already is indented, where it begins its row.
  const inner = last && /^[ \t]*$/.test(rowUpTo(text, last.offset)) ? indentAt(text, last.offset) : outer + unit;
  const rows = json.split('\n').join(eol + inner);
  const comma = last && !hasComma(tail) ? ',' : '';
  return `${text.slice(0, from)}${comma}${tail.trimEnd()}${eol}${inner}${rows}${eol}${outer}${text.slice(close)}`;
}

const rowUpTo = (text: string, at: number): string => text.slice(text.lastIndexOf('\n', at - 1) + 1, at);
const indentAt = (text: string, at: number): string => /^[ \t]*/.exec(rowUpTo(text, at))?.[0] ?? '';

/** Whether a comma stands among the blanks and comments behind the last value. */
const hasComma = (tail: string): boolean => tail.replace(/\/\/[^\r\n]*|\/\*[\s\S]*?\*\//g, '').includes(',');

/** The `"commands"` part of a machine file with these commands, as JSON. */
export const commandsText = (commands: readonly DraftedCommand[]): string =>
  `${JSON.stringify({ commands }, null, 2)}\n`;
