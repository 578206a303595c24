import { inCase, normalCode } from '../commands/named.ts';
import { namesIn } from '../placeholders/expression.ts';
import type { Name, Vocabulary } from '../placeholders/vocabulary.ts';
import type { Prepared } from '../simulate/context.ts';
import type { Word } from '../syntax/nodes.ts';
import { slice } from '../text/span.ts';

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
const NAME = /^[A-Z_]([A-Z0-9_.]+(-[A-Z_][A-Z0-9_]*)*)?$/;
const KEY = /^[A-Z_][A-Z0-9_]*(-[A-Z_][A-Z0-9_]*)*$/;
const LONGEST = 100;

interface Seen {
  /** As the text has it first, in the case that the machine file states. */
  readonly written: string;
  uses: number;
  readonly words: Map<string, SeenWord>;
}

interface SeenWord {
  readonly written: string;
  times: number;
  /** How often it stood without a value. */
  bare: number;
  text: boolean;
  given: Given | null;
}

/** What a placeholder that is put into a word tells of it. */
interface Given {
  readonly name: string;
  readonly unit: string | null;
  readonly heater: 'nozzle' | 'bed' | 'chamber' | null;
}

/**
 * The named commands that a text uses and its machine does not know, in the order of the text, each with the words that
 * the text gives it. What a word means is guessed from the placeholders that are put into it, never from its name; the
 * drafted meaning says so, since a person has to look at it.
 */
export function unknownNamed(prepared: Prepared, vocabulary: Vocabulary): DraftedCommand[] {
  const seen = new Map<string, Seen>();
  const { text, lines } = prepared.tree;
  for (const line of lines) {
    for (const node of line.commands) {
      const name = node.code === null ? '' : normalCode(node.code);
      if (!node.named || name.length > LONGEST || !NAME.test(name) || prepared.catalog.find(name)) continue;
      const known = seen.get(name);
      if (!known && seen.size >= MOST) continue;
      const one = known ?? { written: caseOf(prepared, slice(text, node.codeSpan)), uses: 0, words: new Map() };
      seen.set(name, one);
      one.uses++;
      for (const word of new Map(node.words.map((w) => [w.key, w])).values()) note(prepared, vocabulary, one, word);
    }
  }
  return [...seen.values()].map(draftOf);
}

const caseOf = ({ machine }: Prepared, written: string): string =>
  inCase(written, machine?.controller.namedCommands.case ?? null);

function note(prepared: Prepared, vocabulary: Vocabulary, seen: Seen, word: Word): void {
  const { key, keySpan, value } = word;
  if (key.length > LONGEST || !KEY.test(key)) return;
  const before = seen.words.get(key);
  const written = before?.written ?? caseOf(prepared, slice(prepared.tree.text, keySpan));
  seen.words.set(key, {
    written,
    times: (before?.times ?? 0) + 1,
    bare: (before?.bare ?? 0) + (value ? 0 : 1),
    text: (before?.text ?? false) || value?.type === 'string',
    given: before?.given ?? givenTo(prepared, vocabulary, word),
  });
}

/** The one placeholder that gives a word's whole value, in a calculation or alone. */
function givenTo({ expressions }: Prepared, vocabulary: Vocabulary, { value }: Word): Given | null {
  const parts = value?.type === 'filled' ? value.parts : [];
  const [only] = parts;
  const expr = parts.length === 1 && only && 'kind' in only ? expressions.get(only)?.expr : null;
  const names = new Set((expr ? namesIn(expr) : []).map(({ name }) => name));
  const [name] = names;
  const known = names.size === 1 && name !== undefined ? vocabulary.names.get(name) : undefined;
  return known ? { name: known.name, unit: unitOf(known), heater: heaterOf(known, vocabulary) } : null;
}

const KIND_UNITS: Readonly<Partial<Record<Name['kind'], string>>> = {
  temperature: 'degrees C',
  length: 'mm',
  count: 'count',
  text: 'text',
};

const unitOf = ({ unit, kind }: Name): string | null => unit || (KIND_UNITS[kind] ?? null);

/** Whose temperature a placeholder is, by the built-in name that it is or stands for; null for everything else. */
function heaterOf({ name, kind }: Name, { standIns }: Vocabulary): Given['heater'] {
  if (kind !== 'temperature') return null;
  const [builtIn = name] = [...(standIns ?? [])].find(([, own]) => own === name) ?? [];
  const [family, heater] = builtIn.split('.');
  const isHeater = heater === 'nozzle' || heater === 'bed' || heater === 'chamber';
  return family === 'heat' && isHeater ? heater : null;
}

function draftOf({ written: name, uses, words }: Seen): DraftedCommand {
  const heaters = new Set([...words.values()].flatMap(({ given }) => given?.heater ?? []));
  const guess =
    heaters.size > 0 ? ` A temperature is put into it, so it may heat the ${[...heaters].join(' and the ')}.` : '';
  return {
    name,
    meaning: `${FILL_IN} what ${name} does, and its effects.${guess}`,
    words: [...words.values()].map((word) => draftOfWord(word, uses)),
  };
}

function draftOfWord({ written: key, times, bare, text, given }: SeenWord, uses: number): DraftedWord {
  const unit = bare === times ? 'none' : text ? 'text' : (given?.unit ?? null);
  const what = given?.heater ? `a temperature of the ${given.heater}` : null;
  const guess = given ? ` It is given ${given.name}${what ? `, so it may be ${what}` : ''}.` : '';
  return {
    key,
    meaning: `${FILL_IN} what ${key} sets${unit === null ? ', and its unit' : '; check the unit'}.${guess}`,
    ...(unit === null ? {} : { unit }),
    ...(times === uses && uses > 1 ? { required: true as const } : {}),
  };
}

/** The `"commands"` part of a machine file with these commands, as JSON. */
export const commandsText = (commands: readonly DraftedCommand[]): string =>
  `${JSON.stringify({ commands }, null, 2)}\n`;
