/**
 * CRC-32 as zip and gzip have it (PKWARE APPNOTE 4.4.7, RFC 1952 section 8): polynomial 0x04C11DB7 reflected, first and
 * last inverted. Eight bytes a step, each through a table of its own.
 * @param before What came out for the bytes before these.
 * @returns An unsigned 32-bit number.
 */
export function crc32(bytes: Uint8Array, before = 0): number {
  let crc = ~before;
  let at = 0;
  for (const end = bytes.length - 7; at < end; at += 8) {
    const a =
      crc ^
      ((bytes[at] as number) |
        ((bytes[at + 1] as number) << 8) |
        ((bytes[at + 2] as number) << 16) |
        ((bytes[at + 3] as number) << 24));
    crc =
      (TABLES[0x700 | (a & 0xff)] as number) ^
      (TABLES[0x600 | ((a >>> 8) & 0xff)] as number) ^
      (TABLES[0x500 | ((a >>> 16) & 0xff)] as number) ^
      (TABLES[0x400 | (a >>> 24)] as number) ^
      (TABLES[0x300 | (bytes[at + 4] as number)] as number) ^
      (TABLES[0x200 | (bytes[at + 5] as number)] as number) ^
      (TABLES[0x100 | (bytes[at + 6] as number)] as number) ^
      (TABLES[bytes[at + 7] as number] as number);
  }
  for (; at < bytes.length; at++) crc = (TABLES[(crc ^ (bytes[at] as number)) & 0xff] as number) ^ (crc >>> 8);
  return ~crc >>> 0;
}

/** Table n, at n * 256: what a byte does that is followed by n bytes. */
const TABLES = makeTables();

function makeTables(): Int32Array {
  const tables = new Int32Array(8 * 256);
  for (let byte = 0; byte < 256; byte++) {
    let crc = byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
    tables[byte] = crc;
  }
  for (let i = 256; i < tables.length; i++) {
    const one = tables[i - 256] as number;
    tables[i] = (tables[one & 0xff] as number) ^ (one >>> 8);
  }
  return tables;
}
