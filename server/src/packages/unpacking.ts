import { crc32 } from './crc32.ts';
import { countText, PackageError, type PackageLimits, sizeText } from './entry.ts';
import type { ByteSource } from './source.ts';

/** What a package says about an entry. `size` null: not known before it has been unpacked. */
interface Known {
  readonly name: string;
  readonly size: number | null;
  readonly crc: number;
}

/**
 * Passes unpacked bytes on, never more of them than was said or may be; throws PackageError where they are not as said.
 * @param taken How many packed bytes have been taken up for what has come so far.
 */
export async function* checked(
  unpacked: AsyncIterable<Uint8Array>,
  { name, size, crc }: Known,
  taken: () => number,
  limits: PackageLimits,
): AsyncGenerator<Uint8Array, void, undefined> {
  const meter = meterOf(name, limits);
  let sum = 0;
  try {
    for await (const bytes of unpacked) {
      const total = meter(bytes.length, taken());
      if (size !== null && total > size) {
        throw new PackageError(
          `${entryText(name)} is not what it says: it unpacks to more than the ${countText(size)} bytes that its package tells. Unpacking was stopped; copy or download the package again, or ask where it comes from.`,
        );
      }
      sum = crc32(bytes, sum);
      yield bytes;
    }
  } catch (error) {
    throw told(error, name);
  }
  const total = meter(0, taken());
  if (size !== null && total < size) {
    throw new PackageError(
      `${entryText(name)} is cut short: it unpacks to ${countText(total)} of ${countText(size)} bytes. Copy or download the package again.`,
    );
  }
  if (sum !== crc) throw wrongSum(name, sum, crc);
}

/** At the start of a sentence. A gzip file need not say what it holds. */
const entryText = (name: string): string => (name === '' ? 'The packed file' : `The entry "${name}"`);

/** Counts more unpacked bytes, of so many packed ones in all; throws PackageError where they become too many. */
export type Meter = (bytes: number, packed: number) => number;

/** A meter for one entry. It gives all unpacked bytes so far. */
export function meterOf(name: string, limits: PackageLimits): Meter {
  let total = 0;
  return (bytes, packed) => {
    total += bytes;
    if (total > limits.size) {
      throw new PackageError(
        `${entryText(name)} unpacks to more than the ${sizeText(limits.size)} that are read. Unpacking was stopped; if it is meant to be so large, raise ${limits.raise.size}.`,
      );
    }
    if (total > MEBIBYTE && total > packed * limits.ratio) {
      throw new PackageError(ratioProblem(entryText(name), total, packed, limits));
    }
    return total;
  };
}

/** Below this the ratio is no matter: a small entry of one letter repeated does no harm. */
export const MEBIBYTE = 2 ** 20;

export function ratioProblem(entry: string, size: number, packed: number, limits: PackageLimits): string {
  return `${entry} unpacks from ${sizeText(packed)} to ${sizeText(size)} or more: over ${limits.ratio} times, as only a file made to fill a disk does. Ask where it comes from; if you know that it is meant to be so, raise ${limits.raise.ratio}.`;
}

export function wrongSum(name: string, sum: number, crc: number): PackageError {
  const hex = (n: number): string => n.toString(16).padStart(8, '0');
  return new PackageError(
    `${entryText(name)} is damaged: its bytes have the CRC-32 ${hex(sum)}, and should have ${hex(crc)}. Do not print it; copy or download the package again.`,
  );
}

/** An inflater's error becomes one for people; a PackageError and what a source rejected with stay as they are. */
export function told(error: unknown, name: string): unknown {
  if (error instanceof PackageError || error instanceof SourceError) return error;
  const reason = error instanceof Error ? error.message : String(error);
  return new PackageError(
    `${entryText(name)} is damaged: its packed bytes cannot be undone (${reason}). Copy or download the package again.`,
  );
}

/** A source could not be read; the message is the source's. */
export class SourceError extends Error {}

/** The same source, whose errors can be told from an inflater's. */
export function marked(source: ByteSource): ByteSource {
  return {
    size: source.size,
    read: (offset, length, room) =>
      source.read(offset, length, room).catch((error: unknown) => {
        throw new SourceError(error instanceof Error ? error.message : String(error));
      }),
  };
}
