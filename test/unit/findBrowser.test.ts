import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { findBrowser } from '../../scripts/browser.mjs';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bookend-browser-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function put(...parts: string[]): string {
  const path = join(folder, ...parts);
  mkdirSync(join(path, '..'), { recursive: true });
  writeFileSync(path, '');
  return path;
}

test('finds a browser in any folder of the path', () => {
  const path = put('second', 'chromium');
  const env = { PATH: [join(folder, 'first'), join(folder, 'second')].join(delimiter) };
  expect(findBrowser(env, 'linux')).toBe(path);
});

test('answers undefined where there is none', () => {
  expect(findBrowser({ PATH: folder }, 'linux')).toBeUndefined();
  expect(findBrowser({ ProgramFiles: folder }, 'win32')).toBeUndefined();
  expect(findBrowser({}, 'linux')).toBeUndefined();
});

test('looks in the program folders of Windows', () => {
  const path = put('Microsoft', 'Edge', 'Application', 'msedge.exe');
  expect(findBrowser({ 'ProgramFiles(x86)': folder }, 'win32')).toBe(path);
});

test('BOOKEND_BROWSER wins over what is on the path', () => {
  put('chromium');
  const path = put('mine');
  expect(findBrowser({ PATH: folder, BOOKEND_BROWSER: path }, 'linux')).toBe(path);
});

test('a wrong BOOKEND_BROWSER is an error that names it, not a silent search', () => {
  put('chromium');
  const wrong = join(folder, 'missing');
  expect(() => findBrowser({ PATH: folder, BOOKEND_BROWSER: wrong }, 'linux')).toThrow(wrong);
});
