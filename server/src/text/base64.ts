// RFC 4648 section 4, for bytes that go through JSON.

/** So many bytes become characters at a time: more would be too many arguments of one call. */
const PART = 1 << 15;

export function toBase64(bytes: Uint8Array): string {
  let text = '';
  for (let at = 0; at < bytes.length; at += PART) text += String.fromCharCode(...bytes.subarray(at, at + PART));
  return btoa(text);
}

/** Nothing where the text is no base64. */
export function fromBase64(text: string): Uint8Array<ArrayBuffer> {
  try {
    const chars = atob(text);
    const bytes = new Uint8Array(chars.length);
    for (let i = 0; i < chars.length; i++) bytes[i] = chars.charCodeAt(i);
    return bytes;
  } catch {
    return new Uint8Array(0);
  }
}
