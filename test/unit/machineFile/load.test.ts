import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type MachineProblem, readMachine } from '../../../server/src/machineFile/load.ts';

const BED = { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 };
const PLAIN = { name: 'Heron 228', bed: BED };

/** Reads a machine with these facts beside its name and bed, and shows each problem as [severity, marked text, message]. */
function read(facts: object | string) {
  const text = typeof facts === 'string' ? facts : JSON.stringify({ ...PLAIN, ...facts });
  const { machine, problems } = readMachine(text);
  const shown = problems.map((p) => [p.severity, text.slice(p.span.start, p.span.end), p.message] as const);
  return { machine, problems, shown, text };
}
const messages = (problems: readonly MachineProblem[]): string => problems.map((p) => p.message).join('\n');

describe('a machine file', () => {
  it('with a name and a bed is enough; the rest is as documented', () => {
    const { machine, problems } = read({});
    expect(problems).toEqual([]);
    expect(machine).toEqual({
      name: 'Heron 228',
      bed: BED,
      reach: null,
      keepOut: [],
      areas: [],
      home: { x: 0, y: 0, z: 0 },
      nozzle: { diameter: 0.4 },
      filament: { diameter: 1.75 },
      heat: { nozzle: { max: null, minExtrude: 170 }, bed: { max: null }, chamber: null },
      mostFlow: null,
      speed: { x: null, y: null, z: null, e: null },
      acceleration: null,
      tools: 1,
      controller: {
        dwell: null,
        fanFull: null,
        commandsPerLine: 'one',
        distanceGovernsE: null,
        arcs: true,
        longestLine: null,
        upperCase: false,
        unknownCommand: null,
        furtherWords: null,
        waitsForCooling: null,
        waitsByR: null,
        meshAfterHoming: null,
        g10: null,
        axes: null,
        missing: [],
        namedCommands: { joins: null, case: null, letters: null },
      },
      commands: [],
      sequences: new Map(),
      placeholders: null,
      rules: new Map(),
    });
  });

  it('gives every fact that it states', () => {
    const { machine, problems } = read({
      reach: { shape: 'circle', centre: { x: 114, y: 103 }, radius: 200, bottom: -1, top: 232 },
      keepOut: [{ name: 'post', left: 1, right: 2, front: 3, back: 4, bottom: 5, top: 6 }],
      home: { x: 1, y: 2, z: 3 },
      nozzle: { diameter: 0.6 },
      filament: { diameter: 2.85 },
      heat: { nozzle: { max: 268, minExtrude: 173 }, bed: { max: 98 }, chamber: {} },
      mostFlow: 11,
      speed: { x: 1, y: 2, z: 3, e: 4 },
      acceleration: 900,
      tools: 2,
      controller: {
        dwell: 's',
        fanFull: 100,
        commandsPerLine: 'many',
        distanceGovernsE: true,
        arcs: false,
        longestLine: 109,
        upperCase: true,
        unknownCommand: 'refused',
        missing: ['g29'],
        namedCommands: { joins: ':', case: 'lower', letters: false },
      },
      commands: [
        {
          name: 'steep_bed',
          meaning: 'Waits.',
          words: [{ key: 'minutes', meaning: 'how long', unit: 'min', required: true }],
          effects: [{ do: 'await-heat', heaters: ['bed'] }],
        },
      ],
      sequences: { start: './a.start.gcode', end: ['./b.end.gcode', './c.end.gcode', './b.end.gcode'] },
      placeholders: './workshop.placeholders.json',
      rules: { 'heat-left-on': 'error', 'no-such-rule': 'off' },
    });
    expect(problems).toEqual([]);
    expect(machine?.controller.upperCase).toBe(true);
    expect(machine?.rules).toEqual(
      new Map([
        ['heat-left-on', 'error'],
        ['no-such-rule', 'off'],
      ]),
    );
    expect(machine).toMatchObject({
      reach: { shape: 'circle', radius: 200, bottom: -1, top: 232 },
      keepOut: [{ name: 'post', top: 6 }],
      home: { x: 1, y: 2, z: 3 },
      nozzle: { diameter: 0.6 },
      filament: { diameter: 2.85 },
      heat: { nozzle: { max: 268, minExtrude: 173 }, bed: { max: 98 }, chamber: { max: null } },
      mostFlow: 11,
      speed: { x: 1, y: 2, z: 3, e: 4 },
      acceleration: 900,
      tools: 2,
      controller: {
        dwell: 's',
        fanFull: 100,
        commandsPerLine: 'many',
        longestLine: 109,
        missing: ['G29'],
        namedCommands: { joins: ':', case: 'lower', letters: false },
      },
      commands: [
        {
          name: 'STEEP_BED',
          written: 'steep_bed',
          words: [{ key: 'MINUTES', written: 'minutes', meaning: 'how long', unit: 'min', required: true }],
          effects: [{ do: 'await-heat', heaters: ['bed'] }],
        },
      ],
      placeholders: './workshop.placeholders.json',
    });
    expect(machine?.sequences).toEqual(
      new Map([
        ['start', ['./a.start.gcode']],
        ['end', ['./b.end.gcode', './c.end.gcode']],
      ]),
    );
  });

  it('may have comments, trailing commas, a byte order mark and any line ends', () => {
    for (const eol of ['\n', '\r\n', '\r']) {
      const text = `\uFEFF// a comment${eol}{ "name": "A", /* b */${eol} "bed": { "shape": "circle", "centre": {"x":0,"y":0,}, "radius": 9, },${eol}}${eol}`;
      const { machine, problems } = readMachine(text);
      expect(problems).toEqual([]);
      expect(machine).toMatchObject({ name: 'A', bed: { shape: 'circle', radius: 9 } });
    }
  });

  it('puts home where the reach begins when it states none', () => {
    const home = (facts: object) => read(facts).machine?.home;
    expect(home({ reach: { ...BED, left: -5, front: -8 } })).toEqual({ x: -5, y: -8, z: 0 });
    expect(home({ reach: { ...BED, bottom: 2, top: 9 } })).toEqual({ x: 0, y: 0, z: 2 });
    expect(home({ bed: { shape: 'circle', centre: { x: 3, y: 4 }, radius: 9 } })).toEqual({ x: 3, y: 4, z: 0 });
    const points = [
      [50, 50],
      [0, 40],
      [10, 0],
    ];
    expect(home({ bed: { shape: 'polygon', points } })).toEqual({ x: 10, y: 0, z: 0 });
  });
});

describe('a wrong value is a problem at its place, and counts as left out', () => {
  // Each row: the facts, the text that is marked, words of the message, and what holds instead.
  const rows: [string, object, string, RegExp, object][] = [
    ['no name', { name: undefined }, '{"bed"', /does not say its “name”/, { name: 'unnamed machine' }],
    ['no bed', { bed: undefined }, '{"name":"Heron 228"}', /does not say its “bed”/, { bed: null }],
    [
      'a name that is a number',
      { name: 5 },
      '5',
      /name is 5; it must be a text/,
      { name: 'unnamed machine', bed: BED },
    ],
    ['an empty name', { name: '' }, '""', /name is empty/, { name: 'unnamed machine' }],
    [
      'a shape with a slip',
      { bed: { ...BED, shape: 'rectangel' } },
      '"rectangel"',
      /Did you mean “rectangle”/,
      { bed: null },
    ],
    ['a bed without a shape', { bed: { left: 0 } }, '{"left":0}', /does not say its “shape”/, { bed: null }],
    ['a bed that is a list', { bed: [1] }, '[1]', /bed is a list; it must be an object/, { bed: null }],
    [
      'a bed without its back',
      { bed: { ...BED, back: undefined } },
      '{"shape"',
      /does not say its “back”/,
      { bed: null },
    ],
    [
      'left = right',
      { bed: { ...BED, left: 228 } },
      '228',
      /bed\.right is 228, but must be more than left \(228\)/,
      { bed: null },
    ],
    [
      'front > back',
      { bed: { ...BED, back: -1 } },
      '-1',
      /bed\.back is -1, but must be more than front \(0\)/,
      { bed: null },
    ],
    ['a number in quotes', { bed: { ...BED, right: '228' } }, '"228"', /Write 228 without quotes/, { bed: null }],
    [
      'a decimal comma in quotes',
      { filament: { diameter: '1,75' } },
      '"1,75"',
      /Write 1\.75 without/,
      { filament: { diameter: 1.75 } },
    ],
    [
      'a place beyond all printers',
      { bed: { ...BED, right: 1e9 } },
      '1000000000',
      /from -100000 to 100000/,
      { bed: null },
    ],
    [
      'a diameter of 0',
      { nozzle: { diameter: 0 } },
      '0',
      /nozzle\.diameter is 0; .*more than 0.*0\.4/,
      { nozzle: { diameter: 0.4 } },
    ],
    ['a diameter below 0', { filament: { diameter: -1.75 } }, '-1.75', /more than 0/, { filament: { diameter: 1.75 } }],
    ['a nozzle of 11 mm', { nozzle: { diameter: 11 } }, '11', /at most 10 \(mm\)/, { nozzle: { diameter: 0.4 } }],
    ['null', { acceleration: null }, 'null', /is null; .*Take it out/, { acceleration: null }],
    [
      'hotter than any nozzle',
      { heat: { nozzle: { max: 9999 } } },
      '9999',
      /from 0 to 1000 \(degrees C\)/,
      { heat: { nozzle: { max: null } } },
    ],
    [
      'max < minExtrude',
      { heat: { nozzle: { max: 200, minExtrude: 210 } } },
      '210',
      /minExtrude is 210, above the hottest .*200/,
      { heat: { nozzle: { max: 200, minExtrude: 170 } } },
    ],
    [
      'a hottest bed without a heater',
      { heat: { bed: { heater: false, max: 90 } } },
      '90',
      /heat\.bed\.max is 90, and heat\.bed\.heater says that the bed has no heater/,
      { heat: { bed: { max: 0 } } },
    ],
    [
      'max < the usual minExtrude',
      { heat: { nozzle: { max: 120 } } },
      '120',
      /below 170/,
      { heat: { nozzle: { max: 120, minExtrude: 120 } } },
    ],
    [
      'reach top = bottom',
      { reach: { ...BED, bottom: 5, top: 5 } },
      '5',
      /reach\.top is 5, but must be more than bottom \(5\)/,
      { reach: { ...BED, top: null } },
    ],
    [
      'reach top below 0',
      { reach: { ...BED, top: -5 } },
      '-5',
      /more than bottom \(0, what holds/,
      { reach: { top: null } },
    ],
    [
      'a wrong reach',
      { reach: { ...BED, top: 'high' } },
      '"high"',
      /reach\.top is the text “high”/,
      { reach: { ...BED, top: null } },
    ],
    [
      'a radius of 0',
      { reach: { shape: 'circle', centre: { x: 0, y: 0 }, radius: 0 } },
      '0',
      /reach\.radius is 0/,
      { reach: null, bed: BED },
    ],
    [
      'two corners',
      {
        bed: {
          shape: 'polygon',
          points: [
            [0, 0],
            [9, 9],
          ],
        },
      },
      '[[0,0],[9,9]]',
      /has 2 items; it must have at least 3/,
      { bed: null },
    ],
    [
      'two different corners',
      {
        bed: {
          shape: 'polygon',
          points: [
            [0, 0],
            [9, 9],
            [0, 0],
          ],
        },
      },
      '[[0,0],[9,9],[0,0]]',
      /2 different corners/,
      { bed: null },
    ],
    [
      'a crossing outline',
      {
        bed: {
          shape: 'polygon',
          points: [
            [0, 0],
            [9, 9],
            [9, 0],
            [0, 9],
          ],
        },
      },
      '[[0,0],[9,9],[9,0],[0,9]]',
      /from \(0, 0\) meets the one from \(9, 0\)/,
      { bed: null },
    ],
    [
      'an outline that runs back',
      {
        bed: {
          shape: 'polygon',
          points: [
            [0, 0],
            [9, 0],
            [5, 0],
          ],
        },
      },
      '[[0,0],[9,0],[5,0]]',
      /crosses or touches itself/,
      { bed: null },
    ],
    [
      'a corner of one number',
      { bed: { shape: 'polygon', points: [[0, 0], [9], [9, 9]] } },
      '[9]',
      /points\.1 has 1 item; it must have exactly 2/,
      { bed: null },
    ],
    [
      'a keep-out without sides',
      { keepOut: [{ name: 'a' }] },
      '{"name":"a"}',
      /“left”, “right”, “front”, “back”, “bottom” and “top”/,
      { keepOut: [] },
    ],
    ['half a tool', { tools: 1.5 }, '1.5', /whole number from 1 to 64/, { tools: 1 }],
    ['no tool', { tools: 0 }, '0', /from 1 to 64/, { tools: 1 }],
    ['a speed of 0', { speed: { x: 0, y: 9 } }, '0', /speed\.x is 0/, { speed: { x: null, y: 9 } }],
    [
      'an unknown dwell',
      { controller: { dwell: 'min', arcs: false } },
      '"min"',
      /must be "ms" or "s"/,
      { controller: { dwell: null, arcs: false } },
    ],
    [
      'a flag in quotes',
      { controller: { arcs: 'false' } },
      '"false"',
      /true or false, without quotes/,
      { controller: { arcs: true } },
    ],
    [
      'a severity that there is none of',
      { rules: { 'long-line': 'loud', 'heat-left-on': 'hint' } },
      '"loud"',
      /rules\.long-line is the text “loud”; it must be "error", "warning", "info", "hint" or "off"/,
      { rules: new Map([['heat-left-on', 'hint']]) },
    ],
    [
      'a word that no number fits',
      { commands: [{ name: 'A', meaning: 'b', words: [{ key: 'K', meaning: 'c', min: 5, max: 1 }] }] },
      '5',
      /The least of “K” is 5, above its most, 1, .* Until then neither is checked/,
      { commands: [{ name: 'A', words: [{ key: 'K', meaning: 'c', unit: '', required: false }] }] },
    ],
    [
      'a code that is none',
      { controller: { missing: ['G29', 'foo'] } },
      '"foo"',
      /must look like "G29"/,
      { controller: { missing: ['G29'] } },
    ],
    [
      'a command without meaning',
      { commands: [{ name: 'A' }, { name: 'B', meaning: 'b' }] },
      '{"name":"A"}',
      /does not say its “meaning”/,
      { commands: [{ name: 'B' }] },
    ],
    [
      'a command given twice',
      {
        commands: [
          { name: 'A', meaning: 'b' },
          { name: 'a', meaning: 'c' },
        ],
      },
      '"a"',
      /“a” is given twice/,
      { commands: [{ name: 'A', meaning: 'b' }] },
    ],
    [
      'an effect with a slip',
      { commands: [{ name: 'A', meaning: 'b', effects: [{ do: 'heta' }] }] },
      '"heta"',
      /Did you mean “heat”/,
      { commands: [{ name: 'A', effects: [] }] },
    ],
    [
      'an effect without a value',
      { commands: [{ name: 'A', meaning: 'b', effects: [{ do: 'fan' }] }] },
      '{"do":"fan"}',
      /does not say its “on”/,
      { commands: [{ effects: [] }] },
    ],
    [
      'a sequence that is a number',
      { sequences: { start: 5 } },
      '5',
      /a text in double quotes or a list of texts/,
      { sequences: new Map() },
    ],
    [
      'a sequence that is a machine',
      { sequences: { start: ['./a.start.gcode', './b.machine.json'] } },
      '"./b.machine.json"',
      /which is no sequence/,
      { sequences: new Map([['start', ['./a.start.gcode']]]) },
    ],
    ['an empty file name', { sequences: { end: '' } }, '""', /sequences\.end is empty/, { sequences: new Map() }],
    [
      'a vocabulary that is a program',
      { placeholders: './a.gcode' },
      '"./a.gcode"',
      /no vocabulary file/,
      { placeholders: null },
    ],
  ];
  it.each(rows)('%s', (_, facts, marked, message, holds) => {
    const { machine, shown } = read(facts);
    expect(shown).toHaveLength(1);
    const [severity, text, said] = shown[0] ?? ['', '', ''];
    expect(severity).toBe('error');
    expect(text.startsWith(marked), `marks ${text}`).toBe(true);
    expect(said).toMatch(message);
    expect(machine).toMatchObject(holds);
    if (!('name' in facts)) expect(machine?.name).toBe('Heron 228');
  });

  it('the place of an item is right behind one that was left out', () => {
    const good = { left: 0, front: 0, back: 1, bottom: 0, top: 1 };
    const { shown, machine } = read({
      keepOut: [{ name: 'a' }, { name: 'b', ...good, right: -7 }, { name: 'c', ...good, right: 7 }],
    });
    expect(shown.map(([, text]) => text)).toEqual(['{"name":"a"}', '-7']);
    expect(machine?.keepOut.map((box) => box.name)).toEqual(['c']);
  });

  it('a number too large to hold is told of', () => {
    const { machine, shown } = read(
      '{"name":"A","bed":{"shape":"circle","centre":{"x":0,"y":0},"radius":87},"tools":1e999}',
    );
    expect(shown.map(([, text]) => text)).toEqual(['1e999']);
    expect(machine?.tools).toBe(1);
  });
});

describe('warnings', () => {
  const rows: [string, object, string, RegExp][] = [
    ['an unknown property', { nozle: { diameter: 0.4 } }, '"nozle"', /no property “nozle”.*Did you mean “nozzle”/],
    ['an unknown property far from all', { zzzzzz: 1 }, '"zzzzzz"', /Known here: name, bed, reach/],
    ['an unknown role', { sequences: { begin: 'a' } }, '"begin"', /Known here: start, end, layer, swap or pause/],
    [
      'a file of another role',
      { sequences: { start: './a.end.gcode' } },
      '"./a.end.gcode"',
      /name says “end”.*List it under “end”/,
    ],
    [
      'home outside the reach',
      { reach: BED, home: { x: 300, y: 0, z: 0 } },
      '300',
      /Home lies 72 mm outside the reach/,
    ],
    ['home outside a bed that stands for the reach', { home: { x: 0, y: -4, z: 0 } }, '-4', /4 mm outside the bed/],
    [
      'home above the reach',
      { reach: { ...BED, top: 100 }, home: { x: 0, y: 0, z: 101 } },
      '101',
      /above the highest Z of the reach \(100\)/,
    ],
    [
      'home below the reach',
      { reach: { ...BED, bottom: 1 }, home: { x: 0, y: 0, z: 0 } },
      '0',
      /below the lowest Z of the reach \(1\)/,
    ],
    [
      'a bed past the reach',
      { reach: { ...BED, right: 223 }, home: { x: 0, y: 0, z: 0 } },
      '{"shape"',
      /bed goes 5 mm past the reach \(right 223\)/,
    ],
    [
      'a keep-out that never matters',
      { reach: BED, keepOut: [{ name: 'p', left: 240, right: 250, front: 0, back: 9, bottom: 0, top: 9 }] },
      '"p"',
      /lies outside the reach/,
    ],
    [
      'a keep-out above everything',
      {
        reach: { ...BED, top: 100 },
        keepOut: [{ name: 'p', left: 0, right: 9, front: 0, back: 9, bottom: 100, top: 109 }],
      },
      '"p"',
      /lies outside the reach/,
    ],
    [
      'home in a keep-out',
      { home: { x: 5, y: 5, z: 5 }, keepOut: [{ name: 'p', left: 0, right: 9, front: 0, back: 9, bottom: 0, top: 9 }] },
      '{"x":5',
      /inside the keep-out “p”/,
    ],
    [
      'an effect that reads no word',
      { commands: [{ name: 'A', meaning: 'b', effects: [{ do: 'select-tool', key: 'T' }] }] },
      '"T"',
      /which A does not list/,
    ],
    [
      'a word given twice',
      {
        commands: [
          {
            name: 'A',
            meaning: 'b',
            words: [
              { key: 'K', meaning: 'c' },
              { key: 'k', meaning: 'd' },
            ],
          },
        ],
      },
      '"k"',
      /“k” is given twice/,
    ],
  ];
  it.each(rows)('%s', (_, facts, marked, message) => {
    const { machine, shown } = read(facts);
    expect(shown.map(([severity]) => severity)).toEqual(['warning']);
    expect(shown[0]?.[1].startsWith(marked), `marks ${shown[0]?.[1]}`).toBe(true);
    expect(shown[0]?.[2]).toMatch(message);
    expect(machine?.bed).toEqual(BED);
  });

  it('of a property given twice the last counts', () => {
    const { machine, shown } = read(
      '{"name":"A","name":"B","bed":{"shape":"circle","centre":{"x":0,"y":0},"radius":87}}',
    );
    expect(machine?.name).toBe('B');
    expect(shown.map(([severity, text]) => [severity, text])).toEqual([['warning', '"name"']]);
  });

  it('nothing is said where bed, reach and home only touch', () => {
    const circle = { shape: 'circle', centre: { x: 0, y: 0 }, radius: 87 };
    expect(read({ bed: circle, reach: circle, home: { x: 0, y: 87, z: 0 } }).problems).toEqual([]);
    expect(read({ reach: BED, home: { x: 228, y: 206, z: 0 } }).problems).toEqual([]);
  });
});

describe('a broken text', () => {
  const bed = '"bed":{"shape":"circle","centre":{"x":0,"y":0},"radius":87}';
  const rows: [string, string, RegExp][] = [
    ['a comma missing', `{"name":"A" ${bed}}`, /comma is missing/],
    ['a colon missing', `{"name" "A",${bed}}`, /colon is missing/],
    ['a value missing', `{"name":"A",${bed},"tools":}`, /value is missing/],
    ['a decimal comma', `{"name":"A",${bed},"mostFlow":11,5}`, /write a point: 11\.5/],
    ['a word without quotes', `{"name":"A",${bed},"tools":two}`, /“two” means nothing/],
    ['a text that is not closed', `{"name":"A",${bed},"placeholders":"./a\n}`, /a " is missing/],
    ['a comment that is not closed', `{"name":"A",${bed}} /* more`, /a \*\/ is missing/],
    ['something behind the end', `{"name":"A",${bed}} 5`, /ended before this/],
    ['a backslash', `{"name":"A",${bed},"placeholders":"a\\qb"}`, /\\ sequence is not known/],
    ['an end that is missing', `{"name":"A",${bed}`, /a \} is missing/],
    ['a list that is not closed', `{"name":"A",${bed},"keepOut":[}`, /a \] is missing/],
  ];
  it.each(rows)('%s: told, and the bed is used', (_, text, message) => {
    const { machine, problems } = readMachine(text);
    expect(messages(problems)).toMatch(message);
    expect(problems.every((p) => p.span.end > p.span.start)).toBe(true);
    expect(machine?.bed).toEqual({ shape: 'circle', centre: { x: 0, y: 0 }, radius: 87 });
  });

  it('is no machine where it is empty or holds something else', () => {
    for (const text of ['', '  \n', '// only a comment\n']) {
      expect(readMachine(text).machine).toBeNull();
      expect(readMachine(text).problems).toHaveLength(1);
    }
    expect(messages(readMachine('').problems)).toMatch(/is empty/);
    for (const text of ['[1]', '5', '"a"', 'null', 'true']) {
      expect(readMachine(text).machine).toBeNull();
      expect(messages(readMachine(text).problems)).toMatch(/holds one object/);
    }
  });

  it('nested 200,000 deep is read for what stands beside', () => {
    for (const deep of ['['.repeat(200_000) + ']'.repeat(200_000), '{"a":'.repeat(100_000), '['.repeat(200_000)]) {
      const { machine, problems } = readMachine(`{"name":"A",${bed},"x":${deep}`);
      expect(machine).toMatchObject({ name: 'A', bed: { radius: 87 } });
      expect(messages(problems)).toMatch(/more than 32 deep/);
    }
    const closed = readMachine(`{"x":${'['.repeat(99)}${']'.repeat(99)},"name":"A",${bed}}`);
    expect(closed.machine).toMatchObject({ name: 'A', bed: { radius: 87 } });
  });

  it('of 11 MB is not read, and said so', () => {
    const { machine, problems } = readMachine(`{"name":"A",${bed},"x":"${'y'.repeat(11_000_000)}"}`);
    expect(machine).toBeNull();
    expect(messages(problems)).toMatch(/has 110000\d\d characters; machine files are read up to 10000000\./);
  });

  it('with thousands of faults lists the first ones', () => {
    const text = `{"name":"A",${bed}${',"q":1'.repeat(5000)}}`;
    const { problems } = readMachine(text);
    expect(problems).toHaveLength(200);
    expect(problems.at(-1)?.message).toMatch(/more problems follow/);
  });
});

describe('for any text', () => {
  /** Marks lie in the text, and what holds for every machine holds. */
  function sound(text: string): void {
    const { machine, problems } = readMachine(text);
    for (const { span, message } of problems) {
      expect(span.start).toBeGreaterThanOrEqual(0);
      expect(span.end).toBeLessThanOrEqual(text.length);
      expect(span.end).toBeGreaterThanOrEqual(span.start);
      expect(message.length).toBeGreaterThan(10);
      expect(message).not.toMatch(/undefined|NaN|\[object/);
    }
    if (machine === null) {
      expect(problems.length).toBeGreaterThan(0);
      return;
    }
    expect(machine.nozzle.diameter).toBeGreaterThan(0);
    expect(machine.filament.diameter).toBeGreaterThan(0);
    expect(machine.heat.nozzle.max ?? Number.POSITIVE_INFINITY).toBeGreaterThanOrEqual(machine.heat.nozzle.minExtrude);
    const { bed, reach } = machine;
    for (const area of [bed, reach]) {
      if (area?.shape === 'rectangle') expect(area.left < area.right && area.front < area.back).toBe(true);
      if (area?.shape === 'circle') expect(area.radius).toBeGreaterThan(0);
      if (area?.shape === 'polygon') expect(area.points.length).toBeGreaterThanOrEqual(3);
    }
    if (typeof reach?.top === 'number') expect(reach.top).toBeGreaterThan(reach.bottom ?? Number.NEGATIVE_INFINITY);
  }

  it('never throws: any characters', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 200 }), sound), { seed: 1, numRuns: 500 });
    const json = fc.string({
      unit: fc.constantFrom('{', '}', '[', ']', ',', ':', '"', '\\', '1', '.', 'e', ' ', '\n', '/', '*'),
    });
    fc.assert(fc.property(json, sound), { seed: 2, numRuns: 1000 });
  });

  it('never throws: any JSON value in any place, and the other facts are kept', () => {
    const whole = {
      ...PLAIN,
      reach: { ...BED, bottom: 0, top: 232 },
      keepOut: [{ name: 'post', left: 1, right: 2, front: 3, back: 4, bottom: 5, top: 6 }],
      home: { x: 0, y: 0, z: 0 },
      nozzle: { diameter: 0.6 },
      filament: { diameter: 2.85 },
      heat: { nozzle: { max: 253, minExtrude: 177 }, bed: { max: 86 }, chamber: { max: 62 } },
      mostFlow: 11,
      speed: { x: 100, y: 100, z: 5, e: 40 },
      acceleration: 800,
      tools: 2,
      controller: { dwell: 's', fanFull: 100, missing: ['G29'] },
      commands: [{ name: 'A', meaning: 'b', words: [{ key: 'K', meaning: 'c' }], effects: [{ do: 'stop' }] }],
      sequences: { start: './a.start.gcode' },
      placeholders: './a.placeholders.json',
    };
    const before = readMachine(JSON.stringify(whole));
    expect(before.problems).toEqual([]);
    const keys = Object.keys(whole) as (keyof typeof whole)[];
    fc.assert(
      fc.property(fc.constantFrom(...keys), fc.jsonValue({ maxDepth: 4 }), (key, value) => {
        const text = JSON.stringify({ ...whole, [key]: value });
        sound(text);
        const { machine } = readMachine(text);
        for (const other of keys) {
          // Home's documented default is the reach's corner, which these figures share: it is always kept.
          if (other !== key) expect(machine?.[other]).toEqual(before.machine?.[other]);
        }
      }),
      { seed: 3, numRuns: 1000 },
    );
  });

  it('never throws: a good file with pieces cut out or put in', () => {
    const good = JSON.stringify(
      { ...PLAIN, commands: [{ name: 'A', meaning: 'b', effects: [{ do: 'home' }] }] },
      null,
      1,
    );
    const piece = fc.constantFrom(
      '',
      '{',
      '}',
      '[',
      ']',
      '"',
      ',',
      ':',
      '//',
      '/*',
      'null',
      '1e999',
      '-',
      '\uFEFF',
      '"__proto__":1,',
    );
    fc.assert(
      fc.property(fc.nat(good.length), fc.nat(20), piece, (at, cut, put) =>
        sound(good.slice(0, at) + put + good.slice(at + cut)),
      ),
      { seed: 4, numRuns: 1500 },
    );
  });
});
