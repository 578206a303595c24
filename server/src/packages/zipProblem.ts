import { countText, type PackageLimits, sizeText } from './entry.ts';
import { nameFault } from './names.ts';
import { MEBIBYTE, ratioProblem } from './unpacking.ts';

/** Units: bytes. `disk`: the piece of a split package in which the entry begins. */
export interface Sizes {
  readonly size: number;
  readonly packed: number;
  readonly offset: number;
  readonly disk: number;
}

/** By a Unix mode. */
export const isLink = (mode: number): boolean => (mode & 0xf000) === 0xa000;

/** Why an entry is not read, by what the list at the package's end says of it; null where it is. */
export function problemOf(
  name: string,
  full: string,
  mode: number,
  method: number,
  flags: number,
  { size, packed, disk }: Sizes,
  limits: PackageLimits,
): string | null {
  const entry = `The entry "${name}"`;
  if (disk !== 0) return `${entry} lies in another piece of a package that was split. Join the pieces first.`;
  const fault = nameFault(full);
  if (fault) {
    return `${entry} is not read: its name ${fault}, so a program that unpacks it could write outside its folder. Ask where the package comes from before using anything in it.`;
  }
  if (isLink(mode)) return `${entry} is a link to another file, and links are not followed. Ask for the file itself.`;
  // Pipes and sockets are left alone: what was packed out of one is marked as one, and is plain bytes.
  if ([0x2000, 0x6000].includes(mode & 0xf000)) {
    return `${entry} is said to be a device, not a file, and is not read. Ask where the package comes from.`;
  }
  // Bits 0 and 6: the data; bit 13: the list (APPNOTE 4.4.4). Method 99 marks another kind of encryption.
  if ((flags & 0x2041) !== 0 || method === 99) {
    return `${entry} is encrypted, and Bookend asks for no passwords. Unpack it with the program that packed it, or have it packed without one.`;
  }
  if ((flags & 0x20) !== 0 || (method !== 0 && method !== 8)) {
    return `${entry} is packed with method ${method}${METHODS[method] ? ` (${METHODS[method]})` : ''}, and only 0 (stored) and 8 (deflate) are read. Have it packed again with one of these, which every program knows.`;
  }
  return sizeProblem(entry, method, size, packed, limits);
}

/** Methods by number (APPNOTE 4.4.5), as far as they may be met. */
const METHODS: Readonly<Record<number, string>> = {
  1: 'shrunk',
  6: 'imploded',
  9: 'deflate64',
  12: 'bzip2',
  14: 'LZMA',
  93: 'zstd',
  95: 'xz',
  98: 'PPMd',
};

function sizeProblem(
  entry: string,
  method: number,
  size: number,
  packed: number,
  limits: PackageLimits,
): string | null {
  if (size > limits.size) {
    return `${entry} unpacks to ${sizeText(size)}, more than the ${sizeText(limits.size)} that are read. If it is meant to be so large, raise ${limits.raise.size}.`;
  }
  if (method === 0 && size !== packed) {
    return `${entry} is damaged: it is stored as it is, yet said to take ${countText(packed)} bytes for ${countText(size)}. Copy or download the package again.`;
  }
  if (size > MEBIBYTE && size > packed * limits.ratio) return ratioProblem(entry, size, packed, limits);
  return null;
}
