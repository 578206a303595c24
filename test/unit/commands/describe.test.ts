import { describe, expect, test } from 'vitest';
import { ALL_COMMANDS } from '../../../server/src/commands/all.ts';
import { catalogFor } from '../../../server/src/commands/catalog.ts';
import { describeCommand, describeWord, unitText } from '../../../server/src/commands/describe.ts';
import type { CommandRecord } from '../../../server/src/commands/record.ts';
import { BASK, heron } from './support.ts';

const traits = heron().controller;
const find = (code: string): CommandRecord => {
  const found = catalogFor(null).find(code);
  if (!found) throw new Error(`no record ${code}`);
  return found;
};

describe('units', () => {
  test.each([
    ['length', null, 'mm, or inches after G20'],
    ['length', true, 'inches'],
    ['length', false, 'mm'],
    ['length/min', true, 'inches/min'],
    ['mm', true, 'mm'],
    ['degrees C', null, '°C'],
  ] as const)('%s where inches is %s', (unit, inches, text) => expect(unitText(unit, traits, inches)).toBe(text));

  test('the controller decides on P of G4 and S of M106', () => {
    expect(unitText('dwell', traits, null)).toMatch(/ms or s/);
    expect(unitText('dwell', { ...traits, dwell: 'ms' }, null)).toBe('ms');
    expect(unitText('dwell', { ...traits, dwell: 's' }, null)).toBe('s');
    expect(unitText('dwell', null, null)).toMatch(/ms or s/);
    expect(unitText('fan', { ...traits, fanFull: 100 }, null)).toBe('0 to 100');
    expect(unitText('fan', null, null)).toMatch(/255, 100 or 1/);
  });

  test('every unit in use has a text', () => {
    const used = new Set(ALL_COMMANDS.flatMap((r) => r.words.map((w) => w.unit)));
    for (const unit of used) expect([unit, unitText(unit, null, null) !== '']).toEqual([unit, unit !== 'none']);
  });
});

describe('a command', () => {
  test('M109 tells everything in order', () => {
    const text = describeCommand(find('M109'), traits);
    expect(text.split('\n')[0]).toBe('**M109: Heat the nozzle, and wait**');
    expect(text).toContain('| S | °C | temperature to heat the nozzle to; 0 turns it off; 0 or more; without it:');
    expect(text).toContain('Afterwards: the nozzle heats, and the machine waits for it.');
    expect(text).toMatch(/⚠ Hot parts burn/);
    expect(text.endsWith('Source: common practice, no source')).toBe(true);
  });

  test.each(ALL_COMMANDS.map((r) => [r.code, r] as const))(
    '%s has a page with a row for each word',
    (_code, record) => {
      const text = describeCommand(record, traits);
      for (const part of [record.title, `Source: ${record.source}`]) expect(text).toContain(part);
      expect(text.split('\n').filter((l) => l.startsWith('| ')).length).toBe(
        record.words.length ? record.words.length + 2 : 0,
      );
      expect(text).not.toMatch(/undefined|null|NaN/);
      if (record.effects.length > 0) expect(text).toMatch(/Afterwards: [a-zA-Z].*\./);
    },
  );

  test('a missing command and arcs that are not understood are told', () => {
    expect(describeCommand(find('G2'), { ...traits, missing: ['g02'], arcs: false })).toMatch(
      /does not have it[\s\S]*does not understand arcs/,
    );
  });

  test("a machine file's words are text, not markup", () => {
    const evil = { ...BASK, meaning: 'See [here](command:x) <b>now</b> | `x` **y**\n\n# z' };
    const record = catalogFor(heron({}, [evil])).find('STEEP_BED');
    const text = describeCommand(record as CommandRecord, traits);
    expect(text).toContain('See \\[here\\](command:x) &lt;b\\>now&lt;/b\\> \\| \\`x\\` \\*\\*y\\*\\* \\# z');
    expect(text).toContain('**STEEP\\_BED:');
  });
});

describe('a word', () => {
  const word = (code: string, key: string) => {
    const record = find(code);
    const found = record.words.find((w) => w.key === key);
    if (!found) throw new Error(`${code} has no ${key}`);
    return describeWord(record, found, traits);
  };

  test('meaning, unit, bounds, and what holds without it', () => {
    expect(word('G1', 'X')).toBe(
      '**X** (G1): target along X\n\n- unit: mm, or inches after G20\n- without it: this axis stays where it is',
    );
    expect(word('M106', 'S')).toBe(
      '**S** (M106): speed of the fan; 0 is off\n\n- 0 to 255, 100 or 1, depending on the controller\n- without it: full speed',
    );
    expect(word('M73', 'P')).toContain('- from 0 to 100');
    expect(word('T', 'T')).toContain('- must be given');
    expect(word('G28', 'X')).toContain('- may stand without a number');
  });
});
