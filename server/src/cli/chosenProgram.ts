import { UNREAD } from '../files/disk.ts';
import {
  entryBytes,
  listPackage,
  type PackageEntry,
  type PackageLimits,
  proposedName,
  recognise,
} from '../packages/package.ts';
import { LONGEST_SIDECAR, readSidecar, sidecarEntry, sidecarNames, withSum } from '../packages/sidecar.ts';
import { didYouMean } from '../rules/say.ts';
import { decode } from '../text/decode.ts';
import { nearest } from '../text/nearest.ts';
import type { Io, OpenFile, Refusal } from './io.ts';
import { entriesTable } from './list.ts';
import { begin, bytesOf } from './opened.ts';
import { plain } from './plain.ts';

/** One program, out of a package or a text of its own. */
export interface ChosenProgram {
  /** Its name in the package; null where the file is the program itself. */
  readonly entry: string | null;
  /** A plain file name for it. */
  readonly name: string;
  readonly caution: string | null;
  /** The checksum file that it is compared with; null where there is none. */
  readonly sum: string | null;
  /** To be read once; throws where what passes is not as said. */
  readonly bytes: AsyncIterable<Uint8Array>;
}

/** The program that is meant: the file itself, the only one in a package, or the one of this name. */
export async function chooseProgram(
  file: OpenFile,
  path: string,
  wanted: string | null,
  limits: PackageLimits,
  io: Io,
): Promise<ChosenProgram | Refusal> {
  const kind = await recognise(file);
  const own = io.name(io.resolve(path));
  if (kind === 'text') {
    if (wanted !== null)
      return { reason: 'it is no package but a plain text, so it has no entries; leave --entry out' };
    const name = isProgramName(own) ? own : `${proposedName(own)}.gcode`;
    return { entry: null, name, caution: null, sum: null, bytes: bytesOf(file) };
  }
  const listed = await listPackage(file, io.inflate, limits);
  if (!listed.ok) return { reason: listed.message };
  const { entries, programs, what } = listed;
  const named = wanted === null ? programs : entries.filter(({ name }) => name === wanted);
  const [entry, ...others] = named;
  if (!entry) {
    const which =
      wanted === null
        ? `there is no program in this ${what}; it holds`
        : `it has no entry "${plain(wanted)}".${meantIn(wanted, entries)} It holds`;
    return { reason: `${which}\n${entriesTable(entries).trimEnd()}\n` };
  }
  if (others.length > 0 && wanted === null)
    return {
      reason: `it holds ${named.length} programs; choose one with --entry\n${entriesTable(programs).trimEnd()}\n`,
    };
  if (others.length > 0) return { reason: `${named.length} of its entries have the name "${plain(wanted ?? '')}"` };
  if (entry.problem !== null) return { reason: entry.problem };
  if (!entry.program) return { reason: `its entry "${plain(entry.name)}" is no program but: ${plain(entry.what)}` };
  return withSums(file, path, entry, entries, limits, io);
}

/** "Did you mean …?" or nothing: a name with a slip in it, or the same name in another folder; programs first. */
function meantIn(wanted: string, entries: readonly PackageEntry[]): string {
  const names = [...entries].sort((a, b) => Number(b.program) - Number(a.program)).map(({ name }) => name);
  const near = nearest(wanted, names);
  const last = (name: string): string => name.split(/[\\/]/).pop() ?? '';
  const meant = near.length > 0 ? near : names.filter((name) => last(name) === last(wanted)).slice(0, 2);
  return didYouMean(meant.map((name) => `"${plain(name)}"`));
}

/** With the checks of the checksum files that there are: of the entry in the package, of the package beside it. */
async function withSums(
  file: OpenFile,
  path: string,
  entry: PackageEntry,
  entries: readonly PackageEntry[],
  limits: PackageLimits,
  io: Io,
): Promise<ChosenProgram | Refusal> {
  const beside = await packageSum(io, file, path);
  if (beside !== null && typeof beside !== 'string') return beside;
  const proposed = proposedName(entry.name === '' ? io.name(io.resolve(path)) : entry.name);
  const name = isProgramName(proposed) ? proposed : `${proposed}.gcode`;
  const chosen = { entry: entry.name, name, caution: entry.caution, sum: beside };
  const bytes = entryBytes(file, entry, io.inflate, limits);
  const sidecar = sidecarEntry(entry, entries);
  if (!sidecar) return { ...chosen, bytes };
  const text = await begin(entryBytes(file, sidecar.entry, io.inflate, limits), LONGEST_SIDECAR);
  const last = entry.name.split(/[\\/]/).pop() ?? '';
  const expected = readSidecar(decode(text.head()).text, sidecar.kind, sidecar.entry.name, last);
  if (typeof expected === 'string') return { reason: expected };
  const checked = withSum(bytes, expected, io.hasher, `The entry "${entry.name}"`);
  return { ...chosen, sum: sidecar.entry.name, bytes: checked };
}

/** Reads the package against the checksum file that lies beside it. Its name; null where there is none. */
async function packageSum(io: Io, file: OpenFile, path: string): Promise<string | null | Refusal> {
  const place = io.resolve(path);
  for (const { name, kind } of sidecarNames(place)) {
    const looked = await io.look(name);
    if ('reason' in looked && looked.reason === UNREAD.ENOENT) continue;
    if ('kind' in looked && (looked.kind !== 'file' || looked.size > LONGEST_SIDECAR)) continue;
    // What lies there and cannot be read would leave the package unchecked without a word.
    const bytes = await io.readFile(name);
    if ('reason' in bytes) return { reason: `its checksum file ${io.shorten(name)} cannot be read: ${bytes.reason}` };
    const expected = readSidecar(decode(bytes).text, kind, io.shorten(name), io.name(place));
    if (typeof expected === 'string') return { reason: expected };
    for await (const _ of withSum(bytesOf(file), expected, io.hasher, `The package ${path}`));
    return expected.told;
  }
  return null;
}

const isProgramName = (name: string): boolean => /\.(gcode|gco|g)$/i.test(name);
