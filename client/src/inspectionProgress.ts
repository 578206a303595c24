/** "43 %, 35 MB/s, about 4 s left". @param elapsed ms. */
export function progressText(done: number, total: number | null, elapsed: number): string {
  const rate = elapsed > 0 ? (1000 * done) / elapsed : 0;
  const speed = `${megabytes(rate)}/s`;
  if (!total) return `${megabytes(done)} read, ${speed}`;
  const percent = `${Math.floor((100 * done) / total)} %`;
  // The first moments tell nothing of the rest.
  if (elapsed < 500 || rate === 0) return percent;
  return `${percent}, ${speed}, about ${Math.ceil((total - done) / rate)} s left`;
}

/** "980 kB", "1.5 MB": decimal, as disks are sold. */
export function megabytes(bytes: number): string {
  if (bytes < 999_500) return `${Math.ceil(bytes / 1000)} kB`;
  return `${(bytes / 1_000_000).toFixed(bytes < 10_000_000 ? 1 : 0)} MB`;
}
