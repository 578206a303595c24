import { isLate } from '../files/read.ts';
import type { Machine } from '../machine/machine.ts';
import { readMachine } from '../machineFile/load.ts';
import { chooseMachine, chooseVocabulary, plainPath } from '../machineFile/resolve.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import { MOST_ABOVE, machinesBelow, machinesIn, readFound, someOf, vocabulariesIn } from '../service/machineSearch.ts';
import { decode } from '../text/decode.ts';
import type { VocabularyFile } from '../vocabulary/file.ts';
import { readVocabulary } from '../vocabulary/read.ts';
import { vocabularyFor } from '../vocabulary/vocabulary.ts';
import type { Io, Refusal } from './io.ts';

/** The machine that a file is checked against. */
export interface FoundMachine {
  /** Absolute path of its machine file; null where none was found. */
  readonly path: string | null;
  readonly text: string;
  readonly machine: Machine | null;
  readonly vocabulary: Vocabulary;
  /** Absolute path and text of the vocabulary file that is used; null for the built-in names. */
  readonly names: { readonly path: string; readonly text: string; readonly file: VocabularyFile } | null;
  /** Why the vocabulary file that should decide is not used, in a sentence; null where all is well. */
  readonly fault: string | null;
  /** Why there is no machine, in a sentence; null where there is one and all that could be meant was looked at. */
  readonly note: string | null;
  /** Why the machine file at `path` is not read, as the rest of "FILE cannot be read:"; null where it is. */
  readonly unread: string | null;
  /** Machine files that may be meant and cannot be read, by absolute path. */
  readonly faults: readonly { readonly path: string; readonly reason: string }[];
}

/** A machine file as it was read; without text where it was not. */
interface ReadMachine {
  readonly path: string;
  readonly text: string;
  readonly machine: Machine | null;
  readonly unread: string | null;
}

/** Finds machine files and reads each at most once. */
export interface Finder {
  /** `pick`: path of the machine file that was asked for. */
  find(file: string, pick: string | null): Promise<FoundMachine>;
  /** The vocabulary file that a machine file names, or why it cannot be used. */
  namesOf(machineFile: string, text: string): Promise<Pick<FoundMachine, 'fault' | 'names'>>;
}

/** Looks where the editor looks: in the file's folder and those above, and below the folder that the command runs in. */
export function makeFinder(io: Io): Finder {
  const texts = new Map<string, Promise<ReadMachine>>();
  const vocabularies = new Map<
    string,
    Promise<{ readonly text: string; readonly vocabulary: VocabularyFile | null } | Refusal>
  >();
  const lists = new Map<string, Promise<readonly string[]>>();
  const folders = { list: io.listFolder, join: io.resolve };
  const kept = <T>(cache: Map<string, Promise<T>>, key: string, make: () => Promise<T>): Promise<T> => {
    const made = cache.get(key) ?? make();
    cache.set(key, made);
    return made;
  };
  const read = (path: string) =>
    kept(texts, path, async () => {
      const bytes = await io.readFile(path);
      if ('reason' in bytes) return { path, text: '', machine: null, unread: bytes.reason };
      const { text } = decode(bytes);
      return { path, text, machine: readMachine(text).machine, unread: null };
    });

  const readNames = (path: string) =>
    kept(vocabularies, path, async () => {
      const bytes = await io.readFile(path);
      if ('reason' in bytes) return bytes;
      const { text } = decode(bytes);
      return { text, vocabulary: readVocabulary(text).vocabulary };
    });

  const above = (file: string): string[] => {
    const folders: string[] = [];
    for (
      let at = file, next = io.parent(at);
      next !== at && folders.length < MOST_ABOVE;
      at = next, next = io.parent(at)
    )
      folders.push(next);
    return folders;
  };

  /** The names that the tags of a file may use, on its machine. */
  const namesOf = async (file: string, machinePath: string | null, machine: Machine | null) => {
    const named = machine?.placeholders ?? null;
    const searches = above(file).map((folder) => kept(lists, `names ${folder}`, () => vocabulariesIn(folders, folder)));
    const known = named === null ? (await Promise.all(searches)).flat() : [];
    const choice = chooseVocabulary({
      machinePath,
      named,
      textPath: plainPath(file),
      candidates: known.map(plainPath),
    });
    const usual = { vocabulary: vocabularyFor(machine), names: null };
    if (choice.among.length > 0)
      return {
        ...usual,
        fault: `More than one vocabulary file could be meant (${someOf(choice.among.map((one) => io.shorten(one)))}): name one in the machine file as “placeholders”.`,
      };
    if (choice.path === null) return { ...usual, fault: null };
    const chosen = choice.path;
    const place = known.find((one) => plainPath(one) === chosen) ?? io.resolve(chosen);
    const read = await readNames(place);
    const cannot = 'reason' in read ? `cannot be read: ${read.reason}` : 'holds no vocabulary';
    if ('text' in read && read.vocabulary)
      return {
        vocabulary: vocabularyFor(machine, read.vocabulary),
        names: { path: place, text: read.text, file: read.vocabulary },
        fault: null,
      };
    return {
      ...usual,
      fault: `The vocabulary file ${io.shorten(place)}${choice.named ? ', which the machine file names,' : ''} ${cannot}.`,
    };
  };

  const candidates = async (file: string): Promise<string[]> => {
    const around = above(file);
    const searches = around.map((folder) => kept(lists, folder, () => machinesIn(folders, folder)));
    if (around.includes(io.folder)) {
      searches.push(kept(lists, `below ${io.folder}`, () => machinesBelow(folders, io.folder)));
    }
    return [...new Set((await Promise.all(searches)).flat())];
  };

  return {
    async namesOf(file, text) {
      const { machine } = readMachine(text);
      return machine?.placeholders ? namesOf(file, plainPath(file), machine) : { fault: null, names: null };
    },
    async find(file, pick) {
      const paths = pick === null ? await candidates(file) : [pick];
      const { files: known, left } = await readFound(paths, read, ({ unread }) => isLate(unread));
      const choice = chooseMachine({
        pick: pick && plainPath(pick),
        sequencePath: plainPath(file),
        candidates: known.map((one) => ({ path: plainPath(one.path), machine: one.machine })),
        defaultMachine: null,
      });
      const chosen = known.find(({ path }) => plainPath(path) === choice.path);
      const named = await namesOf(file, chosen ? plainPath(chosen.path) : null, chosen?.machine ?? null);
      const meant = known.filter(
        ({ path }) => plainPath(path) === choice.path || choice.among.includes(plainPath(path)),
      );
      const faults = meant.flatMap(({ path, unread }) => (unread === null ? [] : [{ path, reason: unread }]));
      if (chosen?.machine) return { ...chosen, ...named, faults, note: left };
      const none = chosen ?? { path: null, text: '', machine: null, unread: null };
      const why = whyNone(io, chosen ?? null, choice.among);
      return { ...none, ...named, faults, note: left === null ? why : `${why} ${left}` };
    },
  };
}

function whyNone(io: Io, chosen: ReadMachine | null, among: readonly string[]): string {
  if (chosen?.unread) return `the machine file ${io.shorten(chosen.path)} cannot be read: machine checks are off.`;
  if (chosen) return `the machine file ${io.shorten(chosen.path)} cannot be used: machine checks are off.`;
  if (among.length === 0) return 'no machine file was found: machine checks are off. Give one with --machine.';
  const names = someOf(among.map((one) => io.shorten(one)));
  return `more than one machine could be meant (${names}): machine checks are off. Choose with --machine.`;
}
