export { joined } from '../text/bytes.ts';

/** Little-endian numbers in bytes; a byte past the end counts as 0. */
export const u16 = (bytes: Uint8Array, at: number): number => (bytes[at] ?? 0) | ((bytes[at + 1] ?? 0) << 8);
export const u32 = (bytes: Uint8Array, at: number): number => u16(bytes, at) + u16(bytes, at + 2) * 2 ** 16;
/** Exact up to 2^53; what is larger is far beyond any limit anyway. */
export const u64 = (bytes: Uint8Array, at: number): number => u32(bytes, at) + u32(bytes, at + 4) * 2 ** 32;

export const startsWith = (bytes: Uint8Array, start: ArrayLike<number>): boolean =>
  bytes.length >= start.length && Array.from(start).every((byte, i) => bytes[i] === byte);

export const sameBytes = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, i) => byte === b[i]);
