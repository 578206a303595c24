import { UNREAD } from '../files/disk.ts';
import { newFile, type WritingDisk } from '../files/newFile.ts';
import type { ByteSource } from '../packages/source.ts';
import type { InspectedFiles, InspectionTarget } from './inspectedFiles.ts';
import { folderOf, shown } from './uri.ts';

/** What is needed of `node:fs/promises`, which only entries may import. Rejects with the system's errors. */
export interface InspectionDisk {
  readonly writing: WritingDisk;
  stat(path: string): Promise<Status>;
  openSource(path: string): Promise<ByteSource & { close(): Promise<void> }>;
  pathOf(uri: string): string;
  /** Tells a temporary file of this process from all others. */
  freshMark(): string;
  /** Takes away what killed runs left beside a file. */
  tidy(target: string): Promise<void>;
}

interface Status {
  readonly size: number;
  readonly mtimeMs: number;
  isFile(): boolean;
}

/** Files on a disk. What is written takes its name only when it is whole. */
export function makeInspectedFiles(disk: InspectionDisk): InspectedFiles {
  return {
    async open(uri) {
      const path = disk.pathOf(uri);
      const status = await telling(uri, disk.stat(path));
      // A pipe or a device would never end.
      if (!status.isFile()) throw new Error(`${shown(uri)} is no plain file, so there is nothing to check.`);
      const source = await telling(uri, disk.openSource(path));
      return {
        size: source.size,
        read: (offset, length, room) => telling(uri, source.read(offset, length, room)),
        async changed() {
          const now = await disk.stat(path).catch(() => null);
          if (now?.size === status.size && now.mtimeMs === status.mtimeMs) return null;
          return `${shown(uri)} ${now ? 'was changed' : 'went away'} while it was read: check it once more when it is complete.`;
        },
        close: () => source.close(),
      };
    },
    create: (uri, from) => create(disk, uri, from),
  };
}

async function create(
  { writing, pathOf, freshMark, tidy }: InspectionDisk,
  uri: string,
  from: string,
): Promise<InspectionTarget> {
  const no = (reason: string): Error => new Error(`Cannot write ${shown(uri)}: ${reason}.`);
  const folder = folderOf(uri);
  // The person was asked before anything is written over.
  const options = {
    overwrite: true,
    mark: freshMark(),
    tidy,
    from: pathOf(from),
    ...(folder ? { folder: pathOf(folder) } : {}),
  };
  const file = await newFile(writing, pathOf(uri), options);
  if ('reason' in file) throw no(file.reason);
  return {
    async write(bytes) {
      await file.write(bytes).catch((error: Error) => {
        throw no(error.message);
      });
    },
    async keep() {
      const reason = await file.keep();
      if (reason !== null) throw no(reason);
    },
    drop: () => file.drop(),
  };
}

/** Rejects with a sentence instead of the system's error. */
async function telling<T>(uri: string, work: Promise<T>): Promise<T> {
  try {
    return await work;
  } catch (error) {
    const { code = '', message } = error as { readonly code?: string; readonly message: string };
    throw new Error(`${shown(uri)} cannot be read: ${UNREAD[code] ?? message}.`);
  }
}
