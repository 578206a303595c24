import { u16, u32, u64 } from './bytes.ts';
import { countText, type PackageEntry, type PackageLimits, type Refused, refuse } from './entry.ts';
import { decodeName, shownName } from './names.ts';
import type { ByteSource } from './source.ts';
import { CENTRAL, findZipEnd, type ZipEnd } from './zipEnd.ts';
import { isLink, problemOf, type Sizes } from './zipProblem.ts';

const FIXED = 46; // PKWARE APPNOTE 4.3.12
const LOCAL_FIXED = 30; // 4.3.7
const FULL32 = 0xffffffff;

/** Reads the list of a zip's entries; none is looked into yet. Memory: some hundred bytes an entry. */
export async function readZipDirectory(
  source: ByteSource,
  limits: PackageLimits,
): Promise<{ readonly ok: true; readonly entries: PackageEntry[]; readonly comment: string } | Refused> {
  const end = await findZipEnd(source);
  if (!end.ok) return refuse(end.message);
  if (end.entries > limits.entries) return tooMany(end.entries, limits);
  const next = reader(source, end.start, end.end);
  const entries: PackageEntry[] = [];
  while (entries.length < end.entries) {
    const fixed = await next(FIXED);
    const rest =
      fixed && u32(fixed, 0) === CENTRAL ? await next(u16(fixed, 28) + u16(fixed, 30) + u16(fixed, 32)) : null;
    if (!fixed || !rest) {
      return refuse(
        `The package is damaged: it says that it holds ${countText(end.entries)} entries, but its list of them breaks off after ${countText(entries.length)}. Copy or download it again.`,
      );
    }
    entries.push(toEntry(fixed, rest, end, limits));
  }
  const more = await next(4);
  if (more && u32(more, 0) === CENTRAL) {
    return refuse(
      `The package is damaged: its list goes on after the ${countText(end.entries)} entries that it says it holds, so programs will not agree on what is in it. Have it packed again.`,
    );
  }
  const placed = placeAll(entries, end);
  return Array.isArray(placed) ? { ok: true, entries: placed, comment: end.comment } : placed;
}

function tooMany(entries: number, limits: PackageLimits): Refused {
  return refuse(
    `The package holds ${countText(entries)} entries, more than the ${countText(limits.entries)} that are read. A packaged job has a few; if this one is meant to have so many, raise ${limits.raise.entries}.`,
  );
}

/** Gives the next bytes of a range, from windows of it; null where fewer are left. */
function reader(source: ByteSource, start: number, end: number): (length: number) => Promise<Uint8Array | null> {
  let window: Uint8Array = new Uint8Array(0);
  let windowAt = start;
  let at = start;
  return async (length) => {
    if (at + length > end) return null;
    if (at + length > windowAt + window.length) {
      window = await source.read(at, Math.min(end - at, Math.max(length, 1 << 18)));
      windowAt = at;
      if (window.length < length) return null;
    }
    const bytes = window.subarray(at - windowAt, at - windowAt + length);
    at += length;
    return bytes;
  };
}

function toEntry(fixed: Uint8Array, rest: Uint8Array, end: ZipEnd, limits: PackageLimits): PackageEntry {
  const nameLength = u16(fixed, 28);
  const raw = rest.subarray(0, nameLength);
  const extra = rest.subarray(nameLength, nameLength + u16(fixed, 30));
  const sizes = readSizes(extra, {
    size: u32(fixed, 24),
    packed: u32(fixed, 20),
    offset: u32(fixed, 42),
    disk: u16(fixed, 34),
  });
  const isLong = nameLength > limits.name;
  const full = decodeName(isLong ? raw.subarray(0, 400) : raw);
  const name = shownName(full) + (isLong && full.length <= 200 ? '…' : '');
  const attributes = u32(fixed, 38);
  const mode = isUnix(fixed) ? attributes >>> 16 : 0;
  const folder = /[\\/]$/.test(full) || (mode & 0xf000) === 0x4000 || ((attributes & 0x10) !== 0 && sizes.size === 0);
  const method = u16(fixed, 10);
  const flags = u16(fixed, 8);
  const problem = isLong
    ? `The name of the entry "${name.slice(0, 40)}…" is ${countText(nameLength)} bytes long, more than the ${countText(limits.name)} that are read. Have the job packed again under a shorter name.`
    : problemOf(name, full, mode, method, flags, sizes, limits);
  return {
    name,
    size: sizes.size,
    packed: sizes.packed,
    date: dateOf(u16(fixed, 14), u16(fixed, 12)),
    kind: folder ? 'folder' : 'other',
    what: folder ? 'folder' : isLink(mode) ? 'link' : 'not read',
    program: false,
    type: null,
    problem: folder ? null : problem,
    caution:
      full.includes('\\') && !problem
        ? `The name "${name}" has backslashes, which a zip may not use between folders; it is shown as it stands, and no folder is made of it.`
        : null,
    place: {
      packing: 'zip',
      offset: sizes.offset + end.shift,
      limit: end.start,
      method,
      flags,
      crc: u32(fixed, 16),
      rawName: isLong ? new Uint8Array(0) : raw.slice(),
    },
  };
}

/** What does not fit into 32 bits stands in extra field 1, in this order and only where it does not (APPNOTE 4.5.3). */
export function readSizes(extra: Uint8Array, short: Sizes): Sizes {
  for (let at = 0; at + 4 <= extra.length; at += 4 + u16(extra, at + 2)) {
    if (u16(extra, at) !== 1) continue;
    const field = extra.subarray(at + 4, at + 4 + u16(extra, at + 2));
    let from = 0;
    const take = (value: number): number => {
      if (value !== FULL32 || from + 8 > field.length) return value;
      from += 8;
      return u64(field, from - 8);
    };
    const size = take(short.size);
    const packed = take(short.packed);
    const offset = take(short.offset);
    const disk = short.disk === 0xffff && from + 4 <= field.length ? u32(field, from) : short.disk;
    return { size, packed, offset, disk };
  }
  return short;
}

/** The attributes are a Unix mode: made on Unix or on a Mac (APPNOTE 4.4.2.2). */
const isUnix = (fixed: Uint8Array): boolean => fixed[5] === 3 || fixed[5] === 19;

/** MS-DOS date and time (APPNOTE 4.4.6); null where there is no such day or time. */
function dateOf(date: number, time: number): string | null {
  const [year, month, day] = [1980 + (date >> 9), (date >> 5) & 15, date & 31];
  const [hour, minute, second] = [time >> 11, (time >> 5) & 63, (time & 31) * 2];
  const isDay = month >= 1 && month <= 12 && day >= 1 && day <= new Date(Date.UTC(year, month, 0)).getUTCDate();
  if (!isDay || hour > 23 || minute > 59 || second > 59) return null;
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${year}-${two(month)}-${two(day)}T${two(hour)}:${two(minute)}:${two(second)}`;
}

/** Tells each entry where the next begins; refuses a package in which entries lie over one another. */
function placeAll(entries: readonly PackageEntry[], end: ZipEnd): PackageEntry[] | Refused {
  const order = [...entries.keys()].sort((a, b) => offsetOf(entries, a) - offsetOf(entries, b));
  const placed = [...entries];
  for (const [i, index] of order.entries()) {
    const entry = entries[index] as PackageEntry;
    const next = order[i + 1];
    const limit = next === undefined ? end.start : Math.min(end.start, offsetOf(entries, next));
    const from = entry.place.offset;
    const to = from + LOCAL_FIXED + entry.place.rawName.length + entry.packed;
    if (!(to <= end.start)) {
      return refuse(
        `The package is damaged: the entry "${entry.name}" should end at byte ${countText(to)}, but what is packed ends at byte ${countText(end.start)}. Copy or download it again.`,
      );
    }
    if (to > limit) {
      return refuse(
        `The package is not read: the entries "${entry.name}" and "${(entries[next as number] as PackageEntry).name}" lie over one another (from byte ${countText(limit)}), as in files made to fill a disk. Ask where it comes from.`,
      );
    }
    placed[index] = { ...entry, place: { ...entry.place, limit } };
  }
  return placed;
}

const offsetOf = (entries: readonly PackageEntry[], index: number): number =>
  (entries[index] as PackageEntry).place.offset;
