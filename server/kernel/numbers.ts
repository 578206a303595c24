// Written by scripts/write-kernel.mjs from server/src/program/scanNumbers.ts: do not edit.

export const BLOB: f64 = 10;
export const FASTEST_MM_S: f64 = 250;
export const LONG_RETRACTION: f64 = 10;
