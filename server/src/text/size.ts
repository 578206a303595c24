/** Bytes for people: "980 bytes", "1.5 MB" (decimal, as disks are sold). */
export function sizeText(bytes: number): string {
  if (bytes < 1000) return bytes === 1 ? '1 byte' : `${bytes} bytes`;
  const power = Math.min(4, Math.floor(Math.log10(bytes) / 3));
  const value = bytes / 1000 ** power;
  return `${value.toFixed(value < 10 ? 1 : 0)} ${['', 'kB', 'MB', 'GB', 'TB'][power]}`;
}
