import { joined } from './bytes.ts';
import { LIMITS, type Listed, type PackageEntry, PackageError, type PackageLimits, refuse } from './entry.ts';
import { gzipBytes, gzipEntry } from './gzip.ts';
import { proposedName } from './names.ts';
import { readOpc } from './opc.ts';
import { recognise } from './recognise.ts';
import { type Sniffed, sniff } from './sniff.ts';
import type { ByteSource, Inflate } from './source.ts';
import { marked } from './unpacking.ts';
import { zipBytes } from './zipData.ts';
import { readZipDirectory } from './zipDirectory.ts';

export { type ContentKind, LIMITS, type Listed, type PackageEntry, PackageError, type PackageLimits } from './entry.ts';
export { proposedName, recognise };

/**
 * What a package holds, by content. The largest files in it are looked into (their first bytes are unpacked), so that
 * a program is known whatever it is called. Never rejects: what went wrong is a message.
 */
export async function listPackage(
  source: ByteSource,
  inflate: Inflate,
  limits: PackageLimits = LIMITS,
): Promise<Listed> {
  try {
    const kind = await recognise(source);
    if (kind === 'zip') return await listZip(source, inflate, limits);
    if (kind === 'gzip') return await listGzip(source, inflate, limits);
    return refuse(NO_PACKAGE[kind]);
  } catch (error) {
    return refuse(reasonOf(error));
  }
}

const NO_PACKAGE = {
  text: 'This is no package but plain text, so nothing has to be taken out of it. Check it as it is.',
  empty: 'This file is empty: it has 0 bytes. Its copy or download probably failed; make it again.',
  binary:
    'This is no package that Bookend knows (zip or gzip) and no text either. It may be a program in a binary form; have it written as plain text or packed as a zip.',
} as const;

/**
 * The entry's bytes, unpacked. Checked as they pass: sizes, ratio, names, CRC-32; what was given before an error
 * must then be thrown away. Throws PackageError, with a message of whole sentences.
 */
export async function* entryBytes(
  source: ByteSource,
  entry: PackageEntry,
  inflate: Inflate,
  limits: PackageLimits = LIMITS,
): AsyncGenerator<Uint8Array, void, undefined> {
  if (entry.problem !== null) throw new PackageError(entry.problem);
  try {
    const read = entry.place.packing === 'zip' ? zipBytes : gzipBytes;
    yield* read(marked(source), entry, inflate, limits);
  } catch (error) {
    throw error instanceof PackageError ? error : new PackageError(reasonOf(error));
  }
}

const reasonOf = (error: unknown): string => {
  if (error instanceof PackageError) return error.message;
  return `The package cannot be read: ${error instanceof Error ? error.message : String(error)}.`;
};

async function listZip(source: ByteSource, inflate: Inflate, limits: PackageLimits): Promise<Listed> {
  const directory = await readZipDirectory(source, limits);
  if (!directory.ok) return directory;
  const entries = [...directory.entries];
  const files = [...entries.keys()]
    .filter((i) => isFile(entries[i] as PackageEntry))
    .sort((a, b) => (entries[b] as PackageEntry).size - (entries[a] as PackageEntry).size);
  const largest = files.slice(0, limits.looks);
  for (const i of largest) entries[i] = await look(source, entries[i] as PackageEntry, inflate, limits);
  for (const i of files.slice(limits.looks)) entries[i] = { ...(entries[i] as PackageEntry), what: 'not looked into' };
  const opc = await readOpc(entries, (entry) => entryBytes(source, entry, inflate, limits));
  const typed = opc ? entries.map((entry) => ({ ...entry, type: opc.typeOf(entry.name) })) : entries;
  return {
    ok: true,
    entries: typed,
    programs: programsOf(typed),
    what: opc?.what ?? 'zip package',
    comment: directory.comment,
  };
}

const isFile = (entry: PackageEntry): boolean => entry.problem === null && entry.kind !== 'folder';

async function listGzip(source: ByteSource, inflate: Inflate, limits: PackageLimits): Promise<Listed> {
  const entry = await gzipEntry(source);
  if (typeof entry === 'string') return refuse(entry);
  const seen = await look(source, entry, inflate, limits);
  if (seen.problem !== null) return refuse(seen.problem);
  return { ok: true, entries: [seen], programs: programsOf([seen]), what: 'gzip file', comment: '' };
}

const programsOf = (entries: readonly PackageEntry[]): readonly PackageEntry[] =>
  entries.filter((entry) => entry.program).sort((a, b) => b.size - a.size);

/** How much of an entry is unpacked to tell what it is: first, and where that is all remarks. */
const GLANCE = 1 << 14;
const LONG_LOOK = 1 << 20;

/** The same entry, with what it is; or with why it cannot be read, where that shows at once. */
async function look(
  source: ByteSource,
  entry: PackageEntry,
  inflate: Inflate,
  limits: PackageLimits,
): Promise<PackageEntry> {
  const pieces: Uint8Array[] = [];
  let length = 0;
  let seen: Sniffed | null = null;
  try {
    for await (const piece of entryBytes(source, entry, inflate, limits)) {
      pieces.push(piece);
      length += piece.length;
      if (length < (seen ? LONG_LOOK : GLANCE)) continue;
      seen = sniff(joined(pieces, length), false);
      if (seen.program !== null || length >= LONG_LOOK) break;
    }
    seen = length < GLANCE || seen?.program === null ? sniff(joined(pieces, length), length < LONG_LOOK) : seen;
  } catch (error) {
    return { ...entry, what: 'not read', problem: reasonOf(error) };
  }
  if (!seen) return entry;
  // A megabyte of remarks: nothing but a program begins with one.
  const program = seen.program ?? true;
  return { ...entry, kind: seen.kind, what: program ? 'program' : seen.what, program };
}
