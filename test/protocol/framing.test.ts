import fc from 'fast-check';
import { expect, test } from 'vitest';
import { BrokenStream, Frames } from '../../server/src/lsp/framing.ts';

// The base protocol of LSP 3.17: header fields that end with CRLF, an empty line, a body of so many bytes.

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const framed = (body: string, header = `Content-Length: ${bytes(body).length}\r\n\r\n`): string => header + body;

/** The bodies in a stream that comes in these parts. */
function read(parts: readonly Uint8Array[]): string[] {
  const frames = new Frames();
  const bodies: string[] = [];
  for (const part of parts) frames.push(part, (body) => bodies.push(new TextDecoder().decode(body)));
  return bodies;
}

test('bodies come whole, wherever the stream is cut', () => {
  fc.assert(
    fc.property(
      fc.array(fc.string({ unit: 'binary', maxLength: 40 }), { maxLength: 8 }),
      fc.array(fc.nat(60), { maxLength: 20 }),
      (bodies, cuts) => {
        const all = bytes(bodies.map((body) => framed(body)).join(''));
        const parts: Uint8Array[] = [];
        let at = 0;
        for (const cut of cuts) {
          parts.push(all.subarray(at, at + cut));
          at += cut;
        }
        parts.push(all.subarray(at));
        expect(read(parts)).toEqual(bodies);
      },
    ),
    { seed: 11 },
  );
});

test('further fields of the header, and any case of its names, are as good', () => {
  const type = 'Content-Type: application/vscode-jsonrpc; charset=utf-8\r\n';
  expect(read([bytes(framed('{}', `${type}CONTENT-LENGTH:2\r\n\r\n`))])).toEqual(['{}']);
});

test.each([
  ['no length', 'Content-Type: text\r\n\r\n{}'],
  ['a negative length', 'Content-Length: -5\r\n\r\n{}'],
  ['a length that is no number', 'Content-Length: many\r\n\r\n{}'],
  ['a length in other digits', 'Content-Length: 0x10\r\n\r\n{}'],
  ['more than a text can have', 'Content-Length: 999999999999\r\n\r\n{}'],
  ['a length of 400 digits', `Content-Length: ${'9'.repeat(400)}\r\n\r\n{}`],
  ['no end of the header', 'x'.repeat(1_000_000)],
])('%s: the stream is broken', (_name, text) => {
  expect(() => read([bytes(text)])).toThrow(BrokenStream);
});

test('a header that never ends is given up after some bytes, however it comes', () => {
  const frames = new Frames();
  let sent = 0;
  const drip = () => {
    for (; sent < 1_000_000; sent++) frames.push(bytes('a'), () => {});
  };
  expect(drip).toThrow(BrokenStream);
  expect(sent).toBeLessThan(5000);
});
