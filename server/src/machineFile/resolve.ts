import type { Machine } from '../machine/machine.ts';

// Paths here are texts with '/' between their parts: plain ones, or URIs. Percent-encoding is the caller's matter.

/** A machine file that is known, with what it says; null where it could not be read. */
export interface Candidate {
  readonly path: string;
  readonly machine: Machine | null;
}

/** Which machine file a text belongs to, and why. `among`: for `several`, the files between which nothing decides. */
export interface FileChoice {
  readonly path: string | null;
  readonly reason: 'picked' | 'listed' | 'nearest' | 'default' | 'several' | 'none';
  readonly among: readonly string[];
}

/**
 * Chooses the machine file of a sequence, in this order: the user's pick; a machine file that lists the sequence (of
 * several the nearest); the only machine file in its folder or the nearest folder above that has one; the default.
 * `sequencePath` is null for a text that has never been saved: only a pick or the default can decide then.
 */
export function chooseMachine(about: {
  readonly pick: string | null;
  readonly sequencePath: string | null;
  readonly candidates: readonly Candidate[];
  readonly defaultMachine: string | null;
}): FileChoice {
  const { pick, sequencePath, candidates, defaultMachine } = about;
  if (pick !== null) return { path: pick, reason: 'picked', among: [] };
  const listed = sequencePath === null ? [] : candidates.filter((one) => lists(one, sequencePath));
  if (listed.length === 1) return { path: listed[0]?.path ?? null, reason: 'listed', among: [] };
  const pool = listed.length > 1 ? listed : candidates;
  const near = sequencePath === null ? [] : nearestAbove(sequencePath, pool);
  if (near.length === 1) return { path: near[0] ?? null, reason: listed.length > 1 ? 'listed' : 'nearest', among: [] };
  if (defaultMachine !== null) return { path: defaultMachine, reason: 'default', among: [] };
  const among = near.length > 1 ? near : listed.map((one) => one.path);
  return { path: null, reason: among.length > 0 ? 'several' : 'none', among };
}

/**
 * Chooses the vocabulary file of a text: the one that its machine file names; else the only one in the text's folder, or
 * in the nearest folder above that has some. Where nothing decides between several, `among` holds them.
 */
export function chooseVocabulary(about: {
  readonly machinePath: string | null;
  /** As the machine file names it. */
  readonly named: string | null;
  readonly textPath: string | null;
  readonly candidates: readonly string[];
}): { readonly path: string | null; readonly named: boolean; readonly among: readonly string[] } {
  const { machinePath, named, textPath, candidates } = about;
  if (machinePath !== null && named !== null)
    return { path: resolvePath(folderOf(machinePath), named), named: true, among: [] };
  const near =
    textPath === null
      ? []
      : nearestAbove(
          textPath,
          candidates.map((path) => ({ path })),
        );
  return { path: near.length === 1 ? (near[0] ?? null) : null, named: false, among: near.length > 1 ? near : [] };
}

/** Whether a machine file lists this sequence, in any role. */
export function lists({ path, machine }: Candidate, sequencePath: string): boolean {
  if (!machine) return false;
  const folder = folderOf(path);
  const wanted = plainPath(sequencePath);
  return [...machine.sequences.values()].some((files) => files.some((file) => resolvePath(folder, file) === wanted));
}

/** The candidates in the sequence's folder; where it has none, those in the nearest folder above that has some. */
function nearestAbove(sequencePath: string, candidates: readonly Pick<Candidate, 'path'>[]): string[] {
  const byFolder = new Map<string, string[]>();
  for (const { path } of candidates) {
    const folder = folderOf(path);
    byFolder.set(folder, [...(byFolder.get(folder) ?? []), path]);
  }
  for (let folder = folderOf(sequencePath), last = ''; folder !== last; last = folder, folder = folderOf(folder)) {
    const here = byFolder.get(folder);
    if (here) return here;
  }
  return [];
}

/** What stands before the parts of a path: `file://`, `vscode-vfs://host`, `C:`, or nothing. */
const ROOT = /^(?:[a-z][a-z0-9+.-]+:(?:\/\/[^/]*)?|[a-z]:)/i;

/** The folder that a file lies in, without a slash at its end; the root's folder is the root. */
export function folderOf(path: string): string {
  const plain = plainPath(path);
  const root = ROOT.exec(plain)?.[0] ?? '';
  const slash = plain.lastIndexOf('/');
  return slash >= root.length ? plain.slice(0, slash) : root;
}

/**
 * The path of a file as a machine file in `folder` names it: `./a.start.gcode`, `sub/a.gcode`, `../a.gcode`. A name that
 * begins with a slash, a drive or a scheme stands for itself. `..` above the root stays at the root.
 */
export function resolvePath(folder: string, name: string): string {
  const wanted = name.replaceAll('\\', '/');
  if (ROOT.test(wanted)) return plainPath(wanted);
  const root = ROOT.exec(folder.replaceAll('\\', '/'))?.[0] ?? '';
  return plainPath(wanted.startsWith('/') ? root + wanted : `${folder}/${wanted}`);
}

/** One spelling of a path: slashes, no `.` and no `..` that can be resolved, no doubled slashes. */
export function plainPath(path: string): string {
  const slashed = path.replaceAll('\\', '/');
  const root = ROOT.exec(slashed)?.[0] ?? '';
  const rest = slashed.slice(root.length);
  const rooted = rest.startsWith('/');
  const parts: string[] = [];
  for (const part of rest.split('/')) {
    if (part === '' || part === '.') continue;
    if (part !== '..') parts.push(part);
    else if (parts.length > 0 && parts.at(-1) !== '..') parts.pop();
    else if (!rooted) parts.push('..');
  }
  return `${root}${rooted ? '/' : ''}${parts.join('/')}`;
}
