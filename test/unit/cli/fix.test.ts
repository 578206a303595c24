import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { fewest, some } from '../../quick/share.ts';
import { applied } from './applied.ts';
import { runCli } from './run.ts';

const HERON = JSON.stringify({
  name: 'Heron 228',
  bed: { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 },
  reach: { shape: 'rectangle', left: 0, right: 234, front: 0, back: 217, bottom: 0, top: 232 },
  home: { x: 0, y: 0, z: 0 },
  heat: { nozzle: { max: 268, minExtrude: 173 }, bed: { max: 98 } },
});
/** Hands over with E at 5, which `G92 E0` mends without a choice. */
const START =
  'G21\nG90\nM82\nG28\nM109 S200\nG92 E0\nG1 Z1 F600\nG1 X10 Y10 F3000\nG1 X60 E5 F1200 ; line\nG1 Z5 F600\n';
const MENDED = `${START}G92 E0\n`;
const bytes = (text: string, encoding: BufferEncoding = 'utf8'): Uint8Array =>
  new Uint8Array(Buffer.from(text, encoding));
const shop = (file: string | Uint8Array) => ({ '/shop/heron.machine.json': HERON, '/shop/a.start.gcode': file });
const PATH = '/shop/a.start.gcode';

describe('check --fix', () => {
  it('writes what needs no person, says rule, place and title, and tells what remains', async () => {
    const { code, out, err, written } = await runCli(['check', '--fix', 'a.start.gcode'], shop(START));
    expect(err).toBe('');
    expect(new TextDecoder().decode(written.get(PATH))).toBe(MENDED);
    expect(out).toMatch(/^a\.start\.gcode:10:1: fixed e-not-reset: Add G92 E0 at the end$/m);
    expect(out).not.toMatch(/: (error|warning) e-not-reset/);
    expect(out).toMatch(/^0 errors, 0 warnings.* in 1 file; 1 fixed\.$/m);
    expect(code).toBe(0);
  });

  it('leaves what a person must decide, and the exit code follows that', async () => {
    const text = START.replace('X60 E5', 'X300 E5');
    const { code, out, written } = await runCli(['check', '--fix', 'a.start.gcode'], shop(text));
    expect(new TextDecoder().decode(written.get(PATH))).toBe(`${text}G92 E0\n`);
    expect(out).toContain('error beyond-reach');
    expect(code).toBe(1);
  });

  it('a second run changes nothing and does not write', async () => {
    const { out, written } = await runCli(['check', '--fix', 'a.start.gcode'], shop(MENDED));
    expect(written.size).toBe(0);
    expect(out).toMatch(/; 0 fixed\.$/m);
  });

  it.each<[string, Uint8Array, Uint8Array]>([
    ['CRLF', bytes(START.replaceAll('\n', '\r\n')), bytes(MENDED.replaceAll('\n', '\r\n'))],
    ['a lone CR', bytes(START.replaceAll('\n', '\r')), bytes(MENDED.replaceAll('\n', '\r'))],
    ['UTF-8 with its mark', bytes(`\ufeff; ä\n${START}`), bytes(`\ufeff; ä\n${MENDED}`)],
    ['UTF-16', bytes(`\ufeff; ä\n${START}`, 'utf16le'), bytes(`\ufeff; ä\n${MENDED}`, 'utf16le')],
    ['windows-1252', bytes(`; \u00e4\u00f1\n${START}`, 'latin1'), bytes(`; \u00e4\u00f1\n${MENDED}`, 'latin1')],
    ['no end of line at the end', bytes(START.trimEnd()), bytes(MENDED.trimEnd())],
  ])('keeps every other byte: %s', async (_, before, after) => {
    const { written } = await runCli(['check', '--fix', 'a.start.gcode'], shop(before));
    expect([...(written.get(PATH) ?? [])]).toEqual([...after]);
  });

  it('refuses a file whose bytes cannot all be kept', async () => {
    const odd = new Uint8Array([...bytes(`\ufeff${START}`, 'utf16le'), 0x41]);
    const { code, out, err, written } = await runCli(['check', '--fix', 'a.start.gcode'], shop(odd));
    expect(written.size).toBe(0);
    expect(err).toBe('bookend: cannot fix a.start.gcode: some of its bytes are no UTF-16LE and would be lost.\n');
    expect(out).toContain('warning e-not-reset');
    expect(code).toBe(2);
  });

  it('says so where the file cannot be written; what was found still stands', async () => {
    const { code, out, err } = await runCli(['check', '--fix', 'a.start.gcode'], shop(START), {
      replaceFile: async () => 'it is read-only',
    });
    expect(err).toBe('bookend: cannot write a.start.gcode: it is read-only; nothing was changed in it.\n');
    expect(out).toContain('warning e-not-reset');
    expect(out).toContain('; 0 fixed.');
    expect(code).toBe(2);
  });

  it('gives the writer the bytes that were read, so that it can see a change', async () => {
    let seen: readonly Uint8Array[] = [];
    const replaceFile = async (_: string, before: Uint8Array, after: Uint8Array) => {
      seen = [before, after];
      return null;
    };
    await runCli(['check', '--fix', 'a.start.gcode'], shop(START), { replaceFile });
    expect(seen.map((some) => new TextDecoder().decode(some))).toEqual([START, MENDED]);
  });

  it('JSON tells what was done', async () => {
    const { out } = await runCli(['check', '--fix', '--format', 'json', 'a.start.gcode'], shop(START));
    const [file] = JSON.parse(out).files;
    expect(file.fixed).toEqual([{ rule: 'e-not-reset', title: 'Add G92 E0 at the end', line: 10, column: 1 }]);
    expect(file.findings.map(({ rule }: { rule: string }) => rule)).not.toContain('e-not-reset');
  });

  it('a rule that the machine file switches off is neither told nor mended', async () => {
    const off = HERON.replace('{', '{"rules":{"e-not-reset":"off"},');
    const { out, written } = await runCli(['check', '--fix', 'a.start.gcode'], {
      ...shop(START),
      '/shop/heron.machine.json': off,
    });
    expect(written.size).toBe(0);
    expect(out).not.toContain('e-not-reset');
    const error = HERON.replace('{', '{"rules":{"e-not-reset":"error"},');
    const told = await runCli(['check', 'a.start.gcode'], { ...shop(START), '/shop/heron.machine.json': error });
    expect(told.out).toContain('error e-not-reset');
    expect(told.code).toBe(1);
  });

  it('machine and vocabulary files are checked and left alone', async () => {
    const { code, written } = await runCli(['check', '--fix', 'x.machine.json'], {
      '/shop/x.machine.json': '{"nam": 1}',
    });
    expect([code, written.size]).toEqual([1, 0]);
  });
});

describe('check --fix --dry-run', () => {
  const dry = (file: string | Uint8Array, io = {}) =>
    runCli(['check', '--fix', '--dry-run', 'a.start.gcode'], shop(file), io);

  it('prints a diff and nothing else, and writes nothing', async () => {
    const { code, out, err, written } = await dry(START);
    await expect(out).toMatchFileSnapshot('golden/fix.diff');
    expect(err).toBe(
      'a.start.gcode:10:1: would fix e-not-reset: Add G92 E0 at the end\n1 finding would be fixed; nothing was written.\n',
    );
    expect(written.size).toBe(0);
    expect(code).toBe(0);
  });

  it('prints nothing where there is nothing to mend', async () => {
    const { out, err } = await dry(MENDED);
    expect([out, err]).toEqual(['', '0 findings would be fixed; nothing was written.\n']);
  });

  it('is in the file’s own bytes; of UTF-16 it says that it cannot be applied', async () => {
    let rows: Uint8Array[] = [];
    const writeBytes = (some: Uint8Array) => {
      rows = [...rows, some];
    };
    await dry(bytes(START.replace('; line', '; L\u00e4nge'), 'latin1'), { writeBytes });
    expect(Buffer.concat(rows).toString('latin1')).toContain('\n G1 X60 E5 F1200 ; L\u00e4nge\n');
    const wide = await dry(bytes(`\ufeff${START}`, 'utf16le'));
    expect(wide.out).toContain('\n+G92 E0\n');
    expect(wide.err).toContain('is in UTF-16');
  });

  it('on a terminal control characters are taken out', async () => {
    const { out } = await dry(START.replace('; line', '; \u001b[2J'), { terminal: true });
    expect(out).toContain('; \ufffd[2J\n');
    expect(out).toContain('\n+G92 E0\n');
  });

  it.each([
    [['check', '--dry-run', 'a.gcode'], '--dry-run goes with --fix'],
    [['check', '--fix', '--dry-run', '--format', 'json', 'a.gcode'], 'prints a diff'],
    [['draft-placeholders', '--fix', 'a.gcode'], 'draft-placeholders has no option --fix'],
    [['explain', '--dry-run', 'G1'], 'explain has no option --dry-run'],
  ])('%j is refused', async (args, words) => {
    const { code, out, err } = await runCli(args, {});
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(words);
  });
});

describe('over the fixtures of all rules', () => {
  const folder = (name: string) => new URL(`../../fixtures/${name}`, import.meta.url);
  const names = some(readdirSync(folder('rules')).filter((name) => name.endsWith('.gcode')));
  const read = (path: string) => readFileSync(folder(path), 'utf8');

  it('what is fixed is what the diff says, adds no finding, and is done at once', async () => {
    let mended = 0;
    for (const name of names) {
      const machine = name.split('.').at(-3) ?? '';
      const path = `/shop/${name}`;
      const around: Record<string, string> =
        machine === 'none' ? {} : { '/shop/m.machine.json': read(`machines/${machine}.machine.json`) };
      const before = read(`rules/${name}`);
      const check = async (text: string, ...flags: string[]) => {
        const ran = await runCli(['check', ...flags, name], { ...around, [path]: text });
        const [, errors = '', warnings = ''] = /^(\d+) errors?, (\d+) warnings?/m.exec(ran.out) ?? [];
        return { ...ran, found: Number(errors) + Number(warnings) };
      };
      const fixed = await check(before, '--fix');
      const bytes = fixed.written.get(path);
      if (!bytes) continue;
      mended++;
      const after = new TextDecoder().decode(bytes);
      expect(applied(before, (await check(before, '--fix', '--dry-run')).out), name).toBe(after);
      const again = await check(after, '--fix');
      expect([again.written.size, again.found], name).toEqual([0, fixed.found]);
      expect(fixed.found, name).toBeLessThanOrEqual((await check(before)).found);
    }
    expect(mended).toBeGreaterThan(fewest(10));
  });
});
