// The base protocol of LSP: `Content-Length: N`, perhaps further header fields, an empty line, then N bytes of JSON.

/** A header is some 20 bytes. What is longer than this is something else. Bytes. */
const LONGEST_HEADER = 4096;
/** The largest text that a setting allows (100 MB) stays below this, written as JSON. Bytes. */
const LONGEST_BODY = 256 * 1024 * 1024;

/** The stream is no language client's: nobody knows where its next message begins. */
export class BrokenStream extends Error {}

/** Takes bytes as they come and gives whole bodies. Holds one header or one body; time grows linearly with the bytes. */
export class Frames {
  private header = '';
  /** Of the body that is being read; -1: the header is. */
  private length = -1;
  private parts: Uint8Array[] = [];
  private filled = 0;

  /** @throws BrokenStream Nothing more can be read. */
  push(bytes: Uint8Array, take: (body: Uint8Array) => void): void {
    let at = 0;
    for (;;) {
      if (this.length < 0) at = this.readHeader(bytes, at);
      if (this.length < 0) return;
      const part = bytes.subarray(at, at + this.length - this.filled);
      at += part.length;
      this.filled += part.length;
      this.parts.push(part);
      if (this.filled < this.length) return;
      const body = this.parts.length === 1 ? part : joined(this.parts, this.length);
      this.length = -1;
      this.parts = [];
      take(body);
    }
  }

  /** Where the bytes go on behind what belongs to the header. */
  private readHeader(bytes: Uint8Array, from: number): number {
    for (let at = from; at < bytes.length; at++) {
      this.header += String.fromCharCode(bytes[at] as number);
      if (this.header.endsWith('\r\n\r\n')) {
        this.length = lengthIn(this.header);
        this.filled = 0;
        this.header = '';
        return at + 1;
      }
      if (this.header.length >= LONGEST_HEADER)
        throw new BrokenStream(`A header has more than ${LONGEST_HEADER} bytes.`);
    }
    return bytes.length;
  }
}

function lengthIn(header: string): number {
  const found = /^content-length:[ \t]*(\d{1,12})[ \t]*$/im.exec(header.replaceAll('\r\n', '\n'));
  if (!found) throw new BrokenStream('A header states no Content-Length, which is a number of bytes.');
  const length = Number(found[1]);
  if (length > LONGEST_BODY)
    throw new BrokenStream(`A message of ${length} bytes is more than the ${LONGEST_BODY} allowed.`);
  return length;
}

function joined(parts: readonly Uint8Array[], length: number): Uint8Array {
  const whole = new Uint8Array(length);
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
