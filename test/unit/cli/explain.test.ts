import { describe, expect, it } from 'vitest';
import { plain } from '../../../server/src/cli/plain.ts';
import { ALL_COMMANDS } from '../../../server/src/commands/all.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import { pageOf } from '../../../server/src/rules/pages/all.ts';
import { families } from '../../../server/src/service/reference.ts';
import { runCli } from './run.ts';

const OTTER = JSON.stringify({
  name: 'Otter 146',
  bed: { shape: 'circle', centre: { x: 0, y: 0 }, radius: 75 },
  controller: { dwell: 's' },
  commands: [
    {
      name: 'STEEP_BED',
      meaning: 'Warms the chamber through before the first layer.',
      words: [{ key: 'MINUTES', meaning: 'how long', unit: 'min', required: true }],
      effects: [{ do: 'dwell' }],
    },
  ],
});
const explain = (...args: string[]) => runCli(['explain', ...args], { '/shop/otter.machine.json': OTTER });

describe('explain', () => {
  it.each(['not-homed', 'G4', 'fan'])('%s, as a terminal shows it', async (name) => {
    const { code, out, err } = await explain(name);
    expect([code, err]).toEqual([0, '']);
    await expect(out).toMatchFileSnapshot(`golden/explain-${name.toLowerCase()}.txt`);
  });

  it('every rule: id, title, severity, why, both examples, how to switch it off', async () => {
    for (const rule of RULES) {
      const { why, bad, good } = pageOf(rule);
      const { code, out } = await explain(rule.id);
      expect(code).toBe(0);
      const words = out.replace(/\s+/g, ' ');
      for (const part of [rule.id, rule.title, `Severity: ${rule.severity}`, why, `bookend-ignore ${rule.id}: `])
        expect(words, rule.id).toContain(part.replaceAll('`', '').replace(/\s+/g, ' '));
      for (const row of [...bad.text.trimEnd().split('\n'), ...good.text.trimEnd().split('\n')])
        expect(out, rule.id).toContain(`    ${plain(row)}`.trimEnd());
      expect(out, rule.id).toMatch(/\n {2}- Line \d+/);
      expect(out, rule.id).not.toMatch(/\*\*|&lt;|\\[*_`{[]/);
    }
  });

  it('every command: title, words, source; no page is wider than 80 columns but for words that cannot be broken', async () => {
    for (const record of ALL_COMMANDS) {
      const { code, out } = await explain(record.code);
      expect(code).toBe(0);
      const words = out.replace(/\s+/g, ' ');
      for (const part of [`${record.code}: ${record.title}`, record.does, `Source: ${record.source}`])
        expect(words, record.code).toContain(part.replace(/\s+/g, ' '));
      for (const { key } of record.words) expect(out, record.code).toMatch(new RegExp(`^  ${key} `, 'm'));
      for (const row of out.split('\n')) expect(row.length, row).toBeLessThanOrEqual(80);
    }
  });

  it('names as people write them', async () => {
    const g1 = await explain('G1');
    expect(await explain('g01')).toEqual(g1);
    expect((await explain('T0')).out).toMatch(/^T: /);
    expect((await explain('NOT-HOMED')).out).toMatch(/^not-homed\n=+\n/);
  });

  it('what differs between controllers is told without a machine, and what holds with one', async () => {
    const any = await explain('G4');
    expect(any.out).toContain('dwell: whether P counts milliseconds or seconds');
    const otter = await explain('--machine', 'otter.machine.json', 'G4');
    expect(otter.out).toMatch(/^ {2}P {5}s {2,}time/m);
    expect(otter.out).not.toContain('(controller)');
    expect((await explain('M106')).out).toContain('fanFull');
    expect((await explain('G90')).out).toContain('distanceGovernsE');
    expect((await explain('G2')).out).toContain('arcs');
    expect((await explain('G28')).out).not.toContain('(controller)');
  });

  it('a command of the machine’s own', async () => {
    const { code, out } = await explain('--machine', 'otter.machine.json', 'steep_bed');
    expect(code).toBe(0);
    expect(out).toContain('STEEP_BED: Command of Otter 146');
    expect(out).toContain('Warms the chamber through');
    expect(out).toMatch(/MINUTES .*min .*how long; must be given/);
    expect((await explain('STEEP_BED')).code).toBe(2);
    expect((await explain('--machine', 'otter.machine.json')).out).toContain('STEEP_BED');
  });

  it('texts of a machine file are only texts: no markup, no control characters', async () => {
    const odd = {
      name: 'Otter \u001b[2J\n## 150 | `x`',
      commands: [{ name: 'BASK', meaning: 'a | **b** [c](d)\n\n# e \u0007<f>', words: [], effects: [] }],
    };
    const files = { '/shop/odd.machine.json': JSON.stringify(odd) };
    for (const args of [[], ['BASK']]) {
      const { code, out } = await runCli(['explain', '--machine', 'odd.machine.json', ...args], files);
      expect(code).toBe(0);
      expect(out).toMatch(/a \| \*\*b\*\* \[c\]\(d\) # e \ufffd<f>/);
      expect(out).toMatch(/ of Otter \ufffd\[2J ## 150 \| `x`\n/);
      expect([...out].filter((char) => char < ' ' && char !== '\n')).toEqual([]);
    }
  });

  it('alone: every rule and every family of commands', async () => {
    const { code, out } = await explain();
    expect(code).toBe(0);
    for (const { id, severity } of RULES) expect(out).toMatch(new RegExp(`^  ${id} +${severity} `, 'm'));
    for (const { family } of families()) expect(out).toMatch(new RegExp(`^  ${family} `, 'm'));
  });

  it.each([
    ['of-bed', 'Did you mean off-bed?'],
    ['M1900', 'Did you mean M190'],
    ['heet', 'Did you mean heat?'],
    ['qqqqqqqq', '"bookend explain" lists what there is.'],
    ['\u001b[2J', 'called "\ufffd[2J"'],
  ])('%j is not known', async (name, words) => {
    const { code, out, err } = await explain(name);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(words);
  });

  it.each([
    [['--machine', 'gone.machine.json', 'G1'], 'cannot read machine file gone.machine.json'],
    [['G1', 'G2'], 'takes one name'],
    [['--role', 'start', 'G1'], 'has no option --role'],
    [['--format', 'json', 'G1'], 'has no option --format'],
  ])('%j is refused', async (args, words) => {
    const { code, out, err } = await explain(...args);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(words);
  });
});
