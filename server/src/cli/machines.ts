import { readMachine } from '../machine/load.ts';
import type { Machine } from '../machine/machine.ts';
import { chooseMachine, plainPath } from '../machine/resolve.ts';
import { machinesBelow, machinesIn } from '../service/machineSearch.ts';
import { decode } from '../text/decode.ts';
import type { Io } from './io.ts';

/** The machine that a file is checked against. */
export interface Found {
  /** Absolute path of its machine file; null where none was found. */
  readonly path: string | null;
  readonly text: string;
  readonly machine: Machine | null;
  /** Why there is no machine, in a sentence; null where there is one. */
  readonly note: string | null;
}

/** Finds machine files and reads each at most once. */
export interface Finder {
  /** `pick`: path of the machine file that was asked for. */
  find(file: string, pick: string | null): Promise<Found>;
}

/** Looks where the editor looks: in the file's folder and those above, and below the folder that the command runs in. */
export function makeFinder(io: Io): Finder {
  const texts = new Map<string, Promise<{ readonly text: string; readonly machine: Machine | null } | null>>();
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

  const candidates = async (file: string): Promise<string[]> => {
    const above: string[] = [];
    for (let at = file, next = io.parent(at); next !== at; at = next, next = io.parent(at)) above.push(next);
    const searches = above.map((folder) => kept(lists, folder, () => machinesIn(folders, folder)));
    if (above.includes(io.folder)) {
      searches.push(kept(lists, `below ${io.folder}`, () => machinesBelow(folders, io.folder)));
    }
    return [...new Set((await Promise.all(searches)).flat())];
  };

  return {
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
      if (chosen?.read?.machine) return { path: chosen.path, ...chosen.read, note: null };
      const none = { path: chosen?.path ?? null, text: chosen?.read?.text ?? '', machine: null };
      return { ...none, note: whyNone(io, chosen?.path ?? null, choice.among) };
    },
  };
}

function whyNone(io: Io, path: string | null, among: readonly string[]): string {
  if (path !== null) return `the machine file ${io.shorten(path)} cannot be used: machine checks are off.`;
  if (among.length === 0) return 'no machine file was found: machine checks are off. Give one with --machine.';
  const names = among.map((one) => io.shorten(one)).join(', ');
  return `more than one machine could be meant (${names}): machine checks are off. Choose with --machine.`;
}
