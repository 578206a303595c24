import type { Machine } from '../machine/machine.ts';
import { ANY_FORM, type NamedForm, type Takes } from '../syntax/namedForm.ts';
import { nearest, nearestCode } from '../text/nearest.ts';
import { once } from '../text/once.ts';
import { ALL_COMMANDS } from './all.ts';
import { normalCode, recordOfNamed, takesOf } from './named.ts';
import { type CommandRecord, writtenCode } from './record.ts';

/** The commands that hold for one machine. */
export interface Catalog {
  /** The record for a code as the parser writes it ('G1', 'M104', 'SWEEP-TIP'); null where none is known. */
  find(code: string): CommandRecord | null;
  /** Whether the machine's controller lacks this command. `find` still knows it. */
  isMissing(code: string): boolean;
  /** What may be offered, in offering order: the machine's own, the commonest, then by letter and number. */
  all(): readonly CommandRecord[];
  /** The codes that an unknown one may be a slip for, as they are written here, nearest first, at most two. */
  suggest(code: string): readonly string[];
  /** Whether the record lists a word with this key. */
  takes(record: CommandRecord, key: string): boolean;
  /** Codes behind which the rest of the line is text; the parser needs them. */
  readonly freeText: ReadonlySet<string>;
  /** How named commands are written, and what those of the machine take; the parser needs it. */
  readonly named: NamedForm;
  /** The controller's trait; null without a machine. */
  readonly commandsPerLine: 'one' | 'many' | null;
}

/** Offered first: what nearly every start and end sequence is made of. */
const COMMONEST = 'G28 G1 G0 M104 M109 M140 M190 G92 M106 M107 M84 G90 G91 M82 M83 G21 M117 G4 M400 T G29 M220 M221';

const keysOf = (record: CommandRecord): ReadonlySet<string> => new Set(record.words.map((w) => w.key));

// Made once, since a catalog is asked for at every keystroke.
const BASE: ReadonlyMap<string, CommandRecord> = new Map(
  ALL_COMMANDS.flatMap((record) => [record.code, ...(record.aliases ?? [])].map((code) => [code, record] as const)),
);
const BASE_KEYS: ReadonlyMap<CommandRecord, ReadonlySet<string>> = new Map(ALL_COMMANDS.map((r) => [r, keysOf(r)]));
/** Put in order when completion or a suggestion first asks: checking a text does not. */
const baseOffered: (records: readonly CommandRecord[]) => readonly CommandRecord[] = once(inOfferingOrder);
const BASE_FREE_TEXT: ReadonlySet<string> = freeTextOf(BASE, false);

/** The catalog for a machine; null for what holds without one. */
export function catalogFor(machine: Machine | null): Catalog {
  const style = machine?.controller.namedCommands.case ?? null;
  const own = (machine?.commands ?? []).map((c) => recordOfNamed(c, machine?.name ?? '', style));
  // The machine's own come last, so that its file can say what a code means there.
  const byCode = own.length === 0 ? BASE : new Map([...BASE, ...own.map((r) => [r.code, r] as const)]);
  const ownKeys = new Map(own.map((r) => [r, keysOf(r)]));
  const many = machine?.controller.commandsPerLine === 'many';
  const missing = new Set((machine?.controller.missing ?? []).map(normalCode));
  let ordered: readonly CommandRecord[] | null = null;
  const order = (): readonly CommandRecord[] => {
    if (own.length === 0 && missing.size === 0) return baseOffered(ALL_COMMANDS);
    const known = [...own, ...baseOffered(ALL_COMMANDS)].filter((r) => byCode.get(r.code) === r);
    return known.filter((r) => !missing.has(r.code));
  };
  const offered = (): readonly CommandRecord[] => {
    ordered ??= order();
    return ordered;
  };
  return {
    find: (code) => byCode.get(code) ?? null,
    isMissing: (code) => missing.has(code),
    all: offered,
    suggest: remembered((code) => suggest(code, offered())),
    takes: (record, key) => (BASE_KEYS.get(record) ?? ownKeys.get(record) ?? keysOf(record)).has(key),
    freeText: own.length === 0 && !many ? BASE_FREE_TEXT : freeTextOf(byCode, many),
    named: namedFormOf(machine, own),
    commandsPerLine: machine?.controller.commandsPerLine ?? null,
  };
}

function namedFormOf(machine: Machine | null, own: readonly CommandRecord[]): NamedForm {
  if (!machine) return ANY_FORM;
  const { joins, letters } = machine.controller.namedCommands;
  const words = new Map<string, ReadonlyMap<string, Takes>>();
  for (const record of own) words.set(record.code, new Map(record.words.map((word) => [word.key, takesOf(word)])));
  return { joins, letters, wordsOf: (code) => words.get(code) ?? null };
}

/** Where several commands share a line, other commands may stand behind a stop: `M0 M104 S0`. It then takes no text. */
function freeTextOf(byCode: ReadonlyMap<string, CommandRecord>, many: boolean): ReadonlySet<string> {
  const takesText = (record: CommandRecord): boolean =>
    record.freeText === true && !(many && record.group === 'stopping');
  return new Set([...byCode].filter(([, record]) => takesText(record)).map(([code]) => code));
}

function inOfferingOrder(records: readonly CommandRecord[]): CommandRecord[] {
  const first = COMMONEST.split(' ');
  const rank = (r: CommandRecord): number => {
    const at = first.indexOf(r.code);
    return at >= 0 ? at : first.length;
  };
  return [...records].sort((a, b) => rank(a) - rank(b) || byLetterAndNumber(a.code, b.code));
}

/** F, the pseudo command, comes last of the one-letter codes; G before M before T. */
function byLetterAndNumber(a: string, b: string): number {
  const [kindA, kindB] = ['GMTF'.indexOf(a.charAt(0)), 'GMTF'.indexOf(b.charAt(0))];
  if (kindA !== kindB) return kindA - kindB;
  const [numberA, numberB] = [Number(a.slice(1)), Number(b.slice(1))];
  if (Number.isFinite(numberA) && Number.isFinite(numberB)) return numberA - numberB;
  return a < b ? -1 : a > b ? 1 : 0;
}

/** So many answers are remembered: a text that has more unknown codes is no program. */
const MOST_REMEMBERED = 500;

/** What the same question is answered without looking for it again. */
function remembered(ask: (code: string) => readonly string[]): (code: string) => readonly string[] {
  const known = new Map<string, readonly string[]>();
  return (code) => {
    const answer = known.get(code) ?? ask(code);
    if (known.size >= MOST_REMEMBERED) known.clear();
    known.set(code, answer);
    return answer;
  };
}

const NUMBERED = /^[GMT]\d/;

/** The records that a numbered code of a letter is likened to, by that letter, and those that a name is: ''. */
const likened = once((offered: readonly CommandRecord[]) => {
  const groups = new Map<string, Map<string, CommandRecord>>();
  for (const record of offered) {
    const { code } = record;
    const letter = NUMBERED.test(code) ? code.charAt(0) : '';
    if (letter === '' && code.length <= 1) continue;
    const group = groups.get(letter) ?? new Map<string, CommandRecord>();
    if (!group.has(code)) group.set(code, record);
    groups.set(letter, group);
  }
  return groups;
});

/** Numbered codes are likened to numbered ones of the same letter, names to names. */
function suggest(code: string, offered: readonly CommandRecord[]): readonly string[] {
  const wanted = code.toUpperCase();
  const numbered = NUMBERED.test(wanted);
  const alike = likened(offered).get(numbered ? wanted.charAt(0) : '') ?? new Map<string, CommandRecord>();
  const found = (numbered ? nearestCode : nearest)(wanted, alike.keys());
  return found.map((one) => writtenCode(alike.get(one) ?? null, one));
}
