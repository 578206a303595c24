import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { members, named, utf8, zip } from '../../program/packages.ts';
import { type Files, runCli } from './run.ts';
import { heron, wall } from './shop.ts';

const one = utf8(wall(20));
const two = utf8(wall(40));
const tray = zip([
  { name: 'batches/one', bytes: one },
  { name: 'two.gcode', bytes: two },
  { name: 'readme.txt', bytes: utf8('Two batches.\n') },
  { name: '../up.gcode', bytes: two },
]);
const files: Files = {
  '/shop/heron.machine.json': heron,
  '/shop/tray.box': tray,
  '/shop/single.zip': zip([{ name: 'deep/single.gcode', bytes: one }]),
  '/shop/stick/old.gcode': 'M84\n',
};

describe('list', () => {
  test('every entry, what it is by its bytes, programs marked', async () => {
    const { code, out, err } = await runCli(['list', 'tray.box'], files);
    expect([code, err]).toEqual([0, '']);
    const rows = out.split('\n');
    expect(rows[0]).toMatch(/^tray\.box: zip package, 4 entries, \d programs\.$/);
    expect(rows.find((row) => row.endsWith('batches/one'))).toMatch(
      new RegExp(`^-> +${one.length} +\\d+ +2026-05-14 13:24 +program +batches/one$`),
    );
    expect(rows.find((row) => row.endsWith('readme.txt'))).toMatch(/^ +13 +\d+ +2026-05-14 13:24 +text +readme\.txt$/);
    expect(out).toContain('climbs out of the folder');
  });

  test('as JSON', async () => {
    const { out } = await runCli(['list', '--format', 'json', 'tray.box'], files);
    const listed = JSON.parse(out);
    expect(listed).toMatchObject({ version: 1, path: 'tray.box', what: 'zip package' });
    expect(listed.entries[0]).toEqual({
      name: 'batches/one',
      what: 'program',
      program: true,
      size: one.length,
      packed: expect.any(Number),
      date: '2026-05-14T13:24:10',
      problem: null,
      caution: null,
    });
  });

  test.each([
    ['no package', 'heron.machine.json', /cannot list heron\.machine\.json: This is no package but plain text/],
    ['no file', 'gone.zip', /cannot list gone\.zip: there is no such file/],
    ['a package cut short', 'cut.zip', /cannot list cut\.zip: .+/],
  ])('%s', async (_, file, words) => {
    const { code, out, err } = await runCli(['list', file], { ...files, '/shop/cut.zip': tray.slice(0, -40) });
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(words);
  });
});

describe('extract', () => {
  test('the only program, byte for byte, checked', async () => {
    const { code, out, err, written } = await runCli(['extract', 'single.zip'], files);
    expect([code, err]).toEqual([1, '']); // it goes past the reach at its end
    expect([...written.keys()]).toEqual(['/shop/single.gcode']);
    expect(Buffer.from(written.get('/shop/single.gcode') ?? []).equals(one)).toBe(true);
    expect(out).toContain('single.gcode:29:4: error beyond-reach');
    expect(out).toMatch(/\nWritten: single\.gcode, [\d,]+ bytes, 31 lines\.\n$/);
  });

  test('which one, and where to', async () => {
    const to = async (...args: string[]) => {
      const { code, written } = await runCli(['extract', ...args, 'tray.box'], files);
      expect(code).toBeLessThan(2);
      const [[path, bytes] = []] = [...written];
      return [path, bytes?.length];
    };
    expect(await to('--entry', 'batches/one')).toEqual(['/shop/one.gcode', one.length]);
    expect(await to('--entry=two.gcode', '--out', 'b.gcode')).toEqual(['/shop/b.gcode', two.length]);
    expect(await to('--entry=two.gcode', '--out', 'stick')).toEqual(['/shop/stick/two.gcode', two.length]);
    expect(await to('--entry=two.gcode', '--out=stick/old.gcode', '--force')).toEqual([
      '/shop/stick/old.gcode',
      two.length,
    ]);
  });

  test('the name in the package is never a path', async () => {
    const { written } = await runCli(['extract', '--entry', '../up.gcode', 'tray.box'], files);
    for (const path of written.keys()) expect(path).toBe('/shop/up.gcode');
  });

  test.each([
    ['more than one program', ['tray.box'], /it holds \d programs; choose one with --entry\n(.*\n)*.*batches\/one/],
    ['no such entry', ['--entry', 'three', 'tray.box'], /it has no entry "three"\. It holds\n/],
    [
      'a slip in its name',
      ['--entry', 'tow.gcode', 'tray.box'],
      /it has no entry "tow\.gcode"\. Did you mean "two\.gcode"\? It holds\n/,
    ],
    [
      'its name without its folder',
      ['--entry', 'one', 'tray.box'],
      /it has no entry "one"\. Did you mean "batches\/one"\? It holds\n/,
    ],
    ['an entry that is none', ['--entry', 'readme.txt', 'tray.box'], /"readme\.txt" is no program but: text/],
    [
      'a file in the way',
      ['--out', 'stick/old.gcode', 'single.zip'],
      /stick\/old\.gcode is there already\. Give another name with --out, or write over it with --force/,
    ],
    ['an entry of no package', ['--entry', 'x', 'stick/old.gcode'], /it is no package but a plain text/],
    ['no machine file', ['--machine', 'gone.json', 'single.zip'], /machine file gone\.json: there is no such file/],
  ])('%s', async (_, args, words) => {
    const { code, out, err, written } = await runCli(['extract', ...args], files);
    expect([code, out, written.size]).toEqual([2, '', 0]);
    expect(err).toMatch(words);
    expect(err).toMatch(/^bookend: cannot /);
  });

  test('a plain text under the name of a package is the program itself', async () => {
    const { written } = await runCli(['extract', 'plain.zip'], { ...files, '/shop/plain.zip': one });
    expect([...written].map(([path, bytes]) => [path, bytes.length])).toEqual([['/shop/plain.zip.gcode', one.length]]);
  });

  test('gzip', async () => {
    const { written } = await runCli(['extract', 'j.gcode'], { '/shop/j.gcode': named('wall.gcode', one) });
    expect(Buffer.from(written.get('/shop/wall.gcode') ?? []).equals(one)).toBe(true);
  });

  test('a checksum beside the program in the package, or beside the package', async () => {
    const sum = createHash('md5').update(one).digest('hex');
    const inside = (hash: string): Files => ({
      '/shop/a.zip': zip([
        { name: 'a/one.gcode', bytes: one },
        { name: 'a/one.gcode.md5', bytes: utf8(`${hash}  one.gcode\n`) },
      ]),
    });
    expect((await runCli(['extract', 'a.zip'], inside(sum))).out).toContain('as a/one.gcode.md5 says.');
    const wrong = await runCli(['extract', 'a.zip'], inside(sum.replace(/./g, (c) => (c === '0' ? '1' : '0'))));
    expect([wrong.code, wrong.out, wrong.written.size]).toEqual([2, '', 0]);
    expect(wrong.err).toMatch(/its md5 is .*Nothing was written\./s);

    const box = files['/shop/single.zip'] as Uint8Array;
    const beside = createHash('sha256').update(box).digest('hex');
    const good = await runCli(['extract', 'single.zip'], {
      ...files,
      '/shop/single.zip.sha256': `${beside}  single.zip\n`,
    });
    expect(good.out).toContain('as single.zip.sha256 says.');
    const bad = await runCli(['extract', 'single.zip'], { ...files, '/shop/single.zip.sha256': `${'0'.repeat(64)}\n` });
    expect([bad.code, bad.written.size]).toEqual([2, 0]);
    expect(bad.err).toContain('its sha256 is');
  });

  test('a disk that is full', async () => {
    let dropped = false;
    const { code, err } = await runCli(['extract', 'single.zip'], files, {
      create: async () => ({
        write: () => Promise.reject(new Error('the disk is full')),
        keep: async () => null,
        async drop() {
          dropped = true;
        },
      }),
    });
    expect([code, dropped]).toEqual([2, true]);
    expect(err).toBe('bookend: cannot take a program from single.zip: the disk is full. Nothing was written.\n');
  });
});

describe('what a newcomer may type', () => {
  const gz = members(one);
  const long = members(utf8(wall(3000)));
  const odd: Files = {
    ...files,
    '/shop/j.gz': gz,
    '/shop/cut.gz': Buffer.concat([long.subarray(0, -40), Buffer.alloc(8, 255)]),
    '/shop/heron.gcode': null,
  };
  const told = async (args: readonly string[], input: readonly Uint8Array[] = []) => {
    const { code, out, err } = await runCli(args, odd, {}, input);
    return [code, out + err] as const;
  };

  test.each([
    [
      'an option with a slip',
      ['summary', '--fromat', 'json', 'j.gz'],
      /summary has no option --fromat\. Did you mean --format\?/,
    ],
    ['an option of nothing', ['list', '--zzz', 'j.gz'], /list has no option --zzz\. See "bookend list --help"\./],
    ['a command with a slip', ['chekc', 'j.gz'], /no command "chekc"\. Did you mean check\? There are check, list/],
    ['a family by its first word', ['explain', 'extrusion'], /Did you mean extrusion and retraction\?/],
    [
      'a summary of a machine file',
      ['summary', 'heron.machine.json'],
      /cannot sum up heron\.machine\.json: it is no program/,
    ],
    ['an unreadable file', ['summary', 'heron.gcode'], /cannot read heron\.gcode: you may not read it\./],
  ])('%s', async (_, args, words) => expect(await told(args)).toEqual([2, expect.stringMatching(words)]));

  test('standard input that is no text', async () => {
    expect(await told(['summary', '-'], [gz])).toEqual([2, expect.stringContaining('a package is read from its end')]);
    expect(await told(['summary', '-'])).toEqual([2, expect.stringContaining('there is nothing in it')]);
    const noise = Uint8Array.from({ length: 4000 }, (_, i) => (i * 7919) % 256);
    expect(await told(['summary', '-'], [noise])).toEqual([2, expect.stringContaining('but binary')]);
  });

  test('a gzip file without a name in it, whole and cut short', async () => {
    expect((await told(['list', 'j.gz']))[1]).toMatch(/^-> +[\d,]+ +[\d,]+ +program +\(no name\)$/m);
    expect((await told(['summary', 'j.gz']))[1]).toMatch(/^file +j\.gz$/m);
    // What it says of its size is beyond what deflate can pack.
    expect((await told(['list', 'cut.gz']))[1]).toMatch(/^(->)? +\? +[\d,]+ +program +\(no name\)$/m);
    const [code, text] = await told(['extract', 'cut.gz']);
    expect([code, text]).toEqual([2, expect.stringContaining('Nothing was written.')]);
  });

  test('one of a thing is one', async () => {
    const { out } = await runCli(['summary', 'a.gcode'], { '/shop/a.gcode': 'G28\nG1 X5O F600\n' });
    expect(out).toMatch(/^size +16 bytes, 2 lines, 1 move$/m);
    expect(out).toMatch(/^findings +1 error\b/m);
  });
});

describe('summary', () => {
  test('of a program, by hand', async () => {
    const { code, out } = await runCli(['summary', 'w.gcode'], { ...files, '/shop/w.gcode': wall(20) });
    expect(code).toBe(0);
    // wall(20): 20 moves from (50, 60) to (69, 79), E up to 0.95; then Z 10 and X 260.
    const value = (name: string): string => new RegExp(`^${name} {2,}(.*)$`, 'm').exec(out)?.[1] ?? '';
    expect(value('machine')).toBe('Heron 228');
    expect(value('travel within')).toBe('X 0 to 260, Y 0 to 79, Z 0 to 10 mm');
    expect(value('filament')).toBe('0.95 mm');
    expect(value('hottest')).toBe('nozzle 200 °C');
    expect(value('layers')).toMatch(/^1, first at 0\.2 mm/);
    expect(value('size')).toMatch(/, 31 lines, /);
    expect(value('findings')).toMatch(/\d error/);
  });

  test('what the filament weighs: as the usual materials, or as the one that is named', async () => {
    const filament = async (...args: string[]) => {
      const { out } = await runCli(['summary', ...args, 'w.gcode'], { ...files, '/shop/w.gcode': wall(200_001) });
      return /^filament +(.*)$/m.exec(out)?.[1];
    };
    // 10 m of 2.405282 mm2 are 24.053 cm3; densities 1.24, 1.27, 1.04 and 1.21 g/cm3.
    expect(await filament()).toBe(
      '10 m of 1.75 mm: 29.8 g as PLA, 30.5 g as PETG, 25 g as ABS; --material names another',
    );
    expect(await filament('--material', 'tpu')).toBe('10 m of 1.75 mm: 29.1 g as TPU');
    const json = await runCli(['summary', '--format=json', '--material=PC', '-'], files, {}, [wall(2001)]);
    const { diameter, mass } = JSON.parse(json.out).program.totals;
    expect([diameter, mass]).toEqual([1.75, [{ material: 'PC', grams: expect.closeTo(0.2405282 * 1.2, 6) }]]);
    const wrong = await runCli(['summary', '--material', 'wood', 'w.gcode'], files);
    expect([wrong.code, wrong.out]).toEqual([2, '']);
    expect(wrong.err).toMatch(/^bookend: no density is known for the material "wood"; known are PLA, PETG, .*TPU\.\n$/);
  });

  test('of a sequence, of an entry, of standard input, as JSON', async () => {
    const sequence = await runCli(['summary', 'a.start.gcode'], {
      ...files,
      '/shop/a.start.gcode': 'G28\nG1 Z{{ part.top }}\n',
    });
    expect(sequence.out).toMatch(/^rules +\d+ hold for every job, /m);
    const entry = await runCli(['summary', '--entry', 'two.gcode', '--format', 'json', 'tray.box'], files);
    expect(JSON.parse(entry.out)).toMatchObject({ entry: 'two.gcode', role: 'program', program: { lines: 51 } });
    const input = await runCli(['summary', '--format', 'json', '-'], files, {}, [wall(3)]);
    expect(JSON.parse(input.out)).toMatchObject({ path: '-', machine: 'Heron 228', program: { lines: 14 } });
    expect((await runCli(['summary', 'tray.box'], files)).err).toContain('choose one with --entry');
    const slip = await runCli(['summary', '--entry', 'twoo.gcode', 'tray.box'], files);
    expect([slip.code, slip.err]).toEqual([2, expect.stringContaining('Did you mean "two.gcode"?')]);
    expect((await runCli(['summary', 'gone'], files)).code).toBe(2);
  });
});
