import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { type Analysis, prepare } from '../../../server/src/service/analyze.ts';
import { complete } from '../../../server/src/service/completion.ts';
import { unknownNamed } from '../../../server/src/service/draftCommands.ts';
import { fixesOf } from '../../../server/src/service/fixes.ts';
import { format } from '../../../server/src/service/format.ts';
import { hover } from '../../../server/src/service/hover.ts';
import { semanticTokens } from '../../../server/src/service/semanticTokens.ts';
import { signatureHelp } from '../../../server/src/service/signatureHelp.ts';
import { symbols } from '../../../server/src/service/symbols.ts';
import { applyEdits } from '../../../server/src/text/edit.ts';
import { slice } from '../../../server/src/text/span.ts';
import { analysed } from './support.ts';

/** An invented machine that states how its named commands are written, or does not. */
function gannet(namedCommands?: object): Machine {
  const facts = {
    name: 'Gannet 204',
    bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    reach: { shape: 'rectangle', left: -7, right: 209, front: -3, back: 191, bottom: 0, top: 226 },
    heat: { nozzle: { max: 268 }, bed: { max: 97 } },
    controller: namedCommands ? { namedCommands } : {},
    commands: [
      {
        name: 'warm-through',
        meaning: 'Holds the bed at a temperature.',
        words: [
          { key: 'plate', meaning: 'temperature of the bed', unit: 'degrees C', required: true },
          { key: 'minutes', meaning: 'how long', unit: 'min', min: 1, max: 40 },
          { key: 'tell', meaning: 'what the display shows', unit: 'text' },
          { key: 'gently', meaning: 'whether slowly', unit: 'none' },
          { key: 's', meaning: 'how often to stir', unit: 'count' },
        ],
        effects: [{ do: 'heat', heater: 'bed', wait: true, key: 'plate' }],
      },
    ],
  };
  const { machine, problems } = readMachine(JSON.stringify(facts));
  expect(problems).toEqual([]);
  if (!machine) throw new Error('no machine');
  return machine;
}
const COLON = gannet({ joins: ':', case: 'lower', letters: false });
const BLANK = gannet({ joins: ' ', case: 'upper' });
const GLUED = gannet({ joins: '', case: 'any', letters: true });
const EQUALS = gannet({ joins: '=' });
const ANY = gannet();
const MACHINES = [COLON, BLANK, GLUED, EQUALS, ANY];

const HEAD = 'G21\nG90\nM83\nG28\n';
const TAIL = '\nM109 S{{ heat.nozzle.first }}';
const within = (line: string, machine: Machine): Analysis => analysed(HEAD + line + TAIL, 'start', machine);
/** The findings of a line. */
const findingsOf = (line: string, machine: Machine) =>
  within(line, machine).findings.filter(
    ({ span }) => span.start >= HEAD.length && span.end <= HEAD.length + line.length,
  );
const found = (line: string, machine: Machine): string[] =>
  findingsOf(line, machine).map(({ rule, message }) => `${rule}: ${message}`);
const bedTarget = (line: string, machine: Machine) => within(line, machine).trace.end.bed.target;

describe('a stated form is read, and no other', () => {
  it.each([
    ['warm-through plate:61 minutes:4 gently', COLON],
    ['WARM-THROUGH PLATE 61 MINUTES 4 GENTLY S3', BLANK],
    ['Warm-Through plate61 minutes4 gently S3', GLUED],
    ['warm-through plate=61 minutes=4 gently', EQUALS],
    ['warm-through plate=61 minutes:4 gently s3', ANY],
    ['WARM-THROUGH PLATE 61 minutes4 S3', ANY],
  ])('%j', (line, machine) => {
    expect(found(line, machine)).toEqual([]);
    expect(bedTarget(line, machine)).toMatchObject({ lo: 61, hi: 61 });
  });

  it.each([
    ['warm-through plate=61', COLON, ['stray-text'], 'warm-through plate:61'],
    ['warm-through plate:61', EQUALS, ['stray-text'], 'warm-through plate=61'],
    ['WARM-THROUGH PLATE=61', BLANK, ['stray-text'], 'WARM-THROUGH PLATE 61'],
    ['warm-through plate=61', GLUED, ['stray-text'], 'warm-through plate61'],
    ['Warm-Through plate:61', COLON, ['lower-case'], 'warm-through plate:61'],
    ['warm-through plate:61 GENTLY', COLON, ['lower-case'], 'warm-through plate:61 gently'],
    ['WARM-THROUGH plate 61', BLANK, ['lower-case'], 'WARM-THROUGH PLATE 61'],
    ['warm-through plate:61 minutes:90', COLON, ['bad-number'], null],
    ['warm-through plate 61', COLON, ['missing-word'], null],
    ['warm-through plate61', COLON, ['unknown-word', 'missing-word'], null],
    ['warm-through plate:61 minute:4', COLON, ['unknown-word'], 'warm-through plate:61 minutes:4'],
    ['warm-thorough plate:61', COLON, ['unknown-command'], 'warm-through plate:61'],
  ])('%j is told, and mended where one thing is meant', (line, machine, rules, mended) => {
    const a = within(line, machine);
    const here = findingsOf(line, machine);
    expect(here.map(({ rule }) => rule).sort()).toEqual([...rules].sort());
    const [finding] = here;
    const fixes = finding ? fixesOf(a, finding) : [];
    const fix = fixes.find(({ preferred }) => preferred) ?? fixes[0];
    if (mended === null) return;
    expect(fix && applyEdits(a.tree.text, fix.edits)).toBe(HEAD + mended + TAIL);
    expect(found(mended, machine)).toEqual([]);
  });

  it('tells names as the machine has them', () => {
    expect(found('warm-through minutes:4', COLON)[0]).toBe(
      'missing-word: warm-through needs plate, the temperature of the bed.',
    );
    expect(found('WARM-THROUGH MINUTES 4', BLANK)[0]).toContain('WARM-THROUGH needs PLATE');
    expect(hover(analysed('warm-through plate:61', 'start', COLON), 3)?.markdown).toContain('warm-through');
    expect(symbols(analysed('WARM-THROUGH plate:61', 'start', COLON))[0]?.name).toBe('warm-through');
  });
});

describe('a missing word is written in the form that is known', () => {
  const added = (line: string, machine: Machine): string | null => {
    const a = within(line, machine);
    const finding = a.findings.find(({ rule }) => rule === 'missing-word');
    const [fix] = finding ? fixesOf(a, finding) : [];
    return fix ? applyEdits(a.tree.text, fix.edits).slice(HEAD.length, -TAIL.length) : null;
  };
  it.each([
    ['warm-through minutes:4', COLON, 'warm-through minutes:4 plate:{{ heat.bed.first }}'],
    ['WARM-THROUGH MINUTES 4', BLANK, 'WARM-THROUGH MINUTES 4 PLATE {{ heat.bed.first }}'],
    ['warm-through minutes4', GLUED, 'warm-through minutes4 plate{{ heat.bed.first }}'],
    ['warm-through minutes 4', ANY, 'warm-through minutes 4 plate {{ heat.bed.first }}'],
    ['warm-through', COLON, 'warm-through plate:{{ heat.bed.first }}'],
    // Neither the file nor the text says how.
    ['warm-through', ANY, null],
  ])('%j', (line, machine, expected) => {
    expect(added(line, machine)).toBe(expected);
    if (expected) expect(found(expected, machine)).toEqual([]);
  });
});

describe('completion and signature help', () => {
  const offered = (marked: string, machine: Machine, label: RegExp): string[] => {
    const text = marked.replace('▮', '');
    const { items } = complete(analysed(text, 'start', machine), marked.indexOf('▮'));
    return items
      .filter((item) => label.test(item.label))
      .map((item) => applyEdits(text, [{ span: item.span, text: item.text }]));
  };
  it.each([
    ['warm-through ▮', COLON, 'warm-through minutes:'],
    ['warm-through ▮', BLANK, 'warm-through MINUTES '],
    ['warm-through ▮', GLUED, 'warm-through minutes'],
    ['warm-through ▮', EQUALS, 'warm-through minutes='],
    ['warm-through ▮', ANY, 'warm-through minutes'],
    ['warm-through mi▮n=4', COLON, 'warm-through minutes:4'],
    ['warm-through mi▮n=4', ANY, 'warm-through minutes=4'],
    ['swirl deep:1 wide:2 at=3\nwarm-through ▮', ANY, 'swirl deep:1 wide:2 at=3\nwarm-through minutes:'],
    ['swirl deep 2\nwarm-through ▮', ANY, 'swirl deep 2\nwarm-through minutes '],
  ])('%j offers the word as it is written', (marked, machine, expected) => {
    expect(offered(marked, machine, /^minutes$/i)).toEqual([expected]);
  });

  it('offers letters as in G-code where they are words, flags alone, and names in the stated case', () => {
    expect(offered('warm-through ▮', COLON, /^s$/i)).toEqual(['warm-through s:']);
    expect(offered('warm-through ▮', GLUED, /^s$/i)).toEqual(['warm-through s']);
    expect(offered('warm-through ▮', COLON, /^gently$/i)).toEqual(['warm-through gently']);
    expect(offered('▮', COLON, /^warm-/i)).toEqual(['warm-through']);
    expect(offered('▮', BLANK, /^warm-/i)).toEqual(['WARM-THROUGH']);
    expect(signatureHelp(analysed('warm-through p', 'start', COLON), 14)?.signature).toBe(
      'warm-through plate: [minutes:] [tell:] [gently] [s:]',
    );
  });

  it('drafts in the stated case, and else as the text has it', () => {
    const names = (machine: Machine): string[] => {
      const a = analysed('Swirl Deep:3 At:{{ heat.bed.first }}\n', 'start', machine);
      return unknownNamed(a, a.vocabulary).flatMap(({ name, words }) => [name, ...words.map(({ key }) => key)]);
    };
    expect(names(COLON)).toEqual(['swirl', 'deep', 'at']);
    expect(names(BLANK)[0]).toBe('SWIRL');
    expect(names(ANY)).toEqual(['Swirl', 'Deep', 'At']);
  });

  it('guesses what a drafted word means from the placeholder in it', () => {
    const a = analysed('swirl at={{ heat.bed.first + 5 }} by={{ layer.height }} bed=3\n', 'start', ANY);
    const [swirl] = unknownNamed(a, a.vocabulary);
    expect(swirl?.meaning).toMatch(/^fill in: .* it may heat the bed\.$/);
    expect(swirl?.words.map(({ key, unit }) => [key, unit])).toEqual([
      ['at', 'degrees C'],
      ['by', 'mm'],
      ['bed', undefined],
    ]);
    expect(swirl?.words[0]?.meaning).toContain('It is given heat.bed.first, so it may be a temperature of the bed.');
  });

  it('colors key and value of every form', () => {
    for (const line of ['warm-through plate:61', 'warm-through plate 61', 'warm-through plate61']) {
      const a = analysed(line, 'start', ANY);
      const tokens = semanticTokens(a).map(({ span, type }) => `${slice(line, span)} ${type}`);
      expect(tokens).toEqual(['warm-through function', 'plate parameter', '61 number']);
    }
  });
});

const JOIN = fc.constantFrom('=', ':', ' ', '');
const WORD = fc.oneof(
  fc
    .tuple(
      fc.constantFrom('plate', 'Minutes', 'TELL', 's', 'gently', 'other'),
      JOIN,
      fc.constantFrom('04.50', '+7', '-0', '{{ a }}', '"a  b"', 'x', ''),
    )
    .map((p) => p.join('')),
  fc.constantFrom('gently', '5', 'part-one', '12:30', 'a=b', 'S60P5', 'K.5'),
);
const LINE = fc
  .tuple(
    fc.constantFrom('warm-through', 'Warm-Through', 'swirl'),
    fc.array(WORD, { maxLength: 5 }),
    fc.constantFrom(' ', '  ', '\t'),
  )
  .map(([name, words, gap]) => [name, ...words].join(gap));

/** What a text says: codes, keys and values, numbers as numbers. */
function said(text: string, machine: Machine): unknown {
  const { tree } = prepare(text, 'start', machine);
  return tree.lines.map(({ commands }) =>
    commands.map(({ code, words }) => [
      code,
      words.map(({ key, value }) => [key, value && (value.type === 'number' ? value.number : slice(text, value.span))]),
    ]),
  );
}

describe('whatever a line says, in whatever form', () => {
  it('formatting changes neither its words nor, a second time, anything', { timeout: 120_000 }, () => {
    let changed = 0;
    fc.assert(
      fc.property(fc.array(LINE, { minLength: 1, maxLength: 3 }), fc.constantFrom(...MACHINES), (lines, machine) => {
        const text = lines.join('\n');
        const once = applyEdits(text, format(prepare(text, 'start', machine)));
        expect(said(once, machine)).toEqual(said(text, machine));
        expect(format(prepare(once, 'start', machine))).toEqual([]);
        if (once !== text) changed++;
      }),
      { numRuns: 1500 },
    );
    expect(changed).toBeGreaterThan(100);
  });

  it('a declared command with its words has no finding where no form is stated', { timeout: 120_000 }, () => {
    const word = (key: string, value: fc.Arbitrary<string>) =>
      fc.tuple(JOIN, value).map(([join, one]) => key + join + one);
    const words = fc.tuple(
      word('plate', fc.integer({ min: 1, max: 97 }).map(String)),
      word('minutes', fc.integer({ min: 1, max: 40 }).map(String)),
      word('tell', fc.constantFrom('"a b"', '"5"')),
      fc.constantFrom('gently', 's3', 's:3', 's=3'),
    );
    fc.assert(
      fc.property(
        words.chain((all) => fc.shuffledSubarray(all, { minLength: 4 })),
        (all) => {
          const line = `warm-through ${all.join(' ')}`;
          const rules = new Set([
            'stray-text',
            'unknown-word',
            'missing-word',
            'bad-number',
            'duplicate-word',
            'lower-case',
          ]);
          const told = (analysed(line, 'start', ANY) as Analysis).findings.filter(({ rule }) => rules.has(rule));
          expect(told.map(({ message }) => message)).toEqual([]);
        },
      ),
      { numRuns: 400 },
    );
  });
});
