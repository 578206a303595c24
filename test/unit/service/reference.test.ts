import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { referencePages } from '../../../server/src/service/reference.ts';

describe('the reference pages', () => {
  it.each([...referencePages()])('docs/%s is what `node scripts/write-docs.mjs` writes', (name, text) => {
    expect(readFileSync(new URL(`../../../docs/${name}`, import.meta.url), 'utf8').replaceAll('\r\n', '\n')).toBe(text);
  });
});
