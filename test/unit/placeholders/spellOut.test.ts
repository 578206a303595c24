import { describe, expect, it } from 'vitest';
import { scopesOf } from '../../../server/src/placeholders/elements.ts';
import { spellOut } from '../../../server/src/placeholders/spellOut.ts';
import { tagStyleOf, type Vocabulary } from '../../../server/src/placeholders/vocabulary.ts';
import { analyze, prepare } from '../../../server/src/service/analyze.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { languageOf } from '../../../server/src/syntax/tagLanguage.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { machineOf } from '../analyze/machines.ts';
import { anyJobs, caseOf } from '../analyze/promises.ts';

// A sequence with its lines written out, held against the sequence itself as each job fills it in.

const DIPPER = machineOf({
  name: 'Dipper 204',
  bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
  reach: { shape: 'rectangle', left: -3, right: 209, front: -2, back: 193, bottom: 0, top: 226 },
  heat: { nozzle: { max: 271, minExtrude: 168 }, bed: { max: 97 } },
  speed: { x: 190, y: 170, z: 11, e: 41 },
  mostFlow: 13,
});
const NAMES = vocabularyFor(DIPPER);

function out(text: string, vocabulary: Vocabulary = NAMES): string | null {
  const { tree, expressions } = prepare(text, 'start', DIPPER, tagStyleOf(vocabulary));
  return spellOut({ tree, expressions, vocabulary, scopes: scopesOf(tree, expressions, vocabulary) });
}

const C = 'heat.bed.first > 58';

describe('each way of a line becomes a line of its own', () => {
  it.each([
    [`{{# ${C} }}; aside {{/}}M190 S60`, `{{# ${C} }}\n; aside M190 S60\n{{/}}\n{{^ ${C} }}\nM190 S60\n{{/}}`],
    [`{{^ ${C} }}M104 S200{{/}} T1`, `{{# ${C} }}\n T1\n{{/}}\n{{^ ${C} }}\nM104 S200 T1\n{{/}}`],
    [`G1 X{{ ${C} ? "12" : part.left }}`, `{{# ${C} }}\nG1 X12\n{{/}}\n{{^ ${C} }}\nG1 X{{ part.left }}\n{{/}}`],
  ])('%j', (text, spelled) => {
    expect(out(text)).toBe(spelled);
  });

  it.each([
    ['nothing to write out', 'G1 X{{ part.left }}\nM104 S200'],
    ['true or false where a number belongs', `G1 X{{ ${C} }} Y1`],
    ['letters where a number belongs', `G1 X{{ ${C} ? "12" : "x" }}`],
    ['a list', '{{# tools }}M104 S0{{/ tools }} T0'],
    ['a section that ends on another line', `G1 {{# ${C} }}X1\nG1 Y1{{/}}`],
    ['other delimiters', `{{=<% %>=}}\n<%# ${C} %>; <%/ ${C} %>G1 X1`],
    ['what cannot be read', '{{# 1 + }}; {{/}}G1 X1'],
  ])('%s stays', (_, text) => {
    expect(out(text)).toBeNull();
  });

  it('in the words of a vocabulary', () => {
    const vocabulary: Vocabulary = {
      ...NAMES,
      language: languageOf({
        delimiters: [['<<', '>>']],
        keywords: { if: 'when', else: 'otherwise', end: 'done' },
      }),
    };
    expect(out(`<<when ${C}>>; aside <<otherwise>>M107 <<done>>M190 S60`, vocabulary)).toBe(
      `<< when ${C} >>\n; aside M190 S60\n<< done >>\n<< when !(${C}) >>\nM107 M190 S60\n<< done >>`,
    );
  });
});

it('each job fills both in alike, blank lines and blanks aside', () => {
  let spelled = 0;
  let filled = 0;
  const plain = (text: string): string =>
    text
      .split('\n')
      .map((row) => row.trim())
      .filter((row) => row !== '')
      .join('\n');
  for (let seed = 0; seed < 250; seed++) {
    const { text, role, machine, vocabulary, random } = caseOf(seed);
    const style = tagStyleOf(vocabulary);
    const prepared = prepare(text, role, machine, style);
    const scopes = scopesOf(prepared.tree, prepared.expressions, vocabulary);
    const other = spellOut({ ...prepared, scopes, vocabulary });
    if (other === null) continue;
    spelled++;
    const written = prepare(other, role, machine, style);
    for (const job of anyJobs(random, vocabulary, 8)) {
      const given = Object.fromEntries(job);
      const one = fillIn(prepared, vocabulary, given, true);
      if (one.problems.length > 0) continue;
      filled++;
      expect(plain(fillIn(written, vocabulary, given, true).text), `seed ${seed}\n${text}\n\n${other}`).toBe(
        plain(one.text),
      );
    }
  }
  expect(spelled).toBeGreaterThan(60);
  expect(filled).toBeGreaterThan(300);
});

describe('what a line becomes decides verdicts', () => {
  const undecided = (text: string): readonly string[] =>
    analyze(text, 'start', DIPPER, NAMES).verdict.undecided.map(({ rule }) => rule);
  const head = 'G21\nG90\nM83\nG28\nG1 Z9 F600\n';

  it('half a comment: the rest of its line is read where the section is left out', () => {
    expect(undecided(`${head}{{# ${C} }}; aside {{/}}M190 S60`)).not.toContain('beyond-reach');
  });
  it('and a danger on that line is not counted away', () => {
    const text = `${head}{{# ${C} }}; aside {{/}}G1 Z-4 F600`;
    const { findings, verdict } = analyze(text, 'start', DIPPER, NAMES);
    const told = [...findings, ...verdict.undecided].map(({ rule }) => rule);
    expect(told).toContain('beyond-reach');
  });
});

it('a rule whose fact nobody stated is one gap: not asked, and said to hold nowhere', () => {
  const bare = machineOf({ name: 'Ruff bare', bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 } });
  const { verdict } = analyze('G28\nG1 X9 E2 F600', 'start', bare, vocabularyFor(bare));
  expect(verdict.unasked).toContainEqual({
    rule: 'flow-too-high',
    reason: 'the machine file states no highest flow (mostFlow)',
  });
  const none = analyze('G28', 'start', null, vocabularyFor(null)).verdict;
  expect(new Set(none.unasked.map(({ reason }) => reason))).toEqual(new Set(['no machine is chosen']));
  const twice = [...none.undecided, ...none.unasked].map(({ rule }) => rule);
  expect(new Set(twice).size).toBe(twice.length);
});
