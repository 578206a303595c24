import { sameBytes, u16, u32, u64 } from './bytes.ts';
import { countText, type PackageEntry, PackageError, type PackageLimits } from './entry.ts';
import { decodeName, shownName } from './names.ts';
import { type ByteSource, type Inflate, piecesOf } from './source.ts';
import { checked } from './unpacking.ts';
import { readSizes } from './zipDirectory.ts';

const LOCAL = 0x04034b50; // PKWARE APPNOTE 4.3.7
const FIXED = 30;
/** Sizes and CRC follow the data and are 0 in the local header (APPNOTE 4.4.4, bit 3). */
const FOLLOWS = 8;
/** What follows the data begins with it, or does not (APPNOTE 4.3.9.3). */
const DESCRIPTOR = 0x08074b50;
/** The longest that there is: signature, CRC, and two sizes of 8 bytes (APPNOTE 4.3.9). */
const LONGEST_DESCRIPTOR = 24;

/** An entry's bytes, unpacked and checked as they pass. Throws PackageError, or what the source rejects with. */
export async function* zipBytes(
  source: ByteSource,
  entry: PackageEntry,
  inflate: Inflate,
  limits: PackageLimits,
): AsyncGenerator<Uint8Array, void, undefined> {
  const { place, packed, size } = entry;
  const { start, follows } = await dataStart(source, entry);
  const end = start + packed;
  if (end > place.limit) {
    throw new PackageError(
      `The entry "${entry.name}" is damaged: its data would end at byte ${countText(end)}, but the next thing in the package begins at byte ${countText(place.limit)}. Copy or download the package again.`,
    );
  }
  if (follows) await checkDescriptor(source, entry, end);
  const raw = exactly(piecesOf(source, start, end), packed, entry);
  const known = { name: entry.name, size, crc: place.crc };
  let taken = 0;
  if (place.method === 0) {
    // As many as come out of it.
    yield* checked(raw, known, () => packed, limits);
    return;
  }
  yield* checked(
    inflate(raw, (bytes) => {
      taken = bytes;
    }),
    known,
    () => taken,
    limits,
  );
  if (taken !== packed) {
    throw new PackageError(
      `The entry "${entry.name}" is damaged: its packed data end after ${countText(taken)} of ${countText(packed)} bytes. Copy or download the package again.`,
    );
  }
}

/**
 * Where an entry's data begin, behind its local header, which must say what the list at the package's end says.
 * `follows`: its sizes and CRC stand behind the data instead.
 */
async function dataStart(
  source: ByteSource,
  entry: PackageEntry,
): Promise<{ readonly start: number; readonly follows: boolean }> {
  const { offset, rawName, method, crc } = entry.place;
  const header = await source.read(offset, FIXED + rawName.length);
  const fail = (what: string, todo = 'Copy or download the package again.'): never => {
    throw new PackageError(`The entry "${entry.name}" is not read: ${what} ${todo}`);
  };
  if (header.length < FIXED + rawName.length || u32(header, 0) !== LOCAL) {
    fail(`at byte ${countText(offset)}, where it should begin, there is something else.`);
  }
  const nameLength = u16(header, 26);
  const name = nameLength === rawName.length ? header.subarray(FIXED) : await source.read(offset + FIXED, nameLength);
  const ask = 'Ask where the package comes from before using anything in it.';
  if (!sameBytes(name, rawName)) {
    const local = shownName(decodeName(name.subarray(0, 400)));
    fail(`beside its data it is named "${local}", so programs will not agree on what it is.`, ask);
  }
  if ((u16(header, 6) & 0x2041) !== 0) fail('beside its data it is said to be encrypted, in the list it is not.', ask);
  if (u16(header, 8) !== method) {
    fail(`it is packed with method ${method} by the list, with ${u16(header, 8)} beside its data.`, ask);
  }
  const extraLength = u16(header, 28);
  const follows = (u16(header, 6) & FOLLOWS) !== 0;
  if (!follows) {
    const extra = await source.read(offset + FIXED + nameLength, extraLength);
    const local = readSizes(extra, { size: u32(header, 22), packed: u32(header, 18), offset: 0, disk: 0 });
    if (local.size !== entry.size || local.packed !== entry.packed || u32(header, 14) !== crc) {
      fail(
        `its size or checksum in the list (${countText(entry.size)} bytes) is not what stands beside its data (${countText(local.size)} bytes).`,
      );
    }
  }
  return { start: offset + FIXED + nameLength + extraLength, follows };
}

/**
 * What stands behind an entry's data must say what the list says: who reads the package from its start goes by it. With
 * or without its signature, and with sizes of 4 or of 8 bytes, as packing programs write it (APPNOTE 4.3.9).
 */
async function checkDescriptor(
  source: ByteSource,
  { name, packed, size, place }: PackageEntry,
  end: number,
): Promise<void> {
  const bytes = await source.read(end, Math.min(LONGEST_DESCRIPTOR, place.limit - end));
  const says = (at: number, wide: 4 | 8): boolean => {
    if (at + 4 + 2 * wide > bytes.length) return false;
    const number = wide === 4 ? u32 : u64;
    return u32(bytes, at) === place.crc && number(bytes, at + 4) === packed && number(bytes, at + 4 + wide) === size;
  };
  const signed = bytes.length >= 4 && u32(bytes, 0) === DESCRIPTOR;
  if ((signed && (says(4, 4) || says(4, 8))) || says(0, 4) || says(0, 8)) return;
  throw new PackageError(
    `The entry "${name}" is not read: the sizes and checksum behind its data are missing, or are not those of the package's list (${countText(size)} bytes), so programs will not agree on what it holds. Copy or download the package again.`,
  );
}

/** Passes bytes on; throws where the source ends before all have come. */
async function* exactly(
  pieces: AsyncIterable<Uint8Array>,
  length: number,
  entry: PackageEntry,
): AsyncGenerator<Uint8Array, void, undefined> {
  let got = 0;
  for await (const piece of pieces) {
    got += piece.length;
    yield piece;
  }
  if (got < length) {
    throw new PackageError(
      `The entry "${entry.name}" is cut short: the file ended after ${countText(got)} of its ${countText(length)} packed bytes. It may have been changed while it was read; try again.`,
    );
  }
}
