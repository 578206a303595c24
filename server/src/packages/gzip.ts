import { u16, u32 } from './bytes.ts';
import { crc32 } from './crc32.ts';
import { countText, type PackageEntry, PackageError, type PackageLimits } from './entry.ts';
import { nameFault, shownName } from './names.ts';
import { type ByteSource, growingPieces, type Inflate, windowed } from './source.ts';
import { type Meter, meterOf, told, wrongSum } from './unpacking.ts';

// gzip, RFC 1952: members one after another, each a header, raw deflate, CRC-32 and size modulo 2^32.

/** Two marks and the only method there is. */
export const GZIP = [0x1f, 0x8b, 8];

const FIXED = 10;
const TRAILER = 8;
/** What is read of a header at first, and at most: it holds a name and a comment, and nobody's is longer. */
const USUAL = 1 << 9;
const LONGEST = 1 << 17;

interface Header {
  readonly length: number;
  readonly name: string;
  /** Seconds since 1970, 0 where not told. */
  readonly time: number;
}

/** The only entry of a gzip file, not looked into yet. */
export async function gzipEntry(source: ByteSource): Promise<PackageEntry | string> {
  const header = await readHeader(source, 0);
  if (typeof header === 'string') return header;
  if (source.size < header.length + TRAILER) return cutShort(source.size);
  const trailer = await source.read(source.size - TRAILER, TRAILER);
  const name = shownName(header.name);
  return {
    name,
    size: u32(trailer, 4),
    packed: source.size,
    date: header.time ? new Date(header.time * 1000).toISOString().replace('.000', '') : null,
    kind: 'other',
    what: 'not read',
    program: false,
    type: null,
    problem: null,
    caution: nameFault(header.name)
      ? `The name "${name}" in the gzip file ${nameFault(header.name)}; it is only shown, and no path is made of it.`
      : null,
    place: {
      packing: 'gzip',
      offset: 0,
      limit: source.size,
      method: 8,
      flags: 0,
      crc: u32(trailer, 0),
      rawName: new Uint8Array(0),
    },
  };
}

/** The bytes of all members, checked as they pass. Throws PackageError, or what the source rejects with. */
export async function* gzipBytes(
  file: ByteSource,
  entry: PackageEntry,
  inflate: Inflate,
  limits: PackageLimits,
): AsyncGenerator<Uint8Array, void, undefined> {
  const source = windowed(file);
  const meter = meterOf(entry.name, limits);
  let members = 0;
  for (let at = 0; at < source.size; ) {
    if (at > 0 && (await isFilling(source, at))) return;
    if (++members > limits.members) throw new PackageError(tooMany(limits));
    const header = await readHeader(source, at);
    if (typeof header === 'string') throw new PackageError(header);
    at = yield* memberBytes(source, at + header.length, entry.name, inflate, meter);
  }
}

/** The bytes of the member whose packed ones begin at `start`; returns where the next member begins. */
async function* memberBytes(
  source: ByteSource,
  start: number,
  name: string,
  inflate: Inflate,
  meter: Meter,
): AsyncGenerator<Uint8Array, number, undefined> {
  let taken = 0;
  let sum = 0;
  let size = 0;
  try {
    const raw = growingPieces(source, start, source.size - TRAILER);
    const unpacked = inflate(raw, (bytes) => {
      taken = bytes;
    });
    for await (const bytes of unpacked) {
      meter(bytes.length, start + taken);
      sum = crc32(bytes, sum);
      size += bytes.length;
      yield bytes;
    }
  } catch (error) {
    throw told(error, name);
  }
  const end = start + taken;
  const trailer = await source.read(end, TRAILER);
  if (trailer.length < TRAILER) throw new PackageError(cutShort(source.size));
  if (sum !== u32(trailer, 0)) throw wrongSum(name, sum, u32(trailer, 0));
  if (size % 2 ** 32 !== u32(trailer, 4)) {
    throw new PackageError(
      `The gzip file is damaged: it unpacks to ${countText(size)} bytes, and its end says ${countText(u32(trailer, 4))}. Copy or download it again.`,
    );
  }
  return end + TRAILER;
}

/** Zeros up to the end, as a tape's blocks are filled up with. */
async function isFilling(source: ByteSource, at: number): Promise<boolean> {
  const [first] = await source.read(at, 1);
  if (first !== 0) return false;
  const bytes = await source.read(at, Math.min(source.size - at, 1 << 16));
  return bytes.every((byte) => byte === 0);
}

const tooMany = ({ members, raise }: PackageLimits): string =>
  `The gzip file has more than ${countText(members)} members (parts that are packed one by one), more than job files usually have. Reading was stopped. If the file is meant to be so, have it packed in one go, or raise ${raise.members}.`;

const cutShort = (size: number): string =>
  `The gzip file is cut short after ${countText(size)} bytes. Copy or download it again, and wait until it is finished.`;

/** A member's header (RFC 1952 2.3), or why there is none. */
async function readHeader(source: ByteSource, at: number): Promise<Header | string> {
  const usual = headerIn(await source.read(at, USUAL), source, at);
  // What has not ended there gets all the room that it may have.
  return usual ?? headerIn(await source.read(at, LONGEST), source, at) ?? cutShort(source.size);
}

/** The header that these bytes begin with, or why there is none; null where it does not end in them. */
function headerIn(bytes: Uint8Array, source: ByteSource, at: number): Header | string | null {
  if (bytes.length < FIXED) return at === 0 ? cutShort(source.size) : more(source, at);
  if (!GZIP.every((byte, i) => bytes[i] === byte)) return more(source, at);
  const flags = bytes[3] as number;
  if ((flags & 0xe0) !== 0) {
    return `The gzip file uses features that its standard does not know (flags ${flags}), and is not read. Have it packed again.`;
  }
  let end = FIXED;
  if (flags & 4) end += 2 + u16(bytes, end);
  let name = '';
  for (const flag of [8, 16]) {
    if ((flags & flag) === 0) continue;
    const zero = bytes.indexOf(0, end);
    if (zero < 0) return null;
    // Latin-1 by the standard: each byte is its character.
    if (flag === 8) name = String.fromCharCode(...bytes.subarray(end, Math.min(zero, end + 1000)));
    end = zero + 1;
  }
  if (flags & 2) end += 2;
  if (end > bytes.length) return null;
  return { length: end, name, time: u32(bytes, 4) };
}

const more = (source: ByteSource, at: number): string =>
  `The gzip file ends at byte ${countText(at)}, but ${countText(source.size - at)} bytes follow that are no gzip. It may be two files run together; copy or download it again.`;
