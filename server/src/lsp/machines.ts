import type { Machine } from '../machine/machine.ts';
import type { VocabularyFile } from '../machine/vocabularyFile.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import { type Folders, machinesBelow, machinesIn, vocabulariesIn } from '../service/machineSearch.ts';
import type { Engine } from './engine.ts';
import type { Files } from './files.ts';
import { canonical, inFolder, nameOf } from './uri.ts';

/** A machine file as read last. The object stays the same for as long as its text does. */
export interface MachineFile {
  /** Canonical. */
  readonly uri: string;
  readonly text: string;
  /** null where the text holds no machine at all. */
  readonly machine: Machine | null;
  /** The machine's name, or the file's. */
  readonly name: string;
}

/** A vocabulary file as read last. The object stays the same for as long as its text does. */
export interface ReadVocabulary {
  readonly uri: string;
  readonly text: string;
  /** null where the text holds no vocabulary at all. */
  readonly file: VocabularyFile | null;
}

/** Every machine file that the session has met. The text in an open editor wins over the disk. */
export interface MachineStore {
  /** null: missing or unreadable. */
  read(uri: string): Promise<MachineFile | null>;
  /** URIs of the machine files in a workspace folder and below. */
  below(root: string): Promise<readonly string[]>;
  /** URIs of the machine files directly in a folder. */
  directlyIn(folder: string): Promise<readonly string[]>;
  /** null: missing or unreadable. */
  readVocabulary(uri: string): Promise<ReadVocabulary | null>;
  /** URIs of the vocabulary files directly in a folder. */
  vocabulariesIn(folder: string): Promise<readonly string[]>;
  /** The names of a vocabulary file (null: the built-in ones) on a machine; the same object for the same two. */
  vocabulary(machine: MachineFile | null, file: ReadVocabulary | null): Vocabulary;
  /** Something changed on disk: one file, or (no argument) anything. */
  forget(uri?: string): void;
}

/** `openText`: the text of a file that is open in an editor, by canonical URI. */
export function makeMachineStore(
  files: Files,
  engine: Engine,
  openText: (uri: string) => string | undefined,
): MachineStore {
  const folders: Folders = { list: (folder) => files.list(folder), join: inFolder };
  const parsed = new Map<string, MachineFile>();
  const disk = new Map<string, Promise<string | null>>();
  const lists = new Map<string, Promise<readonly string[]>>();

  const parse = (uri: string, text: string): MachineFile => {
    const before = parsed.get(uri);
    if (before && before.text === text) return before;
    const { machine } = engine.readMachine(text);
    const file = { uri, text, machine, name: machine?.name || nameOf(uri) };
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
    async read(given) {
      const uri = canonical(given);
      const text = openText(uri) ?? (await kept(disk, uri, () => files.read(uri)));
      return text === null ? null : parse(uri, text);
    },
    async readVocabulary(given) {
      const uri = canonical(given);
      const text = openText(uri) ?? (await kept(disk, uri, () => files.read(uri)));
      if (text === null) return null;
      const before = vocabularies.get(uri);
      if (before?.text === text) return before;
      const read = { uri, text, file: engine.readVocabulary(text).vocabulary };
      vocabularies.set(uri, read);
      return read;
    },
    vocabulariesIn: (folder) => kept(lists, `names in ${canonical(folder)}`, () => vocabulariesIn(folders, folder)),
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
