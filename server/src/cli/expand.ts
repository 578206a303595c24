import { recognise } from '../program/package.ts';
import { filesBelow, isMachineName, isVocabularyName } from '../service/machineSearch.ts';
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
  const add = async (path: string, absolute: string, found: boolean): Promise<void> => {
    const looked = await io.look(absolute);
    if ('reason' in looked) return fail(path, looked.reason);
    if (looked.kind === 'folder') return addFolder(path, absolute);
    if (looked.kind === 'other') return fail(path, 'it is neither a file nor a folder');
    if (!inputs.has(absolute)) inputs.set(absolute, { path, absolute, size: looked.size, found });
  };
  const addFolder = async (path: string, absolute: string): Promise<void> => {
    const inside = await io.readFolder(absolute);
    if ('reason' in inside) return fail(path, inside.reason);
    const below = await filesBelow({ list: io.listFolder, join: io.resolve }, absolute, () => true);
    let any = false;
    for (const file of below.sort()) {
      if (!isOurs(io.name(file)) && !(await isPackage(file, io))) continue;
      any = true;
      await add(joined(path, file.slice(absolute.length), io), file, true);
    }
    if (!any) fail(path, 'this folder holds no sequence, program, package or machine file');
  };
  for (const arg of args) {
    if (arg === '-') {
      inputs.set('-', { path: '-', absolute: '-', size: null, found: false });
      continue;
    }
    const absolute = io.resolve(arg);
    if (!isPattern(arg) || !('reason' in (await io.look(absolute)))) {
      await add(arg, absolute, false);
      continue;
    }
    const fitting = await matches(arg, io);
    if (fitting.length === 0) fail(arg, 'no file fits this pattern');
    for (const path of fitting) await add(path, io.resolve(path), false);
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

/** A path below a folder, written as the person wrote the folder. */
function joined(folder: string, below: string, io: Io): string {
  const rest = below.replace(/^[\\/]+/, '');
  if (folder === '.') return rest;
  return /[\\/]$/.test(folder) ? folder + rest : folder + io.separator + rest;
}

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
    const entries = [...(await io.listFolder(io.resolve(base || '.')))].sort((a, b) => (a.name < b.name ? -1 : 1));
    if (part === '**') {
      await walk(base, rest.length > 0 ? rest : ['*']);
      for (const { name, folder } of entries) {
        if (folder && !name.startsWith('.') && name !== 'node_modules') await walk(join(name), parts);
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
