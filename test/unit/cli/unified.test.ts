// The form is that of the GNU diffutils manual, "Detailed Description of Unified Format". Where Debian's `patch` is
// installed it must apply every diff; an applier written for this test, which knows only the form, must do so anywhere.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { unifiedDiff } from '../../../server/src/cli/unified.ts';
import { applied } from './applied.ts';

const text = fc
  .array(fc.constantFrom('G28\n', 'G1 X5\r\n', '; é\n', '\n', 'a', '\r', '-- x\n', '\\ y\n'), { maxLength: 30 })
  .map((parts) => parts.join(''));

describe('a unified diff', () => {
  it('of two small texts, row by row', () => {
    const before = 'a\nb\nc\nd\ne\nf\ng\nh\n';
    expect(unifiedDiff('x.gcode', before, before.replace('d\n', 'D\nDD\n'))).toBe(
      '--- x.gcode\n+++ x.gcode\n@@ -1,7 +1,8 @@\n a\n b\n c\n-d\n+D\n+DD\n e\n f\n g\n',
    );
    expect(unifiedDiff('x', '', 'a\n')).toBe('--- x\n+++ x\n@@ -0,0 +1 @@\n+a\n');
    expect(unifiedDiff('x', 'a', 'a\n')).toBe('--- x\n+++ x\n@@ -1 +1 @@\n-a\n\\ No newline at end of file\n+a\n');
    expect(unifiedDiff('x', 'a\n', 'a\n')).toBe('');
  });

  it('changes that lie apart stand in hunks of their own', () => {
    const rows = Array.from({ length: 40 }, (_, i) => `${i}\n`);
    const after = rows.map((row, i) => (i === 5 || i === 12 || i === 30 ? `new ${row}` : row));
    const heads = unifiedDiff('x', rows.join(''), after.join('')).match(/^@@.*$/gm);
    expect(heads).toEqual(['@@ -3,14 +3,14 @@', '@@ -28,7 +28,7 @@']);
  });

  it('too many changes are told as one, which is applied all the same', () => {
    const rows = (name: string) => Array.from({ length: 4000 }, (_, i) => `${name}${i}\n`).join('');
    const around = (text: string) => `u\nv\nw\nx\n${text}y\nz`;
    const [before, after] = [around(rows('a')), around(`${rows('b')}more\n`)];
    const diff = unifiedDiff('x', before, after);
    expect(diff.match(/^@@.*$/gm)).toEqual(['@@ -2,4005 +2,4006 @@']);
    expect(applied(before, diff)).toBe(after);
    const [bare, other] = [rows('a'), rows('b').slice(0, -1)];
    expect(applied(bare, unifiedDiff('x', bare, other))).toBe(other);
  });

  it('names with blanks end at a tab, names with control characters are quoted', () => {
    expect(unifiedDiff('a b', '', 'x\n')).toMatch(/^--- a b\t\n\+\+\+ a b\t\n/);
    expect(unifiedDiff('a\n"b"', '', 'x\n')).toMatch(/^--- "a\\012\\"b\\""\n/);
  });

  it('applied to the one text gives the other', () => {
    fc.assert(
      fc.property(text, text, (before, after) => {
        const diff = unifiedDiff('x', before, after);
        if (before === after) expect(diff).toBe('');
        else expect(applied(before, diff)).toBe(after);
      }),
      { seed: 6, numRuns: 2000 },
    );
  });

  const patch = spawnSync('patch', ['--version']).status === 0;
  it.skipIf(!patch)('is applied by patch', () => {
    const folder = mkdtempSync(join(tmpdir(), 'bookend-patch-'));
    const file = join(folder, 'a b.gcode');
    try {
      fc.assert(
        fc.property(text, text, (before, after) => {
          // patch takes a file away that becomes empty.
          if (before === after || after === '' || before === '') return;
          writeFileSync(file, before);
          // Without --binary, patch would take the CR off rows of a diff whose headings have none (its manual, "--binary").
          const ran = spawnSync('patch', ['-p0', '--binary', '--posix'], {
            cwd: folder,
            input: unifiedDiff('a b.gcode', before, after),
          });
          expect(`${ran.stdout}${ran.stderr}`).not.toMatch(/FAILED|fuzz|offset|malformed/);
          expect(ran.status).toBe(0);
          expect(readFileSync(file, 'utf8')).toBe(after);
        }),
        { seed: 7, numRuns: 100 },
      );
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
