import { keepFacts, type Disk as PlainDisk, REASONS, reasonNotToReplace } from './disk.ts';

/** What is needed of `node:fs/promises`, which only the entry may import. */
export interface ReplacingDisk extends PlainDisk {
  readFile(path: string): Promise<Uint8Array>;
  writeFile(
    path: string,
    bytes: Uint8Array,
    options: { readonly flag: string; readonly mode: number; readonly flush: boolean },
  ): Promise<void>;
}

/**
 * Puts other bytes in the place of a file's, all or none: they are written beside it, and the new file then takes the
 * old one's name. Nothing happens where the file no longer holds `before`. Links are followed, permissions kept, owner
 * and group where the system allows it; a file of several names (hard links) is refused.
 * @param mark Tells this run's temporary file from another's.
 * @param tidy Takes away what killed runs left beside the file, whose place without links it is given.
 * @returns Why it was not done, as the rest of "cannot write FILE:"; null where it was.
 */
export async function replaceFile(
  disk: ReplacingDisk,
  path: string,
  before: Uint8Array,
  after: Uint8Array,
  mark: string,
  tidy: (target: string) => Promise<void> = async () => {},
): Promise<string | null> {
  let temporary: string | null = null;
  try {
    const target = await disk.realpath(path);
    const reason = await reasonNotToReplace(disk, target);
    if (reason !== null) return reason;
    const facts = await disk.stat(target);
    await tidy(target);
    const beside = `${target}.${mark}.tmp`;
    // Nobody else may read it until it has the permissions of the old file.
    await disk.writeFile(beside, after, { flag: 'wx', mode: OWN, flush: true }).catch((error: unknown) => {
      // Where one is in the way it is not ours; a full disk leaves ours half written.
      if ((error as { readonly code?: string }).code !== 'EEXIST') temporary = beside;
      throw error;
    });
    temporary = beside;
    await keepFacts(disk, beside, facts);
    if (!isSame(await disk.readFile(target), before)) {
      await disk.unlink(beside);
      return 'it was changed meanwhile; run the command again';
    }
    await disk.rename(beside, target);
    return null;
  } catch (error) {
    if (temporary !== null) await disk.unlink(temporary).catch(() => {});
    const { code = '', message } = error as { readonly code?: string; readonly message: string };
    return REASONS[code] ?? message;
  }
}

/** Read and written by its owner (POSIX.1-2017, sys/stat.h). */
const OWN = 0o600;

/** Whether two files hold the same bytes. */
export const isSame = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, i) => byte === b[i]);
