import { type ReadLimits, tooLarge } from '../files/read.ts';
import type { Machine } from '../machine/machine.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import {
  type Folders,
  filesBelow,
  isVocabularyName,
  machinesBelow,
  machinesIn,
  vocabulariesIn,
} from '../service/machineSearch.ts';
import type { VocabularyFile } from '../vocabulary/file.ts';
import type { Engine } from './engine.ts';
import type { Files, ReadText } from './files.ts';
import { canonical, inFolder, nameOf } from './uri.ts';

/** A machine file as read last. The object stays the same for as long as its text does. */
export interface OpenedMachine {
  /** Canonical. */
  readonly uri: string;
  readonly text: string;
  /** null where the text holds no machine at all. */
  readonly machine: Machine | null;
  /** The machine's name, or the file's. */
  readonly name: string;
  /** Why it is not read, as the rest of "FILE cannot be read:"; null where it is. */
  readonly fault: string | null;
}

/** A vocabulary file as read last. The object stays the same for as long as its text does. */
export interface ReadVocabulary {
  readonly uri: string;
  readonly text: string;
  /** null where the text holds no vocabulary at all. */
  readonly file: VocabularyFile | null;
  /** Why it is not read, as the rest of "FILE cannot be read:"; null where it is. */
  readonly fault: string | null;
}

/** Every machine file that the session has met. The text in an open editor wins over the disk. */
export interface MachineStore {
  /** `from`: the file that names it; absent: it was found where it lies; null: the person named it. */
  read(uri: string, from?: string | null): Promise<OpenedMachine>;
  /** URIs of the machine files in a workspace folder and below. */
  below(root: string): Promise<readonly string[]>;
  /** URIs of the machine files directly in a folder. */
  directlyIn(folder: string): Promise<readonly string[]>;
  /** `from`: as for `read`. */
  readVocabulary(uri: string, from?: string | null): Promise<ReadVocabulary>;
  /** URIs of the vocabulary files directly in a folder. */
  vocabulariesIn(folder: string): Promise<readonly string[]>;
  /** URIs of the vocabulary files in a workspace folder and below. */
  vocabulariesBelow(root: string): Promise<readonly string[]>;
  /** The names of a vocabulary file (null: the built-in ones) on a machine; the same object for the same two. */
  vocabulary(machine: OpenedMachine | null, file: ReadVocabulary | null): Vocabulary;
  /** Something changed on disk: one file, or (no argument) anything. */
  forget(uri?: string): void;
}

/** How the store reads. */
export interface StoreParts {
  readonly files: Files;
  readonly engine: Engine;
  /** The text of a file that is open in an editor, by canonical URI. */
  openText(uri: string): string | undefined;
  /** What a file may be that `from` names (null: the person). */
  limits(uri: string, from: string | null): Promise<ReadLimits>;
}

export function makeMachineStore({ files, engine, openText, limits }: StoreParts): MachineStore {
  const folders: Folders = { list: (folder) => files.list(folder), join: inFolder };
  const parsed = new Map<string, OpenedMachine>();
  /** By URI, then by the folders that it may lie in: who names a file decides whether it is read. */
  const disk = new Map<string, Map<string, Promise<ReadText>>>();
  const lists = new Map<string, Promise<readonly string[]>>();

  const textOf = async (uri: string, from: string | null): Promise<ReadText> => {
    const allowed = await limits(uri, from);
    const open = openText(uri);
    if (open !== undefined)
      return open.length > allowed.largest ? { reason: tooLarge(open.length, allowed) } : { text: open };
    const known = disk.get(uri) ?? new Map<string, Promise<ReadText>>();
    disk.set(uri, known);
    return kept(known, JSON.stringify(allowed), () => files.read(uri, allowed));
  };

  const parse = (uri: string, read: ReadText): OpenedMachine => {
    const before = parsed.get(uri);
    const [text, fault] = 'text' in read ? [read.text, null] : ['', read.reason];
    if (before && before.text === text && before.fault === fault) return before;
    const machine = fault === null ? engine.readMachine(text).machine : null;
    const file = { uri, text, machine, name: machine?.name || nameOf(uri), fault };
    parsed.set(uri, file);
    return file;
  };
  const vocabularies = new Map<string, ReadVocabulary>();
  const nothing = {};
  const bound = new WeakMap<object, WeakMap<object, Vocabulary>>();
  const kept = <T>(cache: Map<string, Promise<T>>, key: string, make: () => Promise<T>): Promise<T> => {
    const before = cache.get(key);
    if (before) return before;
    const made = make();
    cache.set(key, made);
    return made;
  };

  return {
    async read(given, from = given) {
      const uri = canonical(given);
      return parse(uri, await textOf(uri, from));
    },
    async readVocabulary(given, from = given) {
      const uri = canonical(given);
      const read = await textOf(uri, from);
      const [text, fault] = 'text' in read ? [read.text, null] : ['', read.reason];
      const before = vocabularies.get(uri);
      if (before?.text === text && before.fault === fault) return before;
      const made = { uri, text, file: fault === null ? engine.readVocabulary(text).vocabulary : null, fault };
      vocabularies.set(uri, made);
      return made;
    },
    vocabulariesIn: (folder) => kept(lists, `names in ${canonical(folder)}`, () => vocabulariesIn(folders, folder)),
    vocabulariesBelow: (root) =>
      kept(lists, `names below ${canonical(root)}`, () => filesBelow(folders, canonical(root), isVocabularyName)),
    vocabulary(machine, file) {
      const ofMachine = bound.get(machine ?? nothing) ?? new WeakMap<object, Vocabulary>();
      bound.set(machine ?? nothing, ofMachine);
      const before = ofMachine.get(file ?? nothing);
      const made = before ?? engine.vocabularyFor(machine?.machine ?? null, file?.file ?? null);
      ofMachine.set(file ?? nothing, made);
      return made;
    },
    below: (root) => kept(lists, `below ${canonical(root)}`, () => machinesBelow(folders, canonical(root))),
    directlyIn: (folder) => kept(lists, `in ${canonical(folder)}`, () => machinesIn(folders, folder)),
    forget(uri) {
      lists.clear();
      if (uri === undefined) disk.clear();
      else disk.delete(canonical(uri));
    },
  };
}
