/** Powers of ten that a double holds exactly: digits / 10^n is then correctly rounded, as the parser has it. */
const POWERS = Float64Array.from({ length: 16 }, (_, n) => 10 ** n);

/** The number whose digits stand from `from` to `to`, of which `places` stand behind its point; NaN: too many to be held exactly. */
export function longNumber(buf: Uint8Array, from: number, to: number, places: number): number {
  if (to - from > 16) return Number.NaN;
  let value = 0;
  for (let i = from; i < to; i++) if (buf[i] !== 46) value = value * 10 + ((buf[i] as number) - 48);
  return value / (POWERS[places] as number);
}
