import { describe, expect, test } from 'vitest';
import { ALL_COMMANDS } from '../../../server/src/commands/all.ts';
import type { CommandRecord, ModalGroup } from '../../../server/src/commands/record.ts';

const by = (code: string): CommandRecord => {
  const found = ALL_COMMANDS.find((r) => r.code === code);
  if (!found) throw new Error(`no record ${code}`);
  return found;
};
/** Keys that an effect names in its own fields. */
const keysOfEffects = (record: CommandRecord): string[] =>
  record.effects.flatMap((e) => [
    ...('key' in e && e.key ? [e.key] : []),
    ...('coolKey' in e && e.coolKey ? [e.coolKey] : []),
  ]);

describe('the records', () => {
  test('there are at least 110, in all thirteen families', () => {
    expect(ALL_COMMANDS.length).toBeGreaterThanOrEqual(110);
    expect(new Set(ALL_COMMANDS.map((r) => r.family)).size).toBe(13);
  });

  test('no code or alias stands twice', () => {
    const codes = ALL_COMMANDS.flatMap((r) => [r.code, ...(r.aliases ?? [])]);
    expect(codes.filter((code, i) => codes.indexOf(code) !== i)).toEqual([]);
  });

  test.each(ALL_COMMANDS.map((r) => [r.code, r] as const))('%s is complete', (code, record) => {
    expect(code).toMatch(/^([GM]\d{1,3}(\.\d)?|T|F)$/);
    expect(record.title).toMatch(/^[A-Z].{3,50}[^.]$/);
    expect(record.does).toMatch(/^[A-Z].{15,}\.$/);
    expect(record.source).toMatch(/^(NISTIR 6556 3\.\d\.\d+|common practice, no source)$/);
    for (const caution of record.cautions) expect(caution).toMatch(/^[A-Z].+\.$/);
    const keys = record.words.map((w) => w.key);
    expect(new Set(keys).size).toBe(keys.length);
    for (const word of record.words) {
      expect(word.key).toMatch(/^[A-Z]$/);
      // A noun phrase, so that 'the …' can stand in front of it in a message.
      expect(word.meaning).toMatch(/^(?!which|how|what|to )[a-z].*[^.]$/);
      if (word.min !== undefined && word.max !== undefined) expect(word.min).toBeLessThanOrEqual(word.max);
      if (word.unit === 'switch') expect([word.min, word.max]).toEqual([0, 1]);
      if (word.value === 'flag' || word.value === 'optional') expect(word.unit).toBe('none');
    }
    for (const key of [...(record.oneOf ?? []), ...keysOfEffects(record)]) expect(keys).toContain(key);
    if (record.freeText) expect(record.words).toEqual([]);
  });

  test('whatever heats, moves or takes a guard away carries a caution', () => {
    const risky = new Set(['line', 'arc', 'curve', 'home', 'heat', 'await-heat', 'allow-cold', 'retract', 'unretract']);
    const bare = ALL_COMMANDS.filter((r) => r.effects.some((e) => risky.has(e.do)) && r.cautions.length === 0);
    expect(bare.map((r) => r.code)).toEqual([]);
  });

  test('no text promises what it cannot', () => {
    const text = JSON.stringify(ALL_COMMANDS);
    expect(text).not.toMatch(/\bsafe(ly|ty)?\b/i);
    expect(text).not.toMatch(/firmware|slicer/i);
  });
});

// NISTIR 6556 Table 4 (modal groups), as far as a printer can meet them.
const TABLE_4: readonly (readonly [ModalGroup, readonly string[]])[] = [
  ['motion', ['G0', 'G1', 'G2', 'G3', 'G38.2', 'G80']],
  ['plane', ['G17', 'G18', 'G19']],
  ['distance', ['G90', 'G91']],
  ['feed mode', ['G93', 'G94']],
  ['units', ['G20', 'G21']],
  ['radius compensation', ['G40']],
  ['tool length', ['G49']],
  ['work offset', ['G54', 'G55', 'G56', 'G57', 'G58', 'G59', 'G59.1', 'G59.2', 'G59.3']],
  ['path control', ['G61', 'G61.1', 'G64']],
  ['stopping', ['M0', 'M1', 'M2', 'M30', 'M60']],
  ['tool change', ['M6']],
  ['spindle', ['M3', 'M4', 'M5']],
  ['coolant', ['M7', 'M8', 'M9']],
  ['overrides', ['M48', 'M49']],
];
/** NISTIR 6556 Table 4, group 0. */
const NON_MODAL = ['G4', 'G10', 'G28', 'G30', 'G53', 'G92', 'G92.1', 'G92.2', 'G92.3'];

describe('modal groups (NISTIR 6556 Table 4)', () => {
  test.each(TABLE_4)('%s', (group, codes) => {
    for (const code of codes) expect([code, by(code).group]).toEqual([code, group]);
  });

  test('group 0 is in no modal group', () => {
    for (const code of NON_MODAL) expect([code, by(code).group]).toEqual([code, undefined]);
  });

  test('beyond the table only printing practice has groups', () => {
    const listed = new Set(TABLE_4.flatMap(([, codes]) => codes));
    const others = ALL_COMMANDS.filter((r) => r.group && !listed.has(r.code));
    expect(others.map((r) => [r.code, r.source])).toEqual(
      ['G5', 'M82', 'M83', 'G38.3', 'G38.4', 'G38.5'].map((code) => [code, 'common practice, no source']),
    );
  });

  // Section numbers as NISTIR 6556 prints them.
  test.each([
    ['G2', '3.5.3'],
    ['G4', '3.5.4'],
    ['G10', '3.5.5'],
    ['G17', '3.5.6'],
    ['G20', '3.5.7'],
    ['G28', '3.5.8'],
    ['G53', '3.5.12'],
    ['G54', '3.5.13'],
    ['G90', '3.5.17'],
    ['G92', '3.5.18'],
    ['G93', '3.5.19'],
    ['M30', '3.6.1'],
  ])('%s is defined in section %s', (code, section) => {
    expect(by(code).source).toBe(`NISTIR 6556 ${section}`);
  });

  test('where printing practice differs from the standard, the record says so', () => {
    expect(by('G28').does).toMatch(/On printers the letters choose the axes.*RS-274 means something else/);
    expect(by('G4').does).toMatch(/RS-274 counts P in seconds; most printing controllers count P in milliseconds/);
    expect(by('G10').does).toMatch(/Without L, printing controllers pull filament back.*as in RS-274/);
  });
});

describe('effects', () => {
  test.each([
    ['G0', [{ do: 'line', rapid: true }]],
    ['G2', [{ do: 'arc', clockwise: true }]],
    ['G3', [{ do: 'arc', clockwise: false }]],
    ['G18', [{ do: 'plane', plane: 'zx' }]],
    ['G20', [{ do: 'units', inches: true }]],
    ['G59.3', [{ do: 'work-offset', index: 9 }]],
    ['M104', [{ do: 'heat', heater: 'nozzle', wait: false, key: 'S' }]],
    ['M190', [{ do: 'heat', heater: 'bed', wait: true, key: 'S', coolKey: 'R' }]],
    ['M107', [{ do: 'fan', on: false }]],
    ['M18', [{ do: 'motors', on: false }]],
    ['F', []],
  ])('%s', (code, effects) => {
    expect(by(code).effects).toEqual(effects);
  });
});
