import { describe, expect, test } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { hover } from '../../../server/src/service/hover.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

// A machine file that says what a code means there: hover, simulation and validation follow it.

const { machine, problems } = readMachine(`{
  "name": "Heron 228",
  "bed": { "shape": "rectangle", "left": 0, "right": 228, "front": 0, "back": 206 },
  "reach": { "shape": "rectangle", "left": -5, "right": 240, "front": -5, "back": 240, "bottom": 0, "top": 250 },
  "home": { "x": 0, "y": 0, "z": 0 },
  "commands": [
    {
      "name": "m0900",
      "meaning": "Moves to the brush, and wipes.",
      "words": [{ "key": "W", "meaning": "number of strokes", "unit": "count", "min": 1, "max": 9, "default": 3 }],
      "effects": [{ "do": "move-to", "x": -4, "y": 100 }]
    },
    { "name": "WARM_ALL", "meaning": "Warms the bed.", "effects": [{ "do": "heat", "heater": "bed", "wait": true, "to": 60 }] },
    { "name": "G29", "meaning": "Warms the bed's plate.", "effects": [] },
    { "name": "M601", "meaning": "Sets steps, and loosens Z.", "effects": [
      { "do": "distance", "relative": true }, { "do": "position-unknown", "axes": ["z"] }
    ] }
  ]
}`);
const TEXT = 'G21\nG90\nM83\nG28\nM900 W3\nG29 Q7\nM601\n';
const seen = (text: string) => analyze(text, 'start', machine, vocabularyFor(machine));

describe('a code that means something else on a machine', () => {
  test('its file has no fault', () => {
    expect(problems).toEqual([]);
  });

  test('hover tells the machine’s meaning, with default and range', () => {
    const page = hover(seen(TEXT), TEXT.indexOf('M900'))?.markdown ?? '';
    expect(page).toContain('Moves to the brush, and wipes.');
    expect(page).toContain('from 1 to 9; without it: 3');
    expect(page).toContain('the machine file of Heron 228');
    expect(page).not.toContain('Pressure');
  });

  test('the simulator does what the file says, and nothing of the usual meaning', () => {
    const { trace } = seen(TEXT);
    const left = (code: string) => trace.steps.find(({ command }) => command.code === code)?.after;
    expect(left('M900')?.at).toMatchObject({ x: { lo: -4, hi: -4 }, y: { lo: 100, hi: 100 } });
    expect(left('G29')?.at).toMatchObject({ x: { lo: -4, hi: -4 }, z: { lo: 0, hi: 0 } });
    expect(left('M601')).toMatchObject({ relative: true, at: { z: null } });
    const warm = seen('WARM_ALL\n').trace.steps[0]?.after.bed;
    expect(warm).toMatchObject({ target: { lo: 60, hi: 60 }, awaited: true });
    const usual = analyze(TEXT, 'start', null, vocabularyFor(null)).trace;
    expect(usual.steps.find(({ command }) => command.code === 'G29')?.after.at.x).toBe(null);
  });

  test('validation takes its words; a code without words takes any', () => {
    const rules = (text: string) =>
      seen(text)
        .findings.filter(({ rule }) => /word|bad-number|unknown-command/.test(rule))
        .map(({ rule }) => rule);
    expect(rules(TEXT)).toEqual([]);
    expect(rules(TEXT.replace('W3', 'K0.1'))).toEqual(['unknown-word']);
    expect(rules(TEXT.replace('W3', 'W10'))).toEqual(['bad-number']);
  });
});
