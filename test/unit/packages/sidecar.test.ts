import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { hasher, inflate } from '../../../server/src/nodeFiles.ts';
import { listPackage } from '../../../server/src/packages/package.ts';
import {
  type Expected,
  type HashKind,
  readSidecar,
  sidecarEntry,
  sidecarNames,
  withSum,
} from '../../../server/src/packages/sidecar.ts';
import { sourceOf } from '../../../server/src/packages/source.ts';
import { utf8, zip } from '../../program/packages.ts';

const CODE = utf8('G28\nG1 X10\n');
const MD5 = createHash('md5').update(CODE).digest('hex');
const SHA = createHash('sha256').update(CODE).digest('hex');

async function* inPieces(bytes: Uint8Array) {
  for (let at = 0; at < bytes.length; at += 3) yield bytes.subarray(at, at + 3);
}

async function through(bytes: Uint8Array, expected: Expected): Promise<string> {
  const pieces: Uint8Array[] = [];
  for await (const piece of withSum(inPieces(bytes), expected, hasher, 'The entry "a"')) pieces.push(piece);
  return Buffer.concat(pieces).toString();
}

describe('a checksum beside a file', () => {
  it.each([
    ['two blanks', `${MD5}  plate.gcode\n`],
    ['a star for binary', `${MD5} *plate.gcode\r\n`],
    ['capitals', `${MD5.toUpperCase()}  plate.gcode`],
    ['the name behind', `MD5 (plate.gcode) = ${MD5}\n`],
    ['nothing but the sum', `\ufeff${MD5}\n`],
    ['a name from elsewhere, where it is the only sum', `${MD5}  C:\\prints\\old.gcode`],
    ['among others', `${'0'.repeat(32)}  other.gcode\n${MD5}  prints/plate.gcode\n${'1'.repeat(32)}  more\n`],
    ['between remarks', `# sums of today\n\n${MD5}  plate.gcode\n`],
  ])('%s', (_, text) => {
    expect(readSidecar(text, 'md5', 'plate.gcode.md5', 'plate.gcode')).toMatchObject({ kind: 'md5', hash: MD5 });
  });

  it.each([
    ['nothing', '', /holds no md5 sum \(32 hexadecimal digits\)/],
    ['another kind', `${SHA}  plate.gcode`, /holds no md5 sum/],
    ['cut short', MD5.slice(1), /holds no md5 sum/],
    ['only of others', `${MD5}  a\n${MD5}  b\n`, /holds 2 sums, none for "plate\.gcode"/],
    ['something else', 'G28\n', /holds no md5 sum/],
  ])('%s: told, not passed over', (_, text, message) => {
    expect(readSidecar(text, 'md5', 'plate.gcode.md5', 'plate.gcode')).toMatch(message);
  });

  it('the right bytes pass, any other do not', async () => {
    const expected = { kind: 'sha256', hash: SHA, told: 'plate.gcode.sha256' } as const;
    expect(await through(CODE, expected)).toBe('G28\nG1 X10\n');
    for (let i = 0; i < CODE.length; i++) {
      const wrong = CODE.map((byte, at) => (at === i ? byte ^ 1 : byte));
      await expect(through(wrong, expected)).rejects.toThrow(
        /is not what "plate\.gcode\.sha256" was made for: its sha256/,
      );
    }
  });

  it.each(['md5sum', 'sha1sum', 'sha256sum', 'sha512sum'])('%s writes what is read', async (command) => {
    const ran = spawnSync(command, ['-'], { input: CODE, encoding: 'utf8' });
    if (ran.error) return; // not on every system
    const kind = command.replace('sum', '') as HashKind;
    const read = readSidecar(ran.stdout, kind, 'x', 'a');
    expect(await through(CODE, read as Expected)).toBe('G28\nG1 X10\n');
  });

  it('in a package: beside its entry, the strongest first', async () => {
    const packed = zip([
      { name: 'a/plate.gcode', bytes: CODE },
      { name: 'a/plate.gcode.md5', bytes: utf8(MD5) },
      { name: 'a/Plate.gcode.SHA256', bytes: utf8(SHA) },
      { name: 'plate.gcode.sha512', bytes: utf8('another folder') },
    ]);
    const listed = await listPackage(sourceOf(packed), inflate);
    if (!listed.ok) throw new Error(listed.message);
    const [entry] = listed.programs;
    if (!entry) throw new Error('no program');
    expect(sidecarEntry(entry, listed.entries)).toMatchObject({
      kind: 'sha256',
      entry: { name: 'a/Plate.gcode.SHA256' },
    });
    expect(sidecarEntry(entry, listed.entries.slice(0, 2))).toMatchObject({ kind: 'md5' });
    expect(sidecarEntry(entry, listed.entries.slice(0, 1))).toBeNull();
    expect(sidecarNames('b').map((s) => s.name)).toEqual(['b.sha512', 'b.sha256', 'b.sha1', 'b.md5']);
  });
});
