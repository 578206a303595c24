import type { Machine } from '../machine/machine.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import { type Folders, machinesBelow, machinesIn } from '../service/machineSearch.ts';
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
  readonly vocabulary: Vocabulary;
  /** The machine's name, or the file's. */
  readonly name: string;
}

/** Every machine file that the session has met. The text in an open editor wins over the disk. */
export interface MachineStore {
  /** null: missing or unreadable. */
  read(uri: string): Promise<MachineFile | null>;
  /** URIs of the machine files in a workspace folder and below. */
  below(root: string): Promise<readonly string[]>;
  /** URIs of the machine files directly in a folder. */
  directlyIn(folder: string): Promise<readonly string[]>;
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
    const vocabulary = engine.vocabularyFor(machine);
    const file = { uri, text, machine, vocabulary, name: machine?.name || nameOf(uri) };
    parsed.set(uri, file);
    return file;
  };
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
    below: (root) => kept(lists, `below ${canonical(root)}`, () => machinesBelow(folders, canonical(root))),
    directlyIn: (folder) => kept(lists, `in ${canonical(folder)}`, () => machinesIn(folders, folder)),
    forget(uri) {
      lists.clear();
      if (uri === undefined) disk.clear();
      else disk.delete(canonical(uri));
    },
  };
}
