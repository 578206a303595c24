import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  canonical,
  decoded,
  folderOf,
  foldersAbove,
  fromPath,
  inFolder,
  isInside,
  nameOf,
  schemeOf,
  shown,
} from '../../server/src/lsp/uri.ts';

// URIs after RFC 3986; the spelling is VS Code's, which encodes more than it must.

test.each([
  ['file:///c:/Shop/a b.gcode', 'file:///c%3A/Shop/a%20b.gcode'],
  ['file:///C%3A/Shop/a%20b.gcode', 'file:///c%3A/Shop/a%20b.gcode'],
  ['FILE:/shop/a', 'file:///shop/a'],
  ["file:///shop/a'(1).gcode", 'file:///shop/a%27%281%29.gcode'],
  ['file:///shop/50%', 'file:///shop/50%25'],
  ['memory:/demo/ü', 'memory:/demo/%C3%BC'],
  ['vscode-vfs://host/demo/a', 'vscode-vfs://host/demo/a'],
  ['untitled:Untitled-1', 'untitled:Untitled-1'],
  ['memory:///demo/a', 'memory:/demo/a'],
  ['file:///shop/../barn/./a', 'file:///barn/a'],
  ['file:///\ud83d', 'file:///%EF%BF%BD'],
])('%s has the spelling %s', (given, wanted) => {
  expect(canonical(given)).toBe(wanted);
  expect(canonical(canonical(given))).toBe(wanted);
});

test('folders go up to the root, and opaque URIs have none', () => {
  expect(foldersAbove('file:///a/b/c.gcode')).toEqual(['file:///a/b', 'file:///a', 'file:///']);
  expect(folderOf('file:///')).toBeNull();
  expect(foldersAbove('untitled:Untitled-1')).toEqual([]);
  expect(nameOf('untitled:Untitled-1')).toBe('Untitled-1');
  expect(nameOf('file:///a/b%20c.gcode')).toBe('b c.gcode');
});

test('names and relative paths in a folder', () => {
  expect(inFolder('file:///a/b', 'c d.gcode')).toBe('file:///a/b/c%20d.gcode');
  expect(inFolder('file:///', 'a')).toBe('file:///a');
  expect(inFolder('file:///a/b', '../x/./y')).toBe('file:///a/x/y');
  expect(inFolder('memory:/demo', 'a')).toBe('memory:/demo/a');
});

test('paths as people write them in a setting', () => {
  expect(fromPath('file:///shop', 'machines/h.machine.json')).toBe('file:///shop/machines/h.machine.json');
  expect(fromPath('file:///shop', '/far/h.machine.json')).toBe('file:///far/h.machine.json');
  expect(fromPath('file:///c%3A/shop', 'D:\\far\\h.machine.json')).toBe('file:///d%3A/far/h.machine.json');
  expect(fromPath('file:///shop', 'memory:/x/h.machine.json')).toBe('memory:/x/h.machine.json');
  expect(fromPath('memory:///shop', '/far/h.machine.json')).toBe('memory:/far/h.machine.json');
});

test('inside is by folder, not by the beginning of a name', () => {
  expect(isInside('file:///shop/a', 'file:///shop')).toBe(true);
  expect(isInside('file:///shop/a', 'file:///shop/')).toBe(true);
  expect(isInside('file:///shop/../etc/a', 'file:///shop')).toBe(false);
  expect(isInside('file:///shopping/a', 'file:///shop')).toBe(false);
});

test('decoded for comparing places', () => {
  expect(decoded('file:///c%3A/my%20shop')).toBe('file:///c:/my shop');
  expect(decoded('file:///50%25')).toBe('file:///50%');
});

const STRANGE = [
  ...[
    'file:////x',
    'a b:c',
    '',
    ':',
    '://',
    'file:',
    'file://',
    'file:///%',
    'file:///%ff',
    'x:////',
    '%',
    '1:/a',
    'a:/\0',
  ],
  ...['file:///a?b#c', 'file:///a b', '\ud83d', 'file://\udc00/', 'FILE:////a', 'untitled:', 'a:b:c', '\\\\host\\a'],
];

test('whatever the text, there is an answer, and the spelling of a spelling is itself', () => {
  const strange = fc.oneof(
    fc.constantFrom(...STRANGE),
    fc.string({ unit: 'binary', maxLength: 30 }),
    fc
      .array(fc.constantFrom('file:', '/', '%', '2F', '..', 'a', ':', '?', '#', ' ', '\ud83d', '\\', 'é'))
      .map((a) => a.join('')),
  );
  fc.assert(
    fc.property(strange, strange, (one, other) => {
      expect(canonical(canonical(one))).toBe(canonical(one));
      for (const text of [
        nameOf(one),
        inFolder(one, other),
        fromPath(one, other),
        shown(one),
        decoded(one),
        schemeOf(one),
      ])
        expect(text).toBeTypeOf('string');
      expect(isInside(one, other)).toBeTypeOf('boolean');
      const above = foldersAbove(one);
      expect(new Set(above).size).toBe(above.length);
      expect(folderOf(one)).toBe(above[0] ?? null);
    }),
    { numRuns: 3000, seed: 12 },
  );
});
