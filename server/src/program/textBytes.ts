import type { FastState } from './fastState.ts';
import { aboutBytes, type Collector } from './findings.ts';
import { KEPT_TEXT } from './parts.ts';

/** Looks at bytes before they are taken for lines, and keeps the first of them. */
export interface Bytes {
  push(chunk: Uint8Array): void;
  end(): void;
  size(): number;
  head(): Uint8Array;
}

type Wide = 'le' | 'be';
const SAMPLE = 4096;
/** A text has next to no control characters; more than this share of them, and it is none. */
const MOST_CONTROL = 0.1;

/**
 * UTF-16 is read as what it means, and told. What is no text at all is told and passed over: its lines would only give
 * findings without sense. Offsets of findings in UTF-16 count the bytes that the text has in UTF-8.
 */
export function bytesOf(found: Collector, fast: FastState, lines: (chunk: Uint8Array) => void): Bytes {
  let size = 0;
  let passed = 0;
  let wide: Wide | null | undefined;
  let half = -1;
  let decoder: TextDecoder | null = null;
  const encoder = new TextEncoder();
  const head = new Uint8Array(KEPT_TEXT);

  const take = (chunk: Uint8Array): void => {
    if (passed < head.length) head.set(chunk.subarray(0, head.length - passed), passed);
    passed += chunk.length;
    lines(chunk);
  };

  const widen = (chunk: Uint8Array, side: Wide): void => {
    decoder ??= new TextDecoder('utf-16le', { ignoreBOM: false });
    let bytes = chunk;
    if (half >= 0) {
      bytes = new Uint8Array(chunk.length + 1);
      bytes[0] = half;
      bytes.set(chunk, 1);
      half = -1;
    }
    if (bytes.length % 2 === 1) {
      half = bytes[bytes.length - 1] as number;
      bytes = bytes.subarray(0, bytes.length - 1);
    }
    if (side === 'be') bytes = swapped(bytes);
    const text = decoder.decode(bytes, { stream: true });
    if (text !== '') take(encoder.encode(text));
  };

  return {
    push(chunk) {
      const before = size;
      size += chunk.length;
      if (chunk.length === 0) return;
      if (wide === undefined) {
        wide = widthOf(chunk);
        if (wide) found.add(aboutBytes('utf-16', 'error', 1, 1, 0, UTF_16));
      }
      if (wide) widen(chunk, wide);
      else if (isBinary(chunk)) {
        if (found.count('not-text') === 0) found.add(aboutBytes('not-text', 'error', fast.line, 1, before, NOT_TEXT));
        else found.more('not-text', 1);
      } else take(chunk);
    },
    end() {
      if (decoder) {
        const text = decoder.decode();
        if (text !== '') take(encoder.encode(text));
      }
    },
    size: () => size,
    head: () => head.subarray(0, Math.min(passed, head.length)),
  };
}

const UTF_16 =
  'This file is written in UTF-16, with two bytes for each character. Controllers read one byte each and understand nothing of it. Save it as plain text (ASCII or UTF-8).';
const NOT_TEXT =
  'These bytes are no text, so this is no program that a controller could read, or it is damaged here. They are passed over, and what they hold has not been checked.';

function swapped(bytes: Uint8Array): Uint8Array {
  const other = new Uint8Array(bytes.length);
  for (let i = 0; i + 1 < bytes.length; i += 2) {
    other[i] = bytes[i + 1] as number;
    other[i + 1] = bytes[i] as number;
  }
  return other;
}

/** By its mark, or because nearly every second byte of the beginning is zero. */
function widthOf(chunk: Uint8Array): Wide | null {
  if (chunk[0] === 0xff && chunk[1] === 0xfe) return 'le';
  if (chunk[0] === 0xfe && chunk[1] === 0xff) return 'be';
  const pairs = Math.min(chunk.length >> 1, 256);
  if (pairs < 4) return null;
  let [even, odd] = [0, 0];
  for (let i = 0; i < pairs; i++) {
    if (chunk[2 * i] === 0) even++;
    if (chunk[2 * i + 1] === 0) odd++;
  }
  if (odd >= pairs * 0.8 && even <= pairs * 0.1) return 'le';
  return even >= pairs * 0.8 && odd <= pairs * 0.1 ? 'be' : null;
}

function isBinary(chunk: Uint8Array): boolean {
  const n = Math.min(chunk.length, SAMPLE);
  let control = 0;
  for (let i = 0; i < n; i++) {
    const c = chunk[i] as number;
    if (c < 9 || (c > 13 && c < 32) || c === 127) control++;
  }
  return control > n * MOST_CONTROL && control > 8;
}
