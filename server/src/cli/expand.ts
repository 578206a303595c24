import { recognise } from '../packages/package.ts';
import { type FolderEntry, isMachineName, isVocabularyName } from '../service/machineSearch.ts';
import { fitsPart, isPattern, withoutBraces } from './glob.ts';
import { cannot, type Io } from './io.ts';

/** One file to check. */
export interface Input {
  /** As it is told to the person; `-` is standard input. */
  readonly path: string;
  readonly absolute: string;
  /** In bytes; null where it is not known. */
  readonly size: number | null;
  /** It lay in a folder that was named: where it turns out to be no program, nobody asked for it. */
  readonly found: boolean;
}

export interface Expanded {
  readonly inputs: readonly Input[];
  /** Something that was named could not be used; it has been told. */
  readonly failed: boolean;
}

/** The files that arguments mean: files, folders, patterns and `-`, in the order given, each file once. */
export async function expand(args: readonly string[], io: Io): Promise<Expanded> {
  const inputs = new Map<string, Input>();
  let failed = false;
  const fail = (what: string, reason: string): void => {
    cannot(io, what, reason);
    failed = true;
  };
  const keep = (path: string, absolute: string, size: number, found: boolean): void => {
    if (!inputs.has(absolute)) inputs.set(absolute, { path, absolute, size, found });
  };
  const add = async (path: string, absolute: string): Promise<void> => {
    const looked = await io.look(absolute);
    if ('reason' in looked) return fail(path, looked.reason);
    if (looked.kind === 'file') return keep(path, absolute, looked.size, false);
    if ((await addFolder(path, absolute)) === 0)
      fail(path, 'this folder holds no sequence, program, package or machine file');
  };
  /** How many files were found, or could not be; links to folders are not followed, so that there is an end. */
  const addFolder = async (path: string, absolute: string): Promise<number> => {
    const inside = await io.readFolder(absolute);
    if ('reason' in inside) {
      fail(path, inside.reason);
      return 1;
    }
    let count = 0;
    for (const { name, folder } of [...inside].sort(byName)) {
      const place = io.resolve(absolute, name);
      const shown = joined(path, name, io);
      if (folder) {
        if (!isHidden(name)) count += await addFolder(shown, place);
        continue;
      }
      const looked = await io.look(place);
      if ('reason' in looked || looked.kind !== 'file') continue;
      if (!isOurs(name) && !(await isPackage(place, io))) continue;
      keep(shown, place, looked.size, true);
      count++;
    }
    return count;
  };
  for (const arg of args) {
    if (arg === '-') {
      inputs.set('-', { path: '-', absolute: '-', size: null, found: false });
      continue;
    }
    const absolute = io.resolve(arg);
    if (!isPattern(arg) || !('reason' in (await io.look(absolute)))) {
      await add(arg, absolute);
      continue;
    }
    const fitting = await matches(arg, io);
    if (fitting.length === 0) fail(arg, 'no file fits this pattern');
    for (const one of fitting) await add(one, io.resolve(one));
  }
  return { inputs: [...inputs.values()], failed };
}

const isOurs = (name: string): boolean =>
  /\.(gcode|gco|g)$/i.test(name) || isMachineName(name) || isVocabularyName(name);

/** A folder may hold files of any kind: one that cannot be read is left to those who named it. */
async function isPackage(path: string, io: Io): Promise<boolean> {
  const file = await io.open(path);
  if ('reason' in file) return false;
  try {
    const kind = await recognise(file);
    return kind === 'zip' || kind === 'gzip';
  } catch {
    return false;
  } finally {
    await file.close();
  }
}

/** A path in a folder, written as the person wrote the folder. */
function joined(folder: string, name: string, io: Io): string {
  if (folder === '.') return name;
  return /[\\/]$/.test(folder) ? folder + name : folder + io.separator + name;
}

const isHidden = (name: string): boolean => name.startsWith('.') || name === 'node_modules';
const byName = (a: FolderEntry, b: FolderEntry): number => (a.name < b.name ? -1 : 1);

/** How many folders a pattern looks into at most: `**` in a wide tree has an end. */
const MOST_FOLDERS = 20_000;

/** The paths that fit a pattern, in the order of their names; folders fit only where files can lie in them. */
async function matches(pattern: string, io: Io): Promise<string[]> {
  const found = new Set<string>();
  let left = MOST_FOLDERS;
  const walk = async (base: string, parts: readonly string[]): Promise<void> => {
    const [part = '', ...rest] = parts;
    if (part === '' || left-- <= 0) return;
    const join = (name: string): string =>
      base === '' || /[\\/]$/.test(base) ? base + name : base + io.separator + name;
    if (!isPattern(part)) {
      const next = join(part);
      if (rest.length > 0) return walk(next, rest);
      if (!('reason' in (await io.look(io.resolve(next))))) found.add(next);
      return;
    }
    const entries = [...(await io.listFolder(io.resolve(base || '.')))].sort(byName);
    if (part === '**') {
      await walk(base, rest.length > 0 ? rest : ['*']);
      for (const { name, folder } of entries) {
        if (folder && !isHidden(name)) await walk(join(name), parts);
      }
      return;
    }
    for (const { name, folder } of entries) {
      if (!fitsPart(name, part)) continue;
      if (rest.length > 0) {
        if (folder) await walk(join(name), rest);
      } else if (!folder) found.add(join(name));
    }
  };
  for (const one of withoutBraces(pattern)) {
    // On Windows a backslash is a separator, elsewhere a character of a name.
    const parts = (io.separator === '\\' ? one.replaceAll('\\', '/') : one).split('/');
    const root = /^([A-Za-z]:)?$/.test(parts[0] ?? '') && parts.length > 1 ? `${parts.shift()}${io.separator}` : '';
    await walk(
      root,
      parts.filter((part) => part !== '' && part !== '.'),
    );
  }
  return [...found];
}
