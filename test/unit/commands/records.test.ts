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
  test('there are at least 200, in all thirteen families', () => {
    expect(ALL_COMMANDS.length).toBeGreaterThanOrEqual(200);
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

  test('every word has its unit, what holds without it, and its range where its numbers are bounded', () => {
    // Numbers that have no unit: shares, ratios, and figures in the board's own counting.
    const pure = new Set(
      'M301P M301I M301D M304P M304I M304D G10S M900K M163P M3S M4S M907X M907Y M907Z M907E M914X M914Y M914Z M425F M593D M150R M150U M150B M150W M150P M250C M355P M42S'.split(
        ' ',
      ),
    );
    // Lengths and angles may go either way from 0; the fan's scale is the controller's.
    const free = new Set(['length', 'mm', 'degrees', 'fan', 'text', 'none']);
    const lacking: string[] = [];
    const seen = new Set<string>();
    for (const { code, words } of ALL_COMMANDS) {
      for (const word of words) {
        const name = `${code}${word.key}`;
        if (word.unit === 'number') seen.add(name);
        if (!word.required && word.absent === undefined && word.unit !== 'none') lacking.push(`${name}: absent`);
        if (!free.has(word.unit) && word.min === undefined) lacking.push(`${name}: min`);
        if (word.unit === 'switch' && word.max !== 1) lacking.push(`${name}: max`);
      }
    }
    expect(lacking).toEqual([]);
    expect([...seen].sort()).toEqual([...pure].sort());
  });

  test('the families of trade practice are there', () => {
    const families = {
      splines: 'G5 G5.1',
      planes: 'G17 G18 G19',
      offsets: 'G53 G54 G55 G56 G57 G58 G59 G59.1 G59.2 G59.3 G10 G92 G92.1 G92.2 G92.3',
      probing: 'G30 G38.2 G38.3 G38.4 G38.5 M401 M402 M48 M851',
      levelling: 'G29 G32 G33 G34 G35 M420 M421',
      heat: 'M104 M109 M140 M190 M141 M191 M116',
      retraction: 'G10 G11 M207 M208 M209',
      factors: 'M220 M221',
      acceleration: 'M201 M202 M204',
      cornering: 'M205 M566',
      steps: 'M92 M350',
      pressure: 'M900 M572',
      'travel limits': 'M211 M564',
      filament: 'M412 M591 M600 M603 M701 M702',
      pause: 'M0 M1 M24 M25 M125 M226 M601 M602',
      'lights and beeps': 'M150 M355 M300',
      messages: 'M117 M118',
      dialogs: 'M291 M292 M876',
      checks: 'M862 M862.1 M862.3',
      'heats by other codes': 'M145 M192 M568',
      'measuring set up': 'G26 G29.1 M376 M555 M557 M558 M561',
      card: 'M20 M21 M22 M23 M24 M25 M26 M27 M28 M29 M30 M32 M524',
      timers: 'M31 M75 M76 M77 M78',
      reports: 'M105 M114 M115 M119 M122 M154 M155 M503',
      'stored settings': 'M500 M501 M502 M503',
      'emergency stop': 'M112 M410 M108 M999',
    };
    for (const codes of Object.values(families)) for (const code of codes.split(' ')) by(code);
    expect(by('G10').words.map((w) => w.key)).toEqual(['L', 'P', 'X', 'Y', 'Z', 'S', 'R']);
    expect(by('G10').does).toMatch(/L2,.*L20,/);
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

// NISTIR 6556 Table 4 (modal groups): every group and every code in it.
const TABLE_4: readonly (readonly [ModalGroup, readonly string[]])[] = [
  ['motion', ['G0', 'G1', 'G2', 'G3', 'G38.2', 'G80', 'G81', 'G82', 'G83', 'G84', 'G85', 'G86', 'G87', 'G88', 'G89']],
  ['plane', ['G17', 'G18', 'G19']],
  ['distance', ['G90', 'G91']],
  ['feed mode', ['G93', 'G94']],
  ['units', ['G20', 'G21']],
  ['radius compensation', ['G40', 'G41', 'G42']],
  ['tool length', ['G43', 'G49']],
  ['return level', ['G98', 'G99']],
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
      ['G5', 'G5.1', 'M82', 'M83', 'G38.3', 'G38.4', 'G38.5'].map((code) => [code, 'common practice, no source']),
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
    ['F', [{ do: 'feed' }]],
  ])('%s', (code, effects) => {
    expect(by(code).effects).toEqual(effects);
  });
});
