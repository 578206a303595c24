import { describe, expect, it } from 'vitest';
import { analyze } from '../../../server/src/service/analyze.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { fixtureMachine } from '../rules/support.ts';

// Which texts the search for a witness tries for a name that is a text.

const EGRET = fixtureMachine('egret');
const HEAD = 'G21\nG90\nG28\nM109 S210\n';
const own = readVocabulary(
  JSON.stringify({
    names: {
      plate: { kind: 'text', choices: ['smooth', 'rough'], meaning: 'Plate.' },
      note: { kind: 'text', meaning: 'Note.' },
    },
  }),
).vocabulary;

/** What beyond-reach has to say where a move past the reach stands in this section. */
function past(open: string, vocabulary = vocabularyFor(EGRET)) {
  const a = analyze(`${HEAD}${open}\nG1 X999 F6000\n{{/}}\n`, 'start', EGRET, vocabulary);
  const finding = a.findings.find(({ rule }) => rule === 'beyond-reach');
  const undecided = a.verdict.undecided.some(({ rule }) => rule === 'beyond-reach');
  return { when: finding?.when, message: finding?.message ?? '', undecided };
}

describe('a section that hangs on a text', () => {
  it.each([
    ["{{# filament.kind == 'PETG' }}", { 'filament.kind': 'PETG' }],
    ["{{# filament.kind != 'PLA' }}", { 'filament.kind': 'another' }],
    ["{{^ filament.kind == 'PLA' }}", { 'filament.kind': 'another' }],
    ["{{# filament.kind != 'PLA' && filament.kind != 'ABS' }}", { 'filament.kind': 'another' }],
    ["{{# 'PLA' != filament.kind && filament.kind != 'another' }}", { 'filament.kind': 'another 2' }],
    ["{{# filament.kind != 'PETG' && filament.kind != 'ABS' }}", { 'filament.kind': 'PLA' }],
    // With something else that it hangs on.
    ["{{# layer.count == 10 && filament.kind != 'PLA' }}", { 'layer.count': 10, 'filament.kind': 'another' }],
  ])('%s', (open, when) => expect(past(open)).toMatchObject({ when, undecided: false }));

  it('that is itself the condition: empty', () => {
    for (const open of ['{{^ filament.kind }}', '{{# !filament.kind }}', '{{# filament.kind ? false : true }}']) {
      expect(past(open), open).toMatchObject({ when: { 'filament.kind': '' }, undecided: false });
      expect(past(open).message, open).toContain('For example when filament.kind is empty.');
    }
  });

  it('with choices takes those and no other', () => {
    const vocabulary = vocabularyFor(EGRET, own);
    expect(vocabulary.names.get('plate')?.choices).toEqual(['smooth', 'rough']);
    expect(past("{{# plate != 'smooth' }}", vocabulary).when).toEqual({ plate: 'rough' });
    expect(past("{{# note != 'smooth' }}", vocabulary).when).toMatchObject({ note: expect.any(String) });
    // No job says that.
    expect(past("{{# plate == 'glass' }}", vocabulary)).toMatchObject({ when: undefined, undecided: false });
  });
});
