import type { Io } from './io.ts';

/** A line on standard error that tells how far a long run is; nothing where that is no terminal. */
export interface Progress {
  read(bytes: number): void;
  /** Takes the line away, so that something else can be written. */
  clear(): void;
}

/** What ends sooner than this needs no line; the line changes no oftener than that. Milliseconds. */
const PATIENCE = 500;
const PAUSE = 100;

/** @param total What is to be read in all, bytes; null where that is not known. */
export function progressOf(io: Io, total: number | null, quiet: boolean): Progress {
  if (quiet || !io.errorTerminal) return { read: () => {}, clear: () => {} };
  const began = io.now();
  let done = 0;
  let drawn = began + PATIENCE - PAUSE;
  let shown = false;
  return {
    read(bytes) {
      done += bytes;
      const now = io.now();
      if (now - drawn < PAUSE) return;
      drawn = now;
      shown = true;
      io.writeError(`\r${progressText(done, total, now - began)}\u001b[K`);
    },
    clear() {
      if (shown) io.writeError('\r\u001b[K');
      shown = false;
    },
  };
}

/** `done` and `total` in bytes, `ms` since the beginning. */
export function progressText(done: number, total: number | null, ms: number): string {
  const rate = ms > 0 ? (done / ms) * 1000 : 0;
  const speed = `${megabytes(rate)} MB/s`;
  if (total === null || total <= 0) return `${megabytes(done)} MB read, ${speed}`;
  // A package is looked into before it is read, so that a little more than all may be read.
  const part = Math.min(1, done / total);
  const left = rate > 0 ? Math.max(0, total - done) / rate : Number.NaN;
  const time = Number.isFinite(left) ? `, ${timeText(Math.ceil(left))} left` : '';
  return `${Math.floor(part * 100)} % of ${megabytes(total)} MB, ${speed}${time}`;
}

const megabytes = (bytes: number): string => (bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0);

/** Whole seconds as a person says them. */
export function timeText(seconds: number): string {
  const s = Math.round(seconds);
  if (s < 60) return `${s} s`;
  if (s < 3600) return `${Math.floor(s / 60)} min ${s % 60} s`;
  return `${Math.floor(s / 3600)} h ${Math.floor((s % 3600) / 60)} min`;
}

/** The same world, which tells how much is read from files and from standard input. */
export function counting(io: Io, read: (bytes: number) => void): Io {
  return {
    ...io,
    async open(path) {
      const file = await io.open(path);
      if ('reason' in file) return file;
      return {
        size: file.size,
        changed: () => file.changed(),
        close: () => file.close(),
        async read(offset, length, room) {
          const bytes = await file.read(offset, length, room);
          read(bytes.length);
          return bytes;
        },
      };
    },
    async *input() {
      for await (const piece of io.input()) {
        read(piece.length);
        yield piece;
      }
    },
  };
}
