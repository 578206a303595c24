import { setFlagsFromString } from 'node:v8';

/**
 * How far V8 lets the heap grow beyond what was alive when it last cleared away, in percent; 0: as V8 chooses. Where there
 * is much memory V8 waits until the heap is some times as large. Over 10 MB of several kinds of text with two checks and
 * what an editor asks, 25 kept the process below 300 MiB, of which it otherwise took up to 560; every edit of a short text
 * would take an eighth longer.
 */
const GROWTH = 25;

/** Clears away early, or (off) as V8 chooses. */
export const spareMemory = (on: boolean): void => setFlagsFromString(`--heap-growing-percent=${on ? GROWTH : 0}`);
