// Written by scripts/write-kernel.mjs from what the rules declare: do not edit.

export const PUSHED: f64 = 1.7976931348623157e308;
export const PUSHED_STANDING: f64 = 10;
export const RETRACTED: f64 = 10;
export const FEED: f64 = 250;
export const LENGTH: f64 = 1.7976931348623157e308;
