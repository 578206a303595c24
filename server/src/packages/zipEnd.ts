import { u16, u32, u64 } from './bytes.ts';
import { countText, type Refused, sizeText } from './entry.ts';
import { decodeName, shownName } from './names.ts';
import type { ByteSource } from './source.ts';

/** Where the list of a zip's entries (its central directory) is. */
export interface ZipEnd {
  readonly ok: true;
  readonly entries: number;
  /** First byte of the list, and the first after it. */
  readonly start: number;
  readonly end: number;
  /** How many bytes stand before the zip, and are not counted by its own offsets. */
  readonly shift: number;
  readonly comment: string;
}

/** Why there is no list to be read. */
export interface NoEnd extends Refused {
  /** It is a zip all the same: its end is there. */
  readonly zip: boolean;
}

const noEnd = (message: string, zip = false): NoEnd => ({ ok: false, message, zip });

// Signatures (PKWARE APPNOTE 4.3.16, 4.3.15, 4.3.14, 4.3.12).
const END = 0x06054b50;
const LOCATOR64 = 0x07064b50;
const END64 = 0x06064b50;
export const CENTRAL = 0x02014b50;

const END_LENGTH = 22;
const LOCATOR64_LENGTH = 20;
const END64_LENGTH = 56;
/** An end record with the longest comment that it may have. */
const FARTHEST = END_LENGTH + 0xffff;
/** Records tried: what looks like one may stand in a comment, but not often by accident. */
const TRIES = 16;

/** Looks for the record at a zip's end. Rejects only where the source does. */
export async function findZipEnd(source: ByteSource): Promise<ZipEnd | NoEnd> {
  const from = Math.max(0, source.size - FARTHEST);
  const tail = await source.read(from, source.size - from);
  const exact: number[] = [];
  const early: number[] = []; // something follows the record, as where a copy was filled up with zeros
  for (let at = tail.length - END_LENGTH; at >= 0; at--) {
    if (tail[at] !== 0x50 || u32(tail, at) !== END) continue;
    const rest = tail.length - at - END_LENGTH - u16(tail, at + 20);
    if (rest >= 0) (rest === 0 ? exact : early).push(at);
  }
  let first: NoEnd | null = null;
  for (const at of [...exact, ...early].slice(0, TRIES)) {
    const end = await readEnd(source, tail.subarray(at), from + at);
    if (end.ok || (end.zip && exact.includes(at))) return end;
    first ??= end;
  }
  return (
    first ??
    noEnd(
      `The package is cut short: the list of what is in it, which a zip keeps at its end, is missing after ${countText(source.size)} bytes. Copy or download it again, and wait until it is finished.`,
    )
  );
}

/** @param record From the end record on. @param at Where it begins. */
async function readEnd(source: ByteSource, record: Uint8Array, at: number): Promise<ZipEnd | NoEnd> {
  let disks = u16(record, 4) || u16(record, 6);
  let here = u16(record, 8);
  let entries = u16(record, 10);
  let length = u32(record, 12);
  let offset = u32(record, 16);
  let end = at;
  const is64 = [disks, here, entries].includes(0xffff) || length === 0xffffffff || offset === 0xffffffff;
  const large = is64 ? await readEnd64(source, at) : null;
  if (large) {
    ({ disks, here, entries, length, offset, end } = large);
  }
  if (disks !== 0 || here !== entries) {
    return noEnd(
      'The package is one piece of several: it was split over more than one file, and Bookend reads only whole packages. Join the pieces with the program that split them, or ask for the package in one file.',
      true,
    );
  }
  const comment = shownName(decodeName(record.subarray(END_LENGTH, END_LENGTH + u16(record, 20))));
  const start = end - length;
  const found = { ok: true, entries, end, comment } as const;
  if (entries === 0 && length === 0) return { ...found, start: end, shift: 0 };
  if (start >= 0 && (await isCentral(source, start))) {
    if (start >= offset) return { ...found, start, shift: start - offset };
    return noEnd(
      `The package is damaged: ${countText(offset - start)} bytes are missing before the list of what is in it. Copy or download it again.`,
      true,
    );
  }
  // Something stands between the list and its end: the record's own offset is all there is to go by.
  if (offset + length <= end && (await isCentral(source, offset))) {
    return { ...found, start: offset, end: offset + length, shift: 0 };
  }
  return noEnd(
    `The package is damaged: the list of what is in it should be ${sizeText(length)} long and begin at byte ${countText(offset)} of ${countText(source.size)}, but is not there. Copy or download it again.`,
  );
}

/** The record for large packages (zip64), by way of its locator, which stands right before the end record. */
async function readEnd64(source: ByteSource, at: number) {
  if (at < LOCATOR64_LENGTH) return null;
  const locator = await source.read(at - LOCATOR64_LENGTH, LOCATOR64_LENGTH);
  if (u32(locator, 0) !== LOCATOR64) return null;
  // Where bytes stand before the zip, the locator's offset misses them; the record mostly stands right before it.
  for (const end of [u64(locator, 8), at - LOCATOR64_LENGTH - END64_LENGTH]) {
    if (end < 0 || end + END64_LENGTH > at) continue;
    const record = await source.read(end, END64_LENGTH);
    if (u32(record, 0) !== END64) continue;
    return {
      disks: u32(record, 16) || u32(record, 20) || (u32(locator, 16) > 1 ? 1 : 0),
      here: u64(record, 24),
      entries: u64(record, 32),
      length: u64(record, 40),
      offset: u64(record, 48),
      end,
    };
  }
  return null;
}

async function isCentral(source: ByteSource, at: number): Promise<boolean> {
  return u32(await source.read(at, 4), 0) === CENTRAL;
}
