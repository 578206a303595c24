import { describe, expect, it } from 'vitest';
import { RULES } from '../../../server/src/rules/all.ts';
import type { Fix } from '../../../server/src/rules/rule.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { applyEdits } from '../../../server/src/text/edit.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { fixtureMachine } from './support.ts';

const EGRET = fixtureMachine('egret');
const TWIN = fixtureMachine('twin');
const TERN = fixtureMachine('tern');
const HEAD = 'G21\nG90\nG28\nM109 S{{ heat.nozzle.first }}\n';

const run = (text: string, role: Role = 'start', machine: typeof EGRET | null = EGRET) =>
  analyze(text, role, machine, vocabularyFor(machine));

/** The fixes that a rule offers for its first finding, and the text after each. */
function fixed(id: string, text: string, role: Role = 'start', machine: typeof EGRET | null = EGRET) {
  const a = run(text, role, machine);
  const rule = RULES.find((r) => r.id === id);
  const finding = a.findings.find((f) => f.rule === id);
  if (!rule || !finding) throw new Error(`${id} has no finding in ${text}: ${a.findings.map((f) => f.rule)}`);
  const fixes: readonly Fix[] = rule.fix?.(a, finding) ?? [];
  return fixes.map((fix) => ({ ...fix, text: applyEdits(text, fix.edits) }));
}

const first = (id: string, text: string, role?: Role, machine?: typeof EGRET | null) =>
  fixed(id, text, role, machine)[0];

describe('what is left behind is put back at the end', () => {
  it.each([
    ['factors-left', 'M220 S50\nG1 Z5 F600\n', 'M220 S100', true],
    ['factors-left', 'M221 S150\nG1 Z5 F600\n', 'M221 S100', true],
    ['factors-left', 'M221 S93\nG1 Z5 F600\n', 'M221 S100', false],
    ['factors-left', 'G1 Z5 F600\nM220 S50\n', 'M220 S100', false],
    ['plane-left', 'G18\n', 'G17', true],
    ['feed-mode-left', 'G93\n', 'G94', true],
    ['fan-handed-over', 'M106 S255\n', 'M107', false],
  ])('%s: %s', (id, text, row, safe) => {
    const fix = first(id, HEAD + text);
    expect(fix).toMatchObject({ safe, text: `${HEAD}${text.trimEnd()}\n${row}\n` });
    expect(run(fix?.text ?? '').findings.filter((f) => f.rule === id)).toEqual([]);
  });

  it('with the text’s own ends of line', () => {
    const text = `${HEAD}G18\n`.replaceAll('\n', '\r\n');
    expect(first('plane-left', text)?.text).toBe(`${text}G17\r\n`);
  });

  it('not behind the end of the program, where nothing runs, nor unseen among numbered lines', () => {
    expect(fixed('plane-left', `${HEAD}G18\nM2\n`)).toEqual([]);
    expect(first('plane-left', `${HEAD}N5 G18\n`)?.safe).toBe(false);
  });
});

describe('guards', () => {
  it('the line is taken out, or the guard is put back', () => {
    const texts = fixed('limits-off', `${HEAD}M211 S0 ; brush\n`).map((fix) => fix.text);
    expect(texts).toEqual([HEAD, `${HEAD}M211 S0 ; brush\nM211 S1\n`]);
    for (const text of texts)
      expect(run(text).findings.some((f) => f.rule === 'limits-off' && f.severity !== 'hint')).toBe(false);
    expect(fixed('cold-allowed', `${HEAD}M302 S0\n`)[1]?.text).toBe(`${HEAD}M302 S0\nM302 S170\n`);
  });

  it('a line that opens or closes a section stays', () => {
    expect(fixed('stored-settings', `${HEAD}{{# part.top > 5 }}M500\nG4 P1\n{{/}}\n`)).toEqual([]);
    expect(first('stored-settings', `${HEAD}{{# part.top > 5 }}M500{{/}}\nG4 P1\n`)?.text).toBe(`${HEAD}G4 P1\n`);
  });

  it('a command that the machine file declares anew has its own meaning', () => {
    const commands = [{ name: 'M500', meaning: 'Rings a bell.', words: [], effects: [] }];
    const { findings } = run(`${HEAD}M500\n`, 'start', { ...EGRET, commands });
    expect(findings.map((f) => f.rule)).not.toContain('stored-settings');
  });
});

describe('words', () => {
  it.each<[string, Role, string]>([
    ['M104', 'start', 'M104 S{{ heat.nozzle.first }}'],
    ['M104 S', 'start', 'M104 S{{ heat.nozzle.first }}'],
    ['M140 ; bed', 'start', 'M140 S{{ heat.bed.first }} ; bed'],
    ['M141', 'start', 'M141 S{{ heat.chamber }}'],
    ['M104', 'layer', 'M104 S{{ heat.nozzle.later }}'],
    ['M104', 'end', 'M104 S0'],
    ['steep-bed minutes:3', 'start', 'steep-bed minutes:3 plate:{{ heat.bed.first }}'],
    ['T', 'start', 'T{{ tool.number }}'],
  ])('missing-word: %s in a %s sequence', (text, role, after) => {
    expect(first('missing-word', text, role, TWIN)).toMatchObject({ safe: false, text: after });
  });

  it('missing-word offers nothing where nothing says what is meant', () => {
    expect(fixed('missing-word', `${HEAD}G92\nG1\n`)).toEqual([]);
  });

  it('duplicate-word takes either out', () => {
    expect(fixed('duplicate-word', 'G1 X10 X20 F3000').map((fix) => fix.text)).toEqual([
      'G1 X10 F3000',
      'G1 X20 F3000',
    ]);
  });

  it('unknown-word takes it out', () => {
    expect(first('unknown-word', 'M220 S90 Z5 ; slow')?.text).toBe('M220 S90 ; slow');
  });

  it('stray-text knows letters of other alphabets', () => {
    expect(first('stray-text', '\u041c104 S200')?.text).toBe('M104 S200');
    expect(fixed('stray-text', 'G28 # all')).toEqual([]);
  });

  it('not-homed homes above the move, or before anything heats', () => {
    expect(first('not-homed', 'G21\nG90\nG1 X10 F3000\n')?.text).toBe('G21\nG90\nG28\nG1 X10 F3000\n');
    expect(first('not-homed', 'G21\nG90\nM109 S210\n')?.text).toBe('G21\nG90\nG28\nM109 S210\n');
    expect(fixed('not-homed', 'G28\nM84\nG1 X10 F3000\n')).toEqual([]);
  });
});

describe('two-commands: each on a line of its own', () => {
  it.each([
    ['  G21 G90 ; modes', '  G21\n  G90 ; modes', true],
    ['G91 G1 Z5 F600', 'G91\nG1 Z5 F600', true],
    // G90 acts before the move (NISTIR 6556 Table 8), wherever it stands.
    ['G1 X5 F600 G90', 'G90\nG1 X5 F600', false],
    // Of one modal group (NISTIR 6556 3.3.5 and Table 4): one of them may not be meant at all.
    ['G90 G91', 'G90\nG91', false],
  ])('%s', (text, after, safe) => {
    const fix = first('two-commands', text);
    expect(fix).toMatchObject({ text: after, safe });
    expect(run(after).findings.map((f) => f.rule)).not.toContain('two-commands');
  });

  it('not where it is open whose words are whose, or where tags or checksums stand', () => {
    for (const text of ['G0 G92 X1', '{{# part.top > 5 }}G21 G90{{/}}', 'N1 G21 G90*71'])
      expect(fixed('two-commands', text)).toEqual([]);
  });

  it('runs the same on a controller that takes many a line', () => {
    const { trace } = run('G90 G91', 'start', TERN);
    expect(trace.end.relative).toBe(true);
  });
});

describe('line numbers and checksums', () => {
  // Exclusive or of the bytes, worked by hand: N 4E, 3 33 -> 7D; blank 20 -> 5D; T 54 -> 09; 0 30 -> 39, which is 57.
  // Common practice, no source.
  const SUM = 'N3 T0*57';

  it('the right checksum passes, any other is told and can be put right by a person', () => {
    expect(run(SUM, 'program').findings.filter((f) => f.rule === 'numbered-text')).toEqual([]);
    expect(first('numbered-text', 'N3 T0*58 ; x', 'program')).toMatchObject({ text: `${SUM} ; x`, safe: false });
    const text = 'N1 G28*18\nN2 G90*18\nN3 T0 ; x\n';
    expect(first('numbered-text', text, 'program')?.text).toBe(`N1 G28*18\nN2 G90*18\n${SUM} ; x\n`);
  });

  it('without checksums numbers may be skipped or repeated, though it is not usual (NISTIR 6556 3.3.1)', () => {
    const told = (text: string) => run(text, 'program').findings.filter((f) => f.rule === 'numbered-text');
    expect(told('N10 G28\nN30 G90\nN31 G21\n')).toEqual([]);
    expect(told('N10 G28\nN10 G90\n').map((f) => f.severity)).toEqual(['info']);
  });
});

describe('upper case', () => {
  it('the whole line is written anew, values, comments and tags left alone', () => {
    const text = 'n1 g1 x{{ bed.left }} y5 f600 ; go on\nsteep_bed bed=60 name="hall"\n';
    const upper = { ...TWIN, controller: { ...TWIN.controller, upperCase: true } };
    expect(first('lower-case', text, 'start', upper)).toMatchObject({
      safe: true,
      text: 'N1 G1 X{{ bed.left }} Y5 F600 ; go on\nsteep_bed bed=60 name="hall"\n',
    });
  });
});

describe('the end of the program (NISTIR 6556 3.6.1: nothing behind M2 or M30 runs)', () => {
  const END = 'G90\nM104 S0\nM140 S0\nM107\n';
  it('is put last, or taken out', () => {
    expect(fixed('after-end', `${END}M2\nM84\n`, 'end').map((fix) => fix.text)).toEqual([
      `${END}M84\nM2\n`,
      `${END}M84\n`,
    ]);
    expect(fixed('after-end', `${HEAD}M30\n`).map((fix) => fix.text)).toEqual([HEAD]);
  });

  it('holds where a job leaves it out, too', () => {
    const other = `${END}{{# part.top > 5 }}\nM2\n{{/}}\n{{^ part.top > 5 }}\nM84\n{{/}}\n`;
    expect(run(other, 'end').findings.map((f) => f.rule)).not.toContain('after-end');
  });
});

describe('a comment with another temperature', () => {
  it('either is written anew, never unseen', () => {
    const fixes = fixed('comment-differs', 'M109 S210 ; heat to 200 C');
    expect(fixes.map((fix) => fix.text)).toEqual(['M109 S210 ; heat to 210 C', 'M109 S200 ; heat to 200 C']);
    expect(fixes.every((fix) => !fix.safe)).toBe(true);
  });

  it.each([
    'M104 S150 ; wait 200 s',
    'M104 S150 ; nozzle 0.4',
    'M104 S150 ; 200',
    'M104 S150 ; layer 200 mm',
    'M104 S150 ; 190-220 C',
    'M104 S150 ; heat 200%',
    'M140 S60 ; nozzle 200 C comes below',
    'M104 S0 ; it was 200 C',
    'M109 S{{ heat.nozzle.first }} ; 200 C',
    'M104 S150 ; half of 300 C, roughly + more',
  ])('silent: %s', (text) => {
    expect(run(`G28\n${text}\n`).findings.map((f) => f.rule)).not.toContain('comment-differs');
  });
});

describe('an unknown name is never taken for another thing', () => {
  const without = (...gone: string[]) => {
    const { names, ...rest } = vocabularyFor(EGRET);
    return { ...rest, names: new Map([...names].filter(([name]) => !gone.includes(name))) };
  };
  const said = (name: string, ...gone: string[]) =>
    analyze(`${HEAD}M104 S{{ ${name} }}\n`, 'start', EGRET, without(...gone)).findings.find(
      ({ rule, message }) => rule === 'unknown-placeholder' && message.includes(`“${name}”`),
    )?.message;

  it.each([
    ['heat.nozzle.later', ['heat.nozzle.later'], 'heat.nozzle.first'],
    ['heat.nozzle.first', ['heat.nozzle.first', 'heat.nozzle.later'], 'heat.bed.first'],
    ['heat.chamber', ['heat.chamber'], 'heat.bed.first'],
    ['part.left', ['part.left'], 'bed.left'],
    ['home.x', ['home.x'], 'home.y'],
  ])('%s', (name, gone, other) => {
    expect(without(...gone).names.has(other)).toBe(true);
    expect(said(name, ...gone)).toMatch(/nothing would be filled in here\.$/);
  });

  it('its own end is enough: what it stands in is left out', () => {
    expect(said('nozzle.first')).toContain('Did you mean heat.nozzle.first?');
    expect(said('chamber')).toContain('Did you mean heat.chamber?');
  });
});
