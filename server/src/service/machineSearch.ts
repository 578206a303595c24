/** One entry of a folder. */
export interface Entry {
  readonly name: string;
  readonly folder: boolean;
}

/** How to look into folders. A folder or file is named by a path or a URI: whatever `join` makes. */
export interface Folders {
  /** What lies directly in a folder; empty where there is none or it cannot be read. */
  list(folder: string): Promise<readonly Entry[]>;
  join(folder: string, name: string): string;
}

/** Whether a file of this name is a machine file. */
export const isMachineName = (name: string): boolean => /\.machine\.json$/i.test(name);

/** Whether a file of this name is a vocabulary file. */
export const isVocabularyName = (name: string): boolean => /\.placeholders\.json$/i.test(name);

// A folder that somebody opens can be a whole disk: look far enough for any workshop, and stop.
const MOST_FOLDERS = 1000;
const DEEPEST = 8;
const SKIPPED = /^(\..*|node_modules)$/;

/** The machine files directly in a folder. */
export async function machinesIn({ list, join }: Folders, folder: string): Promise<string[]> {
  const entries = await list(folder);
  return entries.filter((e) => !e.folder && isMachineName(e.name)).map((e) => join(folder, e.name));
}

/** The vocabulary files directly in a folder. */
export async function vocabulariesIn({ list, join }: Folders, folder: string): Promise<string[]> {
  const entries = await list(folder);
  return entries.filter((e) => !e.folder && isVocabularyName(e.name)).map((e) => join(folder, e.name));
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
