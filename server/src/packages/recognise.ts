import type { ContentKind } from './entry.ts';
import { sniff } from './sniff.ts';
import type { ByteSource } from './source.ts';
import { findZipEnd } from './zipEnd.ts';

/** How much is looked at first. */
const HEAD = 1 << 16;

/**
 * What a file holds, by its bytes and never by its name. A zip may stand behind other bytes, since it is read from its
 * end. Rejects only where the source does.
 */
export async function recognise(source: ByteSource): Promise<ContentKind> {
  const head = await source.read(0, HEAD);
  const { kind } = sniff(head, head.length === source.size);
  if (kind !== 'text' && kind !== 'binary') return kind;
  const end = await findZipEnd(source);
  return (end.ok ? end.entries > 0 : end.zip) ? 'zip' : kind;
}
