/** One entry of a folder. */
export interface FolderEntry {
  readonly name: string;
  readonly folder: boolean;
}

/** How to look into folders. A folder or file is named by a path or a URI: whatever `join` makes. */
export interface Folders {
  /** What lies directly in a folder; empty where there is none or it cannot be read. */
  list(folder: string): Promise<readonly FolderEntry[]>;
  join(folder: string, name: string): string;
}

/** Whether a file of this name is a machine file. */
export const isMachineName = (name: string): boolean => /\.machine\.json$/i.test(name);

/** Whether a file of this name is a vocabulary file. */
export const isVocabularyName = (name: string): boolean => /\.placeholders\.json$/i.test(name);

// A folder that somebody opens can be a whole disk: look far enough for any workshop, and stop.
const MOST_FOLDERS = 1000;
const DEEPEST = 8;
/** How many folders above a text are looked into: no path that a person made is so deep. */
export const MOST_ABOVE = 256;
const SKIPPED = /^(\..*|node_modules)$/;

/** The machine files directly in a folder. */
export async function machinesIn({ list, join }: Folders, folder: string): Promise<string[]> {
  return (await namesIn(list, folder, isMachineName)).map((name) => join(folder, name));
}

/** The files directly in a folder whose name is wanted, in the order of their names: a disk has them in any. */
async function namesIn(list: Folders['list'], folder: string, wanted: (name: string) => boolean): Promise<string[]> {
  const entries = await list(folder);
  return entries.flatMap((e) => (!e.folder && wanted(e.name) ? [e.name] : [])).sort();
}

/** The vocabulary files directly in a folder. */
export async function vocabulariesIn({ list, join }: Folders, folder: string): Promise<string[]> {
  return (await namesIn(list, folder, isVocabularyName)).map((name) => join(folder, name));
}

/** The machine files in a folder and below it, level by level. Hidden folders and packages are left out. */
export const machinesBelow = (folders: Folders, root: string): Promise<string[]> =>
  filesBelow(folders, root, isMachineName);

/** The files in a folder and below it whose name is wanted, level by level. Hidden folders and packages are left out. */
export async function filesBelow(
  { list, join }: Folders,
  root: string,
  wanted: (name: string) => boolean,
): Promise<string[]> {
  const found: string[] = [];
  let level = [root];
  let visited = 0;
  for (let depth = 0; depth <= DEEPEST && level.length > 0; depth++) {
    const folders = level.slice(0, MOST_FOLDERS - visited);
    visited += folders.length;
    const lists = await Promise.all(folders.map((folder) => list(folder)));
    level = [];
    for (const [i, folder] of folders.entries()) {
      for (const { name, folder: isFolder } of lists[i] ?? []) {
        if (isFolder && !SKIPPED.test(name)) level.push(join(folder, name));
        if (!isFolder && wanted(name)) found.push(join(folder, name));
      }
    }
  }
  return found;
}

/** Names for a sentence: the first few, and how many more there are. */
export function someOf(names: readonly string[]): string {
  const more = names.length - MOST_NAMED;
  return more > 1 ? `${names.slice(0, MOST_NAMED).join(', ')} and ${more} more` : names.join(', ');
}
const MOST_NAMED = 5;

/** What is looked at of machine files that were found: as many, and as much text together (UTF-16 code units). */
export const MOST_FILES = 200;
const MOST_TEXT = 4_000_000;
/** How many are read at the same time. */
const AT_ONCE = 8;

/** What was read of the files that were found. */
export interface FilesFound<T> {
  readonly files: readonly T[];
  /** Why others were not looked at, in a sentence; null where all were. */
  readonly left: string | null;
}

/**
 * Reads files that were found, the first ones first, until it is enough: a folder that somebody made may hold any number.
 * After one that gave no answer in its time no more are waited for.
 */
export async function readFound<T extends { readonly text: string }>(
  places: readonly string[],
  read: (place: string) => Promise<T>,
  isLate: (file: T) => boolean,
): Promise<FilesFound<T>> {
  const files: T[] = [];
  let text = 0;
  let late = false;
  while (files.length < Math.min(places.length, MOST_FILES) && text <= MOST_TEXT && !late) {
    const next = places.slice(files.length, Math.min(files.length + AT_ONCE, MOST_FILES));
    const some = await Promise.all(next.map((place) => read(place)));
    for (const file of some) text += file.text.length;
    late = some.some(isLate);
    files.push(...some);
  }
  const rest = places.length - files.length;
  if (rest === 0) return { files, left: null };
  const why = late
    ? 'since one before them gave no answer'
    : text > MOST_TEXT
      ? `since those before them have more than ${MOST_TEXT / 1e6} MB together`
      : `since at most ${MOST_FILES} are`;
  const were = rest === 1 ? '1 more machine file was' : `${rest} more machine files were`;
  return { files, left: `${were} not looked at, ${why}; one of them may be meant.` };
}
