import { type PackageEntry, PackageError } from './entry.ts';

// Checksums in a file beside the file (common practice, no source): NAME.sha256 holds lines `HASH  NAME`, `HASH *NAME`,
// `SHA256 (NAME) = HASH`, or the bare hash.

export type HashKind = 'sha256' | 'sha512' | 'sha1' | 'md5';

export interface Hasher {
  update(bytes: Uint8Array): void;
  /** In lower-case hexadecimal. */
  digest(): string;
}

export type MakeHasher = (kind: HashKind) => Hasher;

/** A sum that bytes should have, and where it was told. */
export interface Expected {
  readonly kind: HashKind;
  readonly hash: string;
  /** Name of the file that told it. */
  readonly told: string;
}

/** Hexadecimal digits of each kind (FIPS 180-4, RFC 1321), the strongest first. */
const DIGITS: Readonly<Record<HashKind, number>> = { sha512: 128, sha256: 64, sha1: 40, md5: 32 };
const KINDS = Object.keys(DIGITS) as HashKind[];

/** A sum file is a line or a few. */
export const LONGEST_SIDECAR = 1 << 20;

/** Names that a file's sum may have, best first. */
export const sidecarNames = (name: string): readonly { readonly name: string; readonly kind: HashKind }[] =>
  KINDS.map((kind) => ({ name: `${name}.${kind}`, kind }));

/** The entry that holds another's sum: beside it in the package, named like it. */
export function sidecarEntry(
  entry: PackageEntry,
  entries: readonly PackageEntry[],
): { readonly entry: PackageEntry; readonly kind: HashKind } | null {
  const names = new Map(entries.map((e) => [e.name.toLowerCase(), e]));
  for (const { name, kind } of sidecarNames(entry.name.toLowerCase())) {
    const found = names.get(name);
    if (found && found.problem === null && found.size <= LONGEST_SIDECAR) return { entry: found, kind };
  }
  return null;
}

/**
 * The sum of a file, out of the file beside it. Where several are told, it is the one with the file's name.
 * @param told Name of the sum file.
 * @param name Of the file, without folders.
 */
export function readSidecar(text: string, kind: HashKind, told: string, name: string): Expected | string {
  const digits = DIGITS[kind];
  const found: { readonly hash: string; readonly name: string }[] = [];
  for (const line of text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/)) {
    const plain = /^\\?([0-9a-f]+)(?:[ \t]+\*?(.*))?$/i.exec(line.trim());
    const tagged = /^[\w-]+ \((.*)\) = ([0-9a-f]+)$/i.exec(line.trim());
    const hash = plain?.[1] ?? tagged?.[2] ?? '';
    if (hash.length === digits) found.push({ hash: hash.toLowerCase(), name: plain?.[2] ?? tagged?.[1] ?? '' });
  }
  const lastPart = (path: string): string => path.split(/[\\/]/).pop() ?? '';
  const mine = found.find((f) => lastPart(f.name) === name) ?? (found.length === 1 ? found[0] : undefined);
  if (mine) return { kind, hash: mine.hash, told };
  return found.length === 0
    ? `The checksum file "${told}" holds no ${kind} sum (${digits} hexadecimal digits), so nothing can be compared. Get it again, or remove it.`
    : `The checksum file "${told}" holds ${found.length} sums, none for "${name}". Get the right one, or remove it.`;
}

/** Passes bytes on; throws PackageError at their end where they do not have the sum. */
export async function* withSum(
  bytes: AsyncIterable<Uint8Array>,
  expected: Expected,
  make: MakeHasher,
  what: string,
): AsyncGenerator<Uint8Array, void, undefined> {
  const hasher = make(expected.kind);
  for await (const piece of bytes) {
    hasher.update(piece);
    yield piece;
  }
  const hash = hasher.digest();
  if (hash === expected.hash) return;
  throw new PackageError(
    `${what} is not what "${expected.told}" was made for: its ${expected.kind} is ${hash}, and should be ${expected.hash}. Do not print it; copy or download it again, with its checksum file.`,
  );
}
