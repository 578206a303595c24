import { entryBytes, type PackageEntry, PackageError, type PackageLimits } from '../packages/package.ts';
import {
  type Expected,
  LONGEST_SIDECAR,
  type MakeHasher,
  readSidecar,
  sidecarEntry,
  sidecarNames,
  withSum,
} from '../packages/sidecar.ts';
import type { ByteSource, Inflate } from '../packages/source.ts';
import { decode } from '../text/decode.ts';
import type { InspectedFiles } from './inspectedFiles.ts';

/** What comparing checksums takes from the world. */
export interface SumWorld {
  readonly files: InspectedFiles;
  readonly inflate: Inflate;
  /** null: sums cannot be reckoned here. */
  readonly hasher: MakeHasher | null;
}

/** The sum that a file beside `uri` gives for it; null where there is none. Rejects with a sentence where it is no sum. */
export async function sumBeside(uri: string, name: string, { files }: SumWorld): Promise<Expected | null> {
  for (const { name: place, kind } of sidecarNames(uri)) {
    const file = await files.open(place).catch(() => null);
    if (!file) continue;
    try {
      if (file.size > LONGEST_SIDECAR) continue;
      return expectedIn(await file.read(0, file.size), kind, `${name}.${kind}`, name);
    } finally {
      await file.close();
    }
  }
  return null;
}

/** The sum that an entry's package gives for it; null where it gives none. */
export async function sumInside(
  source: ByteSource,
  entry: PackageEntry,
  entries: readonly PackageEntry[],
  { inflate }: SumWorld,
  limits: PackageLimits,
): Promise<Expected | null> {
  const found = sidecarEntry(entry, entries);
  if (!found) return null;
  const pieces: Uint8Array[] = [];
  for await (const piece of entryBytes(source, found.entry, inflate, limits)) pieces.push(piece);
  const bytes = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  pieces.reduce((at, piece) => {
    bytes.set(piece, at);
    return at + piece.length;
  }, 0);
  return expectedIn(bytes, found.kind, found.entry.name, entry.name.split(/[\\/]/).pop() ?? '');
}

function expectedIn(bytes: Uint8Array, kind: Expected['kind'], told: string, name: string): Expected {
  const expected = readSidecar(decode(bytes).text, kind, told, name);
  if (typeof expected === 'string') throw new PackageError(expected);
  return expected;
}

/** Bytes that are compared as they pass, and what the report says of it. */
export interface Summed {
  readonly bytes: AsyncIterable<Uint8Array>;
  readonly note: string | null;
}

export function summed(
  bytes: AsyncIterable<Uint8Array>,
  expected: Expected | null,
  what: string,
  { hasher }: SumWorld,
): Summed {
  if (!expected) return { bytes, note: null };
  if (!hasher) return { bytes, note: `${expected.told} is there; checksums cannot be compared in this editor.` };
  return {
    bytes: withSum(bytes, expected, hasher, what),
    note: `${what} has the ${expected.kind} that ${expected.told} gives.`,
  };
}
