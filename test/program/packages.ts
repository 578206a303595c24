import { deflateRawSync, gzipSync } from 'node:zlib';
import type { Random } from '../unit/analyze/random.ts';

// Writes packages, good and bad, byte by byte after PKWARE APPNOTE 6.3.x and RFC 1952. Nothing of the engine is used
// here, so that the two can disagree.

/** One entry of a zip, and what is said of it falsely. */
export interface Part {
  readonly name: string | Uint8Array;
  readonly bytes: Uint8Array;
  /** 0 stored, 8 deflate (default); any other number only says so. */
  readonly method?: number;
  readonly flags?: number;
  /** Sizes and CRC follow the data (APPNOTE 4.3.9). */
  readonly streamed?: boolean;
  /** Sizes in the extra field for large files, here (4.5.3). */
  readonly zip64?: boolean;
  /** A Unix mode; its upper bits tell what kind of file. */
  readonly mode?: number;
  /** Packed already, by another hand. */
  readonly packed?: Uint8Array;
  readonly lies?: {
    readonly size?: number;
    readonly packed?: number;
    readonly crc?: number;
    readonly offset?: number;
    readonly disk?: number;
    /** Beside the data only. */
    readonly localName?: string;
    readonly localMethod?: number;
    readonly localSize?: number;
    /** Behind the data only; `null`: nothing stands there. */
    readonly descriptor?: { readonly crc?: number; readonly packed?: number; readonly size?: number } | null;
  };
  /** Without the signature that what follows the data may begin with (APPNOTE 4.3.9.3). */
  readonly unsigned?: boolean;
}

export interface Shape {
  /** Before the first entry; offsets do not count it unless `counted`. */
  readonly prefix?: Uint8Array;
  readonly counted?: boolean;
  readonly comment?: Uint8Array;
  readonly suffix?: Uint8Array;
  /** With the end record for large packages. */
  readonly zip64?: boolean;
  readonly lies?: { readonly entries?: number; readonly disk?: number };
}

export const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);

export const join = (...pieces: readonly Uint8Array[]): Uint8Array => joined(pieces);

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}

/** Little-endian fields: [bytes, value] each. */
function fields(...list: readonly (readonly [2 | 4 | 8, number])[]): Uint8Array {
  const all = new Uint8Array(list.reduce((sum, [length]) => sum + length, 0));
  let at = 0;
  for (const [length, value] of list) {
    let rest = value;
    for (let i = 0; i < length; i++) {
      all[at++] = rest % 256;
      rest = Math.floor(rest / 256);
    }
  }
  return all;
}

/** Bit by bit, straight from the polynomial (APPNOTE 4.4.7). */
export function plainCrc(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) crc = eightBits(crc ^ byte);
  return ~crc >>> 0;
}

function eightBits(crc: number): number {
  for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  return crc;
}

const BYTES = Uint32Array.from({ length: 256 }, (_, byte) => eightBits(byte));

/** The same by whole bytes: packages of many megabytes are written by it. */
export function byteCrc(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) crc = (BYTES[(crc ^ byte) & 255] as number) ^ (crc >>> 8);
  return ~crc >>> 0;
}

const FULL = 0xffffffff;
/** 2026-05-14, 13:24:10 (APPNOTE 4.4.6). */
const DATE = ((2026 - 1980) << 9) | (5 << 5) | 14;
const TIME = (13 << 11) | (24 << 5) | 5;

export function zip(parts: readonly Part[], shape: Shape = {}): Uint8Array {
  const prefix = shape.prefix ?? new Uint8Array(0);
  const pieces: Uint8Array[] = [prefix];
  const list: Uint8Array[] = [];
  let at = shape.counted ? prefix.length : 0;
  const put = (...more: readonly Uint8Array[]): void => putAll(more);
  const putAll = (more: readonly Uint8Array[]): void => {
    for (const piece of more) {
      pieces.push(piece);
      at += piece.length;
    }
  };
  for (const part of parts) {
    const { lies = {}, streamed = false, zip64 = false } = part;
    const name = typeof part.name === 'string' ? utf8(part.name) : part.name;
    const method = part.method ?? 8;
    const packed = part.packed ?? (method === 8 ? deflateRawSync(part.bytes) : part.bytes);
    const crc = lies.crc ?? byteCrc(part.bytes);
    const size = lies.size ?? part.bytes.length;
    const packedSize = lies.packed ?? packed.length;
    const flags = (part.flags ?? 0) | (streamed ? 8 : 0);
    const offset = lies.offset ?? at;
    const localName = lies.localName === undefined ? name : utf8(lies.localName);
    const localExtra = zip64
      ? fields([2, 1], [2, 16], [8, streamed ? 0 : size], [8, streamed ? 0 : packedSize])
      : fields();
    const short = (value: number): number => (zip64 ? FULL : streamed ? 0 : value);
    put(
      fields([4, 0x04034b50], [2, zip64 ? 45 : 20], [2, flags], [2, lies.localMethod ?? method], [2, TIME], [2, DATE]),
      fields([4, streamed ? 0 : crc], [4, short(packedSize)], [4, short(lies.localSize ?? size)]),
      fields([2, localName.length], [2, localExtra.length]),
      localName,
      localExtra,
      packed,
    );
    if (streamed && lies.descriptor !== null) {
      const length = zip64 ? 8 : 4;
      const said = { crc, packed: packedSize, size, ...lies.descriptor };
      if (!part.unsigned) put(fields([4, 0x08074b50]));
      put(fields([4, said.crc], [length, said.packed], [length, said.size]));
    }
    const extra = zip64 ? fields([2, 1], [2, 24], [8, size], [8, packedSize], [8, offset]) : fields();
    list.push(
      fields(
        [4, 0x02014b50],
        [2, part.mode === undefined ? 20 : 0x0314],
        [2, zip64 ? 45 : 20],
        [2, flags],
        [2, method],
      ),
      fields([2, TIME], [2, DATE], [4, crc], [4, zip64 ? FULL : packedSize], [4, zip64 ? FULL : size]),
      fields([2, name.length], [2, extra.length], [2, 0], [2, lies.disk ?? 0], [2, 0]),
      fields([4, ((part.mode ?? 0) << 16) >>> 0], [4, zip64 ? FULL : offset]),
      name,
      extra,
    );
  }
  const start = at;
  putAll(list);
  const length = at - start;
  const comment = shape.comment ?? new Uint8Array(0);
  const entries = shape.lies?.entries ?? parts.length;
  const disk = shape.lies?.disk ?? 0;
  if (shape.zip64) {
    const record = at;
    put(
      fields([4, 0x06064b50], [8, 44], [2, 45], [2, 45], [4, disk], [4, 0], [8, entries], [8, entries]),
      fields([8, length], [8, start]),
      fields([4, 0x07064b50], [4, 0], [8, record], [4, 1]),
    );
  }
  const large = shape.zip64 ? 0xffff : null;
  put(
    fields([4, 0x06054b50], [2, disk], [2, 0], [2, large ?? entries % 65536], [2, large ?? entries % 65536]),
    fields([4, shape.zip64 ? FULL : length], [4, shape.zip64 ? FULL : start], [2, comment.length]),
    comment,
    shape.suffix ?? new Uint8Array(0),
  );
  return joined(pieces);
}

/** gzip with a name in its header (RFC 1952 2.3). */
export function named(name: string, bytes: Uint8Array, seconds = 0): Uint8Array {
  const packed = deflateRawSync(bytes);
  return join(
    new Uint8Array([0x1f, 0x8b, 8, 8]),
    fields([4, seconds]),
    new Uint8Array([0, 255]),
    utf8(`${name}\0`),
    packed,
    fields([4, byteCrc(bytes)], [4, bytes.length % 2 ** 32]),
  );
}

export const members = (...all: readonly Uint8Array[]): Uint8Array => join(...all.map((bytes) => gzipSync(bytes)));

/** A short program: a wall, round and round. */
export function program(random: Random, lines: number): Uint8Array {
  const all = ['; a wall', 'G21', 'G90', 'M82', 'G28', 'M109 S210'];
  let e = 0;
  while (all.length < lines) {
    e += random.decimal(0.01, 1, 5);
    all.push(`G1 X${random.decimal(10, 200, 3)} Y${random.decimal(10, 200, 3)} E${e.toFixed(5)}`);
  }
  return utf8(`${all.join('\n')}\n`);
}

/** A package in any of the forms that are allowed, and what must come out of it again. */
export interface Made {
  readonly bytes: Uint8Array;
  readonly parts: readonly Part[];
  readonly shape: Shape;
}

const NAMES = ['job', 'batch-a.gcode', 'Wand größer.txt', 'notes', 'a.b.c', 'left (2).bin', '部品.gcode', 'x'];

export function anyPackage(random: Random): Made {
  const parts = Array.from({ length: random.whole(0, 6) }, (_, i): Part => {
    const bytes = random.chance(0.5) ? program(random, random.whole(6, 400)) : noise(random, random.whole(0, 3000));
    const folder = random.chance(0.5) ? `${random.pick(NAMES)}/` : '';
    return {
      name: `${folder}${i}-${random.pick(NAMES)}`,
      bytes,
      method: random.pick([0, 8, 8]),
      streamed: random.chance(0.3),
      unsigned: random.chance(0.5),
      zip64: random.chance(0.3),
      ...(random.chance(0.3) ? { mode: 0o100644 } : {}),
    };
  });
  const shape: Shape = {
    zip64: random.chance(0.3),
    ...(random.chance(0.3) ? { prefix: noise(random, random.whole(1, 500)), counted: random.chance(0.5) } : {}),
    ...(random.chance(0.3) ? { comment: utf8('x'.repeat(random.whole(1, 400))) } : {}),
    ...(random.chance(0.2) ? { suffix: new Uint8Array(random.whole(1, 512)) } : {}),
  };
  return { bytes: zip(parts, shape), parts, shape };
}

export const noise = (random: Random, length: number): Uint8Array =>
  Uint8Array.from({ length }, () => random.whole(0, 255));

/** The same bytes with some changed, left out, doubled or moved. */
export function mutated(random: Random, bytes: Uint8Array): Uint8Array {
  let now: Uint8Array = bytes.slice();
  for (let times = random.whole(1, 4); times > 0; times--) {
    const at = random.whole(0, Math.max(0, now.length - 1));
    const length = random.pick([1, 1, 2, 4, random.whole(1, 300)]);
    const cut = now.subarray(at, at + length);
    switch (random.whole(0, 5)) {
      case 0:
        now = now.slice();
        for (let i = at; i < Math.min(now.length, at + length); i++)
          now[i] = random.pick([0, 255, random.whole(0, 255)]);
        break;
      case 1:
        now = join(now.subarray(0, at), now.subarray(at + length));
        break;
      case 2:
        now = join(now.subarray(0, at), cut, now.subarray(at));
        break;
      case 3:
        now = now.slice(0, at);
        break;
      case 4:
        now = join(now.subarray(0, at), noise(random, length), now.subarray(at));
        break;
      default: {
        // One bit, near the end, where the structure is.
        const near = Math.max(0, now.length - random.whole(1, 120));
        now = now.slice();
        if (now.length > 0) now[near] = (now[near] as number) ^ (1 << random.whole(0, 7));
      }
    }
  }
  return now;
}
