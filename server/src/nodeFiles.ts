import { createHash } from 'node:crypto';
import { open } from 'node:fs/promises';
import { createInflateRaw, type InflateRaw } from 'node:zlib';
import { READ_AT_ONCE } from './nodeReading.ts';
import type { MakeHasher } from './packages/sidecar.ts';
import { type ByteSource, type Inflate, sourceIn } from './packages/source.ts';

/** Undoes deflate on a thread of its own, beside whoever uses the bytes. A piece is asked for when the last one is used up. */
export const inflate: Inflate = async function* (chunks, consumed) {
  const output = createInflateRaw({ chunkSize: 1 << 18 });
  const input = chunks[Symbol.asyncIterator]();
  feed(input, output).catch((error) => output.destroy(error));
  try {
    for await (const bytes of output as AsyncIterable<Uint8Array>) {
      consumed?.(output.bytesWritten);
      yield bytes;
    }
    consumed?.(output.bytesWritten);
  } finally {
    output.destroy();
    input.return?.()?.catch(() => {}); // told already, or nobody waits for it any more
  }
};

async function feed(input: AsyncIterator<Uint8Array>, output: InflateRaw): Promise<void> {
  for (;;) {
    const { done, value } = await input.next();
    if (output.destroyed) return;
    if (done) break;
    // Where the stream ends in this piece, this is never called; nobody waits then.
    await new Promise((used) => output.write(value, used));
  }
  output.end();
}

export const hasher: MakeHasher = (kind) => {
  const hash = createHash(kind);
  return { update: (bytes) => void hash.update(bytes), digest: () => hash.digest('hex') };
};

/** A file that stays open until it is closed, so that it cannot be taken away meanwhile. Rejects with the system's errors. */
export async function openSource(path: string): Promise<ByteSource & { close(): Promise<void> }> {
  const file = await open(path, READ_AT_ONCE);
  const status = await file.stat();
  if (status.isFile()) return { ...sourceIn(file, status.size), close: () => file.close() };
  await file.close();
  throw new Error('it is no plain file');
}
