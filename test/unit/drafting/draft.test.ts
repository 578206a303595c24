import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { draftActions, openQuestions } from '../../../server/src/drafting/answers.ts';
import { draftVocabulary } from '../../../server/src/drafting/draft.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { draftOf, loaded, made, used } from './support.ts';

const { machine: WAGTAIL } = readMachine(
  JSON.stringify({
    name: 'Wagtail 204',
    bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    reach: { shape: 'rectangle', left: -3, right: 209, front: -4, back: 193, bottom: 0, top: 226 },
    heat: { nozzle: { max: 275, minExtrude: 172 }, bed: { max: 105 } },
    nozzle: { diameter: 0.4 },
  }),
);
/** What the draft of a text says of a name, on that machine. */
const facts = (text: string, name: string) => {
  const draft = draftVocabulary([{ name: '', text, role: 'start' }], WAGTAIL).text;
  return vocabularyFor(WAGTAIL, loaded(draft)).names.get(name);
};
const pairsOf = (...texts: string[]) =>
  loaded(draftOf(...texts)).language?.pairs.map(({ open, close }) => [open, close]);
const namesOf = (...texts: string[]) => loaded(draftOf(...texts)).names.map(({ name }) => name);

// All names, delimiters and keywords here are invented.
const WHOLE = [
  '; ⟨old⟩ notes between marks (see below), 5 % of 3 % of them, a < b and c > d',
  'M140 S«slab»',
  'M104 S« tip - 20 »',
  'G28',
  '«when goods == "willow"»',
  'G1 Z«lift + 2» F«pace»',
  '«or when hurry»',
  'G1 X«west» Y«south»',
  '«otherwise»',
  'G1 Z5 E«goods == "birch" ? 1 : 2»',
  '«done»',
  'M109 S«tip»',
  'T«jar»',
  'M106 S«wind»',
  'G1 E«west» ; the same name again',
  'M117 hello «who»',
  'G1 X«west / 2»',
  '«when lift»',
  'G1 Z«lift»',
  '«done»',
  'M190 S«slabs[1]»',
  '',
].join('\n');

describe('a draft', () => {
  it('golden: a sequence with all of it', async () => {
    await expect(draftOf(WHOLE)).toMatchFileSnapshot('golden/whole.txt');
  });

  it('golden: a sequence without any tag', async () => {
    await expect(draftOf('G28\nG1 X5\n')).toMatchFileSnapshot('golden/empty.txt');
  });

  it('golden: two sequences that contradict each other', async () => {
    await expect(
      draftOf('M140 S«slab»\n«when warm»\nG28\n«done»\n', 'M140 S«when»\n«when hot»\nG28\n'),
    ).toMatchFileSnapshot('golden/contradicting.txt');
  });

  it('infers kind, unit and range from the place of use', () => {
    expect(facts('M140 S«a»', 'a')).toMatchObject({ kind: 'temperature', range: { lo: 0, hi: 105 } });
    expect(facts('M109 S«a»', 'a')).toMatchObject({ kind: 'temperature', range: { lo: 172, hi: 275 } });
    expect(facts('G1 X«a»', 'a')).toMatchObject({ kind: 'length', range: { lo: -3, hi: 209 } });
    expect(facts('G1 Y«a»', 'a')).toMatchObject({ kind: 'length', range: { lo: -4, hi: 193 } });
    expect(facts('G1 Z«a»', 'a')).toMatchObject({ kind: 'length', range: { lo: 0, hi: 226 } });
    expect(facts('G1 X1 F«a»', 'a')).toMatchObject({ kind: 'number', unit: 'mm/min', range: null });
    expect(facts('G1 X1 E«a»', 'a')).toMatchObject({ kind: 'length', range: null });
    expect(facts('T«a»', 'a')).toMatchObject({ kind: 'count', whole: true, range: { lo: 0, hi: 0 } });
    expect(facts('M106 S«a»', 'a')).toMatchObject({ kind: 'number', range: { lo: 0, hi: 255 } });
    expect(facts('G1 X«n»\n{{#a}}\nG28\n{{/a}}', 'a')).toMatchObject({ kind: 'flag' });
    expect(facts('G1 X«n»\n«when a = "x" or a = "y"»\nG28\n«end»', 'a')).toMatchObject({
      kind: 'text',
      choices: ['x', 'y'],
    });
    expect(facts('G1 X«n»\nM117 for «a»', 'a')).toMatchObject({ kind: 'text' });
    expect(facts('G1 X«n»\n; «a»', 'a')).toMatchObject({ kind: 'text' });
    expect(facts('M109 S«a[0]» T0', 'a')).toMatchObject({ kind: 'list' });
    expect(facts('«set z = a + 5»\nG1 Z«z»\nG1 X«n»', 'a')).toMatchObject({ kind: 'length' });
    expect(facts('«set z = a + 5»\nG1 Z«z»\nG1 X«n»', 'z')).toBeUndefined();
  });

  it('proposes what a name stands for where use and words agree', () => {
    const standsFor = (text: string) => loaded(draftOf(text)).names.map(({ name, standsFor }) => [name, standsFor]);
    expect(standsFor('M109 S«tip_first»\nM140 S«slab_first»\nM104 S«tip_other»')).toEqual([
      ['tip_first', 'heat.nozzle.first'],
      ['slab_first', 'heat.bed.first'],
      ['tip_other', 'heat.nozzle.later'],
    ]);
    expect(standsFor('M140 S«slab heat»\nM109 S«firstTip»\nM109 S«initial»')).toEqual([
      ['slab heat', null],
      ['firstTip', 'heat.nozzle.first'],
      // Only one name can stand for a built-in one.
      ['initial', null],
    ]);
    expect(standsFor('T«first_tool»\nT«next tool»\nT«tool»')).toEqual([
      ['first_tool', 'tool.first'],
      ['next tool', 'tool.next'],
      ['tool', 'tool.number'],
    ]);
    // The word alone says nothing: here it is a speed.
    expect(standsFor('G1 F«first_pace» X«first»')).toEqual([
      ['first_pace', null],
      ['first', null],
    ]);
  });

  it('notes uses that do not agree, and marks what is left to the person', () => {
    const text = draftOf('M104 S«a»\nG1 X«a»\nG1 F«b»\n');
    expect(text).toMatch(/these uses do not agree: temperature was taken, length would fit the others/);
    expect(text).toMatch(/"b": .*\/\/ fill in: range, meaning/);
  });

  it.each([
    ['{', '}'],
    ['[', ']'],
    ['<', '>'],
    ['{{', '}}'],
    ['[[', ']]'],
    ['<%', '%>'],
    ['${', '}'],
    ['%', '%'],
    ['@', '@'],
    ['‹', '›'],
    ['$', ''],
  ])('finds %s %s', (open, close) => {
    const text = `; for a ⟨test⟩ of ~things~\nG28\nM104 S${open}tip${close}\nM109 S${open}tip${close} X2\n`;
    expect(pairsOf(text)).toEqual([[open, close]]);
    expect(namesOf(text)).toEqual(['tip']);
  });

  it('finds several pairs in use at once, each with what it holds', () => {
    expect(pairsOf('G1 X«a» Y⟨b⟩\nM104 S«c»')).toEqual([
      ['«', '»'],
      ['⟨', '⟩'],
    ]);
    const both = loaded(draftOf('M140 S{{ a }}\n{% if b %}\nG28\n{% end %}\n{# c #}\n'));
    expect(both.language?.pairs.map(({ holds }) => holds)).toEqual(['values', 'statements', 'comments']);
  });

  it('tags in a comment steer nothing by words that nobody knows', () => {
    const { language, names } = loaded(draftOf('M140 S«slab»\n; «who am» «it»\n'));
    expect(language?.statements).toEqual([]);
    expect(names.map(({ name }) => name)).toEqual(['slab', 'who am', 'it']);
  });

  it('leaves out the machine’s own names', () => {
    expect(namesOf('G1 X<<bed.left>> Y<<mine>>')).toEqual(['mine']);
  });

  it('loads for the demo’s sequences', () => {
    for (const path of ['otter-146/otter-146.start', 'heron-228/carried-over.start', 'poplar-164/poplar-164.end'])
      loaded(draftOf(readFileSync(new URL(`../../../demo/${path}.gcode`, import.meta.url), 'utf8')));
  });
});

describe('texts that only look like ones with tags: why nothing was found', () => {
  it.each([
    [
      'parameters and expressions of RS-274 (NISTIR 6556 3.3.2)',
      'G1 X#1 Y[#2 + 5]\n#3=5\nG1 X[SIN[30]] F#<feed>\n',
      /parameters of RS-274 \(line 1\)/,
    ],
    [
      'braces in comments',
      'G28 ; {was 55} and <old>\nG1 X5 (see [a])\n',
      /brackets in comments are text for people \(line 1\)/,
    ],
    ['data in comments', '; {"a": [1, 2]}\nG28\n', /brackets in comments/],
    ['percentages in messages', 'M117 50% and 100%\nG28\n', /% behind a number is a percentage \(line 1\)/],
    ['a program mark', '%\nG28\n%\n', /% alone on a line begins or ends a job file/],
    ['mail addresses', '; ask a.b@loft.example or c@loft.example\nG28\n', /an @ in a word is a mail address/],
    ['comparisons in comments', 'G1 X5 ; x < 40 and y > 5\n', /each command can be read as G-code/],
    ['prose and arithmetic', '; use {braces} or <these>\nG1 X[1+2] Y3 (see [a])\n', /brackets in comments/],
    ['nothing at all', '', /there is nothing in the text/],
    ['an opener that is never closed', 'M140 S{slab\nG28\n', /\{ on line 1 opens something that is never closed/],
  ])('%s', (_, text, why) => {
    const draft = draftOf(text);
    expect(draft).toMatch(/No placeholders were found: /);
    expect(draft).toMatch(why);
    const { names, language } = loaded(draft);
    expect([names, language]).toEqual([[], null]);
  });
});

describe('several sequences', () => {
  it('what is proven in one counts in the others, and names say where they are', () => {
    const [start, end] = ['M140 S«slab»\nM109 S«tip»\n', '; «who» is done\nG1 Z«top»\n'];
    expect(namesOf(start, end)).toEqual(['slab', 'tip', 'who', 'top']);
    expect(draftOf(start, end)).toContain(
      '"who": { "kind": "text", "meaning": "A text." }, // fill in: choices, meaning // guess: fits line 1 of 1.start.gcode',
    );
  });

  it('a word does the same in all of them: what one leaves open the other shows', () => {
    const one = 'M140 S«slab»\n«falls eilig»\nG28\n«fertig»\n';
    const two = 'M140 S«slab»\n«falls eilig»\nG28\n«sonst»\nG4 S1\n«fertig»\n';
    expect(loaded(draftOf(one, two)).language?.statements).toEqual([
      { is: 'if', form: 'falls' },
      { is: 'else', form: 'sonst' },
      { is: 'end', form: 'fertig' },
    ]);
  });

  it('a contradiction is told with both places, and the rest is drafted', () => {
    const draft = draftOf('M140 S«slab»\n«when warm»\nG28\n«done»\n', 'M140 S«when»\nM104 S«tip»\n');
    expect(draft).toContain(
      '«when warm» on line 2 of 0.start.gcode opens a section, and «when» on line 1 of 1.start.gcode is a value.',
    );
    expect(namesOf('M140 S«slab»\n«when warm»\nG28\n«done»\n', 'M140 S«when»\nM104 S«tip»\n')).toContain('tip');
  });

  it('sections that do not balance in one are told, and the others decide', () => {
    const draft = draftOf('M140 S«slab»\n«when warm»\nG28\n«done»\n', 'M140 S«slab»\n«when warm»\nG28\n');
    expect(draft).toContain('Check: «when warm» on line 2 of 1.start.gcode opens a section that is never closed.');
    expect(draft).toContain('"end": "done"');
  });

  it('two languages in one text are two pairs, each with its own words', () => {
    const text = 'M140 S«slab»\n«when warm»\nG28\n«done»\nM104 S{tip}\n{if quick}\nG4 S1\n{fi}\n';
    const draft = draftOf(text);
    expect(loaded(draft).language?.pairs).toHaveLength(2);
    expect(draft).toContain('"if": ["when", "if"]');
    expect(used(draft, text, {}).form).toEqual([]);
  });
});

describe('what is not followed', () => {
  it('another text that is put in may be anything, and is no fault of the text', () => {
    for (const line of ['{include head}', '{% include "head.txt" %}']) {
      const text = `M140 S{slab}\n${line}\nG28\n`;
      expect(used(draftOf(text), text, {}).form).toEqual([]);
    }
  });

  it('what is repeated without a list is told', () => {
    expect(draftOf('{repeat 3}\nG28\n{next}\nM140 S{slab}\n')).toContain(
      'Check: {repeat 3} on line 1 seems to repeat what it holds.',
    );
  });

  it('an expression that cannot be read is named with its line, and does not spoil the rest', () => {
    const text = 'M140 S«slab and then some»\nM109 S«tip»\n«when tip ¬ 3»\nG28\n«done»\n';
    const draft = draftOf(text);
    expect(draft).toContain('// Not followed, so its value is unknown: tip ¬ 3 (line 3)');
    expect(loaded(draft).names.map(({ name }) => name)).toContain('tip');
  });
});

describe('what no text shows is asked', () => {
  const asked = (text: string): (string | undefined)[] =>
    openQuestions(draftOf(text)).map(([first]) => first?.edits[0]?.text.trim().split(':')[0]);
  it.each([
    ['a number decides', 'M140 S«slab»\n«if slab»\nG28\n«end»\n', ['"zeroHolds"']],
    ['a text decides', 'M117 «who»\nM140 S«slab»\n«if who»\nG28\n«end»\n', ['"emptyTextHolds"']],
    ['a flag decides', 'M140 S«slab»\n«if warm»\nG28\n«end»\n', []],
    ['a comparison decides', 'M140 S«slab»\n«if slab > 5»\nG28\n«end»\n', []],
    ['a division', 'G1 X«west / 2»\n', ['"wholeDivision"', '"wholeAs"']],
    ['a sum', 'G1 X«west + 2»\n', []],
    ['a remainder', 'G1 X«west % 2»\n', ['"remainder"']],
    ['and with or', 'M140 S«slab»\n«if a or b and c»\nG28\n«end»\n', ['"andOr"']],
    ['or alone', 'M140 S«slab»\n«if a or b or c»\nG28\n«end»\n', []],
    ['not before a comparison', 'M140 S«slab»\n«if not slab = 5»\nG28\n«end»\n', ['"notIsLast"']],
    ['a power with a sign', 'G1 X«-west ^ 2»\n', ['"power"']],
    ['a number written with digits', 'G1 X«west:.2f»\n', ['"rounding"']],
    ['an index that may begin at 0 or 1', 'M140 S«slabs[1]»\n', ['"firstIndex"']],
    ['an index 0', 'M140 S«slabs[0]»\n', []],
    ['an index that is the number of a tool', 'T«jar»\nM104 S«tips[jar]»\n', []],
    ['an index 1 that a word says is the first', '; first is slabs[1]\nM140 S«slabs[1]»\n', []],
    ['a list written out', 'M140 S«slabs»\nM104 S«slabs[0]»\n', ['"bareList"']],
    ['a comparison written out', 'M117 «slab > 5»\nM140 S«slab»\n', ['"flagsWritten"']],
    ['names that differ in case', 'M140 S«slab»\nM190 S«Slab»\n', ['"caseMatters"']],
    ['a minus that touches its end', 'M140 S{{-slab}}\nM104 S{{tip}}\n', ['"trims"']],
    ['a minus parted by a space', 'M140 S{{- slab }}\nM104 S{{ tip }}\n', []],
  ])('%s', (_, text, properties) => {
    expect(asked(text)).toEqual(properties);
  });

  it('an answer stays where the question was, and the draft loads with each', () => {
    const draft = draftOf('G1 X«west / 2»\n«if west»\nG28\n«end»\n');
    const questions = openQuestions(draft);
    expect(questions).toHaveLength(3);
    for (const answers of questions)
      for (const answer of answers) {
        const after = made(draft, answer);
        loaded(after);
        expect(openQuestions(after)).toHaveLength(2);
      }
    expect(questions[0]?.map(({ title }) => title)).toEqual([
      'Keep "wholeDivision": false (3.5)',
      'Keep "wholeDivision": true (3)',
    ]);
  });

  it('a guess is confirmed at its line, and all of them at once', () => {
    const draft = draftOf('M140 S«slab»\n«when warm»\nG28\n«done»\n');
    const at = draft.indexOf('"if":');
    const [one, all] = draftActions(draft, { start: at, end: at });
    expect([one?.title, all?.title]).toEqual(['Confirm', 'Confirm all 5 guesses']);
    expect(made(draft, one ?? { edits: [] })).toContain('    "if": "when",\n    "end": "done", // guess');
    const after = made(draft, all ?? { edits: [] });
    expect(after).not.toContain('guess:');
    expect(loaded(after)).toEqual({ ...loaded(draft), names: loaded(after).names });
    expect(draftActions(after, { start: 0, end: after.length })).toEqual([]);
  });

  it('what stands in a name is no remark of the draft', () => {
    const draft = '{\n  "names": {\n    "a // guess: b": { "kind": "text" },\n  },\n}\n';
    expect(draftActions(draft, { start: 0, end: draft.length })).toEqual([]);
  });
});

describe('any text', () => {
  const PIECES = [
    ...[
      '{',
      '}',
      '{{',
      '}}',
      '[',
      ']',
      '<',
      '>',
      '«',
      '»',
      '%',
      '$',
      '${',
      '<%',
      '%>',
      '{%',
      '{#',
      '#}',
      '@',
      '#',
      '`',
      '|',
    ],
    ...[
      'when ',
      'or when ',
      'else',
      'end',
      '/if',
      '#if ',
      'for x in ',
      'set ',
      'a',
      'b.c',
      'new',
      'bed.left',
      '1st',
      'A-b',
    ],
    ...['"x"', ' == ', ' = ', ' + ', ' if ', ' and ', ':.2f', '[0]', '(', ')', ';', ',', '-', '~', '.', '?', ':'],
    ...['G1 X', 'M104 S', 'M117 ', 'T', 'E', '\n', '\r\n', ' ', '1', '😀', '\u2028', '\\', '*/', '//', '\u0000'],
  ];

  it('gives a draft that loads without a finding', () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(fc.constantFrom(...PIECES), { maxLength: 60 }), { minLength: 1, maxLength: 2 }),
        (texts) => void loaded(draftOf(...texts.map((pieces) => pieces.join('')))),
      ),
      { seed: 31, numRuns: 400 },
    );
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 150 }), (text) => void loaded(draftOf(text))),
      { seed: 32, numRuns: 200 },
    );
  });

  it('so does each part of a whole one, as it is while it is typed', () => {
    for (let end = 0; end <= WHOLE.length; end += 7) loaded(draftOf(WHOLE.slice(0, end)));
  });

  it('and one whose sections lie a thousand deep', () => {
    const deep = `M140 S«slab»\n${'«when warm»\n'.repeat(1000)}G28\n${'«done»\n'.repeat(1000)}`;
    expect(loaded(draftOf(deep)).language?.statements).toEqual([
      { is: 'if', form: 'when' },
      { is: 'end', form: 'done' },
    ]);
    loaded(draftOf(`G1 X«${'('.repeat(1000)}a${')'.repeat(1000)}»\n`));
    loaded(draftOf(`G1 X${'{'.repeat(1000)}a${'}'.repeat(1000)}\n`));
  });

  it('draft actions of any text are within it', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom('// guess: ', '// ask: ', '// answer: ', '"a": 1,', '\n', ' ', '"', '{', '}', 'x'), {
          maxLength: 40,
        }),
        fc.nat(200),
        (pieces, at) => {
          const text = pieces.join('');
          for (const { edits } of draftActions(text, { start: at, end: at + 5 }))
            for (const { span } of edits)
              expect(span.start >= 0 && span.end >= span.start && span.end <= text.length).toBe(true);
        },
      ),
      { seed: 33, numRuns: 1000 },
    );
  });

  it('reads no more than what a sequence has, and says so', () => {
    const long = `M140 S«slab»\n${'G1 X1 Y2\n'.repeat(200_000)}`;
    const { text } = draftVocabulary([{ name: '', text: long, role: 'start' }], null);
    expect(text).toMatch(/The sequence was read up to line [\d,]+ of 200,002/);
    expect(readVocabulary(text).problems).toEqual([]);
  });

  it('says one thing of 10 MB in one line', () => {
    for (const long of ['G1 X{a}'.repeat(1_400_000), 'x'.repeat(10_000_000), '{'.repeat(10_000_000)]) {
      const { text } = draftVocabulary([{ name: '', text: long, role: 'start' }], null);
      expect(text).toMatch(/Nothing of the sequence was read, because its line 1 alone has/);
      expect(text).not.toContain('No placeholders were found');
      expect(readVocabulary(text).problems).toEqual([]);
    }
  });
});
