import { BLOB } from '../rules/blob.ts';
import { FASTEST } from '../rules/feedMmS.ts';
import { LONG } from '../rules/longRetraction.ts';

/**
 * The rules' own numbers at which the compiled scan looks closer, mm and mm/min, by their names in `server/kernel/`.
 * That language reads no module of the engine with anything but plain numbers in it, so `scripts/write-kernel.mjs` writes
 * a source of them.
 */
export const SCAN_NUMBERS: Readonly<Record<string, number>> = {
  BLOB,
  FASTEST_MM_S: FASTEST,
  LONG_RETRACTION: LONG,
};
