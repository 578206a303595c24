import { readMachine } from '../machine/load.ts';
import type { Machine } from '../machine/machine.ts';
import { readVocabulary } from '../machine/readVocabulary.ts';
import { chooseMachine, chooseVocabulary, plainPath } from '../machine/resolve.ts';
import { vocabularyFor } from '../machine/vocabulary.ts';
import type { VocabularyFile } from '../machine/vocabularyFile.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import { machinesBelow, machinesIn, vocabulariesIn } from '../service/machineSearch.ts';
import { decode } from '../text/decode.ts';
import type { Io } from './io.ts';

/** The machine that a file is checked against. */
export interface Found {
  /** Absolute path of its machine file; null where none was found. */
  readonly path: string | null;
  readonly text: string;
  readonly machine: Machine | null;
  readonly vocabulary: Vocabulary;
  /** Absolute path and text of the vocabulary file that is used; null for the built-in names. */
  readonly names: { readonly path: string; readonly text: string; readonly file: VocabularyFile } | null;
  /** Why the vocabulary file that should decide is not used, in a sentence; null where all is well. */
  readonly fault: string | null;
  /** Why there is no machine, in a sentence; null where there is one. */
  readonly note: string | null;
}

/** Finds machine files and reads each at most once. */
export interface Finder {
  /** `pick`: path of the machine file that was asked for. */
  find(file: string, pick: string | null): Promise<Found>;
  /** The vocabulary file that a machine file names, or why it cannot be used. */
  namesOf(machineFile: string, text: string): Promise<Pick<Found, 'fault' | 'names'>>;
}

/** Looks where the editor looks: in the file's folder and those above, and below the folder that the command runs in. */
export function makeFinder(io: Io): Finder {
  const texts = new Map<string, Promise<{ readonly text: string; readonly machine: Machine | null } | null>>();
  const vocabularies = new Map<
    string,
    Promise<{ readonly text: string; readonly vocabulary: VocabularyFile | null } | null>
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
      if ('reason' in bytes) return null;
      const { text } = decode(bytes);
      return { text, machine: readMachine(text).machine };
    });

  const readNames = (path: string) =>
    kept(vocabularies, path, async () => {
      const bytes = await io.readFile(path);
      if ('reason' in bytes) return null;
      const { text } = decode(bytes);
      return { text, vocabulary: readVocabulary(text).vocabulary };
    });

  const above = (file: string): string[] => {
    const folders: string[] = [];
    for (let at = file, next = io.parent(at); next !== at; at = next, next = io.parent(at)) folders.push(next);
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
        fault: `More than one vocabulary file could be meant (${choice.among.map((one) => io.shorten(one)).join(', ')}): name one in the machine file as “placeholders”.`,
      };
    if (choice.path === null) return { ...usual, fault: null };
    const chosen = choice.path;
    const place = known.find((one) => plainPath(one) === chosen) ?? io.resolve(chosen);
    const read = await readNames(place);
    if (read?.vocabulary)
      return {
        vocabulary: vocabularyFor(machine, read.vocabulary),
        names: { path: place, text: read.text, file: read.vocabulary },
        fault: null,
      };
    return {
      ...usual,
      fault: `The vocabulary file ${io.shorten(place)}${choice.named ? ', which the machine file names,' : ''} ${read ? 'holds no vocabulary' : 'cannot be read'}.`,
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
      const known = await Promise.all(paths.map(async (path) => ({ path, read: await read(path) })));
      const choice = chooseMachine({
        pick: pick && plainPath(pick),
        sequencePath: plainPath(file),
        candidates: known.map((one) => ({ path: plainPath(one.path), machine: one.read?.machine ?? null })),
        defaultMachine: null,
      });
      const chosen = known.find(({ path }) => plainPath(path) === choice.path);
      const named = await namesOf(file, chosen ? plainPath(chosen.path) : null, chosen?.read?.machine ?? null);
      if (chosen?.read?.machine) return { path: chosen.path, ...chosen.read, ...named, note: null };
      const none = { path: chosen?.path ?? null, text: chosen?.read?.text ?? '', machine: null };
      return { ...none, ...named, note: whyNone(io, chosen?.path ?? null, choice.among) };
    },
  };
}

function whyNone(io: Io, path: string | null, among: readonly string[]): string {
  if (path !== null) return `the machine file ${io.shorten(path)} cannot be used: machine checks are off.`;
  if (among.length === 0) return 'no machine file was found: machine checks are off. Give one with --machine.';
  const names = among.map((one) => io.shorten(one)).join(', ');
  return `more than one machine could be meant (${names}): machine checks are off. Choose with --machine.`;
}
