import { describe, expect, it } from 'vitest';
import { runCli } from './run.ts';

const HERON = JSON.stringify({
  name: 'Heron 228',
  bed: { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 },
  reach: { shape: 'rectangle', left: 0, right: 234, front: 0, back: 217, bottom: 0, top: 232 },
  tools: 2,
});
const START = 'G28\nM190 S{{ heat.bed.first }}\nG1 X{{ bed.right - 5 }} Y{{ part.front }}\n';
const JOB = JSON.stringify({ heat: { bed: { first: 61.5 } }, 'part.front': 1e-7 });

const files = { '/shop/heron.machine.json': HERON, '/shop/warm.start.gcode': START, '/shop/job.json': JOB };
const fill = (args: readonly string[], more: Record<string, string | Uint8Array | null> = {}, io = {}) =>
  runCli(['fill', ...args], { ...files, ...more }, io);

describe('fill', () => {
  it('prints the sequence as the job runs it: names nested and dotted, the machine’s own from the machine', async () => {
    const { code, out, err } = await fill(['--job', 'job.json', 'warm.start.gcode']);
    expect(err).toBe('');
    expect(out).toBe('G28\nM190 S61.5\nG1 X223 Y0.0000001\n');
    expect(code).toBe(0);
  });

  it('--set wins over the job file, the last one over those before', async () => {
    const args = ['--job=job.json', '--set', 'heat.bed.first=70', '--set=heat.bed.first=72', 'warm.start.gcode'];
    expect((await fill(args)).out).toContain('M190 S72\n');
  });

  it('--usual gives what is missing, and moves it where the job asks for it', async () => {
    const { code, out } = await fill(['--usual', '--set', 'part.right=20', 'x.start.gcode'], {
      '/shop/x.start.gcode': '{{ heat.bed.first }} {{ part.left }} {{ part.right }}',
    });
    expect([code, out]).toEqual([0, '60 17 20']);
  });

  it('lists: elements in the job file, how many on the command line, one element’s own value', async () => {
    const list = '{{#tools}}\nM104 T{{ number }} S{{ temperature.first }}\n{{/tools}}\n';
    const x = {
      '/shop/x.start.gcode': list,
      '/shop/tools.json': '{"tools":[{"number":1,"temperature":{"first":230}}]}',
    };
    expect((await fill(['--job', 'tools.json', 'x.start.gcode'], x)).out).toBe('M104 T1 S230\n');
    const args = ['--usual', '--set', 'tools=2', '--set', 'tools[1].temperature.first=240', 'x.start.gcode'];
    expect((await fill(args, x)).out).toBe('M104 T0 S215\nM104 T1 S240\n');
    expect((await fill(['--usual', '--set', 'tools[].temperature.first=250', 'x.start.gcode'], x)).out).toBe(
      'M104 T0 S250\n',
    );
  });

  it.each([
    ['UTF-8 with a mark', [0xef, 0xbb, 0xbf]],
    ['none', []],
  ])('keeps bytes: ends of rows, byte order mark (%s)', async (_, mark) => {
    const text = 'G28\r\n; ä € 🔥\rM140 S{{ heat.bed.first }}\n\n';
    const bytes = Uint8Array.from([...mark, ...new TextEncoder().encode(text)]);
    let written: number[] = [];
    const writeBytes = (some: Uint8Array): void => {
      written = [...written, ...some];
    };
    await fill(['--job', 'job.json', 'x.start.gcode'], { '/shop/x.start.gcode': bytes }, { writeBytes });
    expect(written).toEqual([...mark, ...new TextEncoder().encode(text.replace('{{ heat.bed.first }}', '61.5'))]);
  });

  it('keeps bytes: UTF-16 and windows-1252', async () => {
    for (const encoding of ['utf16le', 'latin1'] as const) {
      const bytes = Buffer.from(
        `${encoding === 'latin1' ? '' : '\ufeff'}; \u00e4\u00f1\nS{{ heat.bed.first }}\n`,
        encoding,
      );
      let written: Uint8Array = new Uint8Array();
      const writeBytes = (some: Uint8Array): void => {
        written = some;
      };
      await fill(['--job', 'job.json', 'x.start.gcode'], { '/shop/x.start.gcode': bytes }, { writeBytes });
      expect(Buffer.from(written).toString(encoding)).toBe(
        bytes.toString(encoding).replace('{{ heat.bed.first }}', '61.5'),
      );
    }
  });
});

describe('check', () => {
  it('prints the place of a tag’s partner as a note', async () => {
    const text = 'G28\n{{# tools }}\n{{# heat.bed.first }}\n{{/ tools }}\n{{/ heat.bed.first }}\n';
    const { out } = await runCli(['check', 'x.start.gcode'], { ...files, '/shop/x.start.gcode': text });
    const lines = out.split('\n');
    const at = lines.findIndex((line) => line.includes('unclosed-placeholder'));
    expect(lines[at]).toMatch(/^x\.start\.gcode:5:1: error/);
    expect(lines.slice(at + 3, at + 5)).toEqual([
      'x.start.gcode:3:1: note: The inner section is opened here.',
      'x.start.gcode:4:1: note: The section around it is closed here.',
    ]);
  });
});

describe('what cannot be filled in', () => {
  it('names every missing value with its place, prints nothing, and gives 2', async () => {
    const { code, out, err } = await fill(['warm.start.gcode']);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain('warm.start.gcode:2:10: “heat.bed.first” has no value in this job');
    expect(err).toContain('warm.start.gcode:3:29: “part.front”');
    expect(err).toContain('gives no value for heat.bed.first, part.front.');
    expect(err).not.toContain('bed.right');
  });

  it('the machine’s own values without a machine', async () => {
    const { code, err } = await runCli(['fill', '--usual', 'x.start.gcode'], {
      '/shop/x.start.gcode': 'G1 X{{ bed.right }}',
    });
    expect(code).toBe(2);
    expect(err).toContain('It is the machine’s');
    expect(err).toContain('no machine file was found');
  });

  it('a misspelt name', async () => {
    const { err } = await fill(['--usual', 'x.start.gcode'], { '/shop/x.start.gcode': 'S{{ heat.bed.frist }}' });
    expect(err).toContain('Did you mean heat.bed.first?');
  });

  it.each([
    ['bad JSON', ['--job', 'bad.json', 'warm.start.gcode'], 'bad.json is no JSON'],
    ['a job that is no object', ['--job', 'list.json', 'warm.start.gcode'], 'must be an object'],
    ['a job that is not there', ['--job', 'gone.json', 'warm.start.gcode'], 'there is no such file'],
    ['a file that is not there', ['gone.start.gcode'], 'there is no such file'],
    ['a machine that is not there', ['--machine', 'gone.machine.json', 'warm.start.gcode'], 'gone.machine.json'],
    ['--set without =', ['--set', 'heat.bed.first', 'warm.start.gcode'], 'not of the form name=value'],
    ['--set with no name', ['--set', '=5', 'warm.start.gcode'], 'not of the form name=value'],
    ['--set with no readable name', ['--set', '.heat=5', 'warm.start.gcode'], 'not of the form name=value'],
    ['--set of a wrong name', ['--set', 'heat.bde.first=5', 'warm.start.gcode'], 'Did you mean heat.bed.first?'],
    ['--set of a name with a space', ['--set', 'heat bed=5', 'warm.start.gcode'], '--set gives a value for heat bed'],
    [
      '--set of a list’s wrong name',
      ['--set', 'tools[1].numbr=5', 'warm.start.gcode'],
      'Did you mean tools[1].number or',
    ],
    ['a group as a value', ['--set', 'heat=5', 'warm.start.gcode'], '--set gives a value for heat,'],
    [
      'a wrong name in the job',
      ['--job', 'wrong.json', 'warm.start.gcode'],
      'the job wrong.json gives a value for heat.bed.frist',
    ],
    ['a wrong name in a list', ['--job', 'wrongTool.json', 'warm.start.gcode'], 'Did you mean tools[0].number or'],
    ['a text for a temperature', ['--set', 'heat.bed.first=60,5', 'warm.start.gcode'], 'it is a temperature'],
    ['a number for a list', ['--set', 'tools=-1', 'warm.start.gcode'], 'it is a list'],
    ['two files', ['warm.start.gcode', 'job.json'], 'takes one file'],
    ['no file', ['--usual'], 'no file given'],
    ['an option of check', ['--format', 'json', 'warm.start.gcode'], 'no option --format'],
    ['no role', ['--role', 'middle', 'warm.start.gcode'], 'no role "middle"'],
  ])('%s', async (_, args, message) => {
    const { code, out, err } = await fill(args, {
      '/shop/bad.json': '{"a": }',
      '/shop/list.json': '[1]',
      '/shop/wrong.json': '{"heat": {"bed": {"frist": 60}}, "part.front": 5}',
      '/shop/wrongTool.json': '{"tools": [{"numbr": 1}], "heat.bed.first": 60, "part.front": 5}',
    });
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(message);
    expect(err.split('\n').every((line) => line === '' || line.length < 300)).toBe(true);
  });
});

describe('a text in a language that the vocabulary does not describe', () => {
  it('is not filled in, and the command that helps is named', async () => {
    const x = { '/shop/x.start.gcode': 'G28\nM109 S«quill.warmth»\n' };
    const { code, out, err } = await fill(['--usual', 'x.start.gcode'], x);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain('placeholders in « » once');
    expect(err).toContain('bookend draft-placeholders x.start.gcode');
  });

  it('has one finding when it is checked, with the command that helps', async () => {
    const text = 'G21\nG90\nM82\nG28\nM190 S«slab.warmth»\nM109 S«quill.warmth»\nG92 E0\n';
    const { out } = await runCli(['check', '--format', 'json', 'x.start.gcode'], {
      ...files,
      '/shop/x.start.gcode': text,
    });
    const found = JSON.parse(out).files[0].findings.map(({ rule }: { rule: string }) => rule);
    expect(found).toEqual(['unknown-language']);
    expect(out).toContain('bookend draft-placeholders');
  });

  it('names that a vocabulary file replaces are told by their own name', async () => {
    const x = {
      '/shop/heron.machine.json': JSON.stringify({ ...JSON.parse(HERON), placeholders: 'own.placeholders.json' }),
      '/shop/own.placeholders.json': JSON.stringify({ names: { tallness: { standsFor: 'part.top' } } }),
      '/shop/x.start.gcode': 'G1 Z{{ tallness }}\n',
    };
    expect((await fill(['--set', 'tallness=7', 'x.start.gcode'], x)).out).toBe('G1 Z7\n');
    const { code, err } = await fill(['--usual', '--set', 'part.top=7', 'x.start.gcode'], x);
    expect(code).toBe(2);
    expect(err).toContain('Did you mean tallness?');
  });
});
