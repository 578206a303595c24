import { describe, expect, test } from 'vitest';
import { ALL_COMMANDS } from '../../../server/src/commands/all.ts';
import { catalogFor } from '../../../server/src/commands/catalog.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { BASK, heron } from './support.ts';

describe('without a machine', () => {
  const catalog = catalogFor(null);

  test('every record is found by its code and offered once', () => {
    for (const record of ALL_COMMANDS) expect(catalog.find(record.code)).toBe(record);
    expect([...catalog.all()].sort((a, b) => a.code.localeCompare(b.code))).toEqual(
      [...ALL_COMMANDS].sort((a, b) => a.code.localeCompare(b.code)),
    );
    expect(catalog.find('G999')).toBeNull();
    expect(catalog.find('constructor')).toBeNull();
    expect(catalog.isMissing('G2')).toBe(false);
  });

  test('the commonest are offered first, the rest by letter and number', () => {
    const codes = catalog.all().map((r) => r.code);
    expect(codes.slice(0, 3)).toEqual(['G28', 'G1', 'G0']);
    expect(codes.indexOf('G2')).toBeLessThan(codes.indexOf('G10'));
    expect(codes.indexOf('G59.3')).toBeLessThan(codes.indexOf('M0'));
    expect(codes.indexOf('M20')).toBeLessThan(codes.indexOf('M114'));
    expect(codes.at(-1)).toBe('F');
  });

  test.each([
    ['G281', 'G28'],
    ['M1044', 'M104'],
    ['M19', 'M109'],
    ['M9O0', 'M900'],
    ['g281', 'G28'],
  ])('%s may mean %s', (code, meant) => {
    expect(catalog.suggest(code)).toContain(meant);
    expect(catalog.suggest(code).length).toBeLessThanOrEqual(2);
  });

  test('nothing is suggested where nothing is near, and letters are not swapped', () => {
    expect(catalog.suggest('M8888')).toEqual([]);
    expect(catalog.suggest('HOMING_ROUTINE')).toEqual([]);
    expect(catalog.suggest('G105')).not.toContain('M105');
    expect(catalog.suggest('M'.repeat(1_000_000))).toEqual([]);
  });
});

describe('with a machine', () => {
  const catalog = catalogFor(heron({ missing: ['G2', 'g03'] }, [BASK]));

  test('its named commands become records', () => {
    const record = catalog.find('STEEP_BED');
    expect(record).toMatchObject({
      code: 'STEEP_BED',
      does: 'Waits until the frame is warm.',
      family: 'heat',
      effects: BASK.effects,
    });
    expect(record?.words).toMatchObject([
      { key: 'MINUTES', meaning: 'time to wait', unit: 'min', required: true, min: 1, max: 60 },
      { key: 'TURNS', meaning: 'times to stir (turns)', unit: 'number', absent: '3' },
      { key: 'BED', meaning: 'temperature of the bed', unit: 'degrees C', required: false },
    ]);
    expect(catalog.all()[0]).toBe(record);
    expect(catalog.suggest('STEEP_BDE')).toEqual(['STEEP_BED']);
    expect(record && catalog.takes(record, 'BED')).toBe(true);
  });

  test('missing commands are known but not offered', () => {
    expect(catalog.isMissing('G2')).toBe(true);
    expect(catalog.isMissing('G3')).toBe(true);
    expect(catalog.find('G2')?.code).toBe('G2');
    expect(catalog.all().some((r) => r.code === 'G2' || r.code === 'G3')).toBe(false);
  });

  test('its file says what a code means there', () => {
    const own = catalogFor(heron({}, [{ name: 'm0900', meaning: 'Blinks.', words: [], effects: [] }]));
    expect(own.find('M900')?.does).toBe('Blinks.');
    expect(own.all().filter((r) => r.code === 'M900').length).toBe(1);
    expect(own.find('M900')?.openWords).toBe(true);
    expect(catalogFor(null).find('M900')?.does).not.toBe('Blinks.');
  });
});

describe('free text', () => {
  test('messages, file names and stops take the rest of the line', () => {
    const { freeText } = catalogFor(null);
    expect([...freeText].sort()).toEqual(['M0', 'M1', 'M117', 'M118', 'M23', 'M28', 'M32']);
    expect(parse('M0 Take the part off', { freeText }).lines[0]?.commands.map((c) => c.code)).toEqual(['M0']);
  });

  test('a stop takes none where several commands share a line', () => {
    const { freeText } = catalogFor(heron({ commandsPerLine: 'many' }));
    expect(freeText.has('M117')).toBe(true);
    expect(parse('M0 M104 S0', { freeText }).lines[0]?.commands.map((c) => c.code)).toEqual(['M0', 'M104']);
  });
});
