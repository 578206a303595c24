import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { spellOut } from '../../../server/src/placeholders/spellOut.ts';
import { type Analysis, analyze } from '../../../server/src/service/analyze.ts';
import { complete } from '../../../server/src/service/completion.ts';
import { fixesOf } from '../../../server/src/service/fixes.ts';
import { hover } from '../../../server/src/service/hover.ts';
import { carried } from '../../../server/src/service/otherLanguage.ts';
import { newNameFault } from '../../../server/src/service/rename.ts';
import { semanticTokens } from '../../../server/src/service/semanticTokens.ts';
import { signatureHelp } from '../../../server/src/service/signatureHelp.ts';
import { usesOf } from '../../../server/src/service/uses.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

// What is offered, shown and written inside the tags of another language: in its own words, or not at all.

const { machine } = readMachine(
  JSON.stringify({
    name: 'Siskin 204',
    bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    reach: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188, bottom: 0, top: 226 },
    heat: { nozzle: { max: 262, minExtrude: 168 }, bed: { max: 97 } },
    nozzle: { diameter: 0.4 },
  }),
);

const NAMES = {
  tip: { kind: 'temperature', range: [150, 340] },
  'side-x': { kind: 'length', range: [-20, 260] },
  warm: { kind: 'flag' },
};
const vocabularyOf = (language: object) => {
  const { vocabulary, problems } = readVocabulary(JSON.stringify({ names: NAMES, ...language }));
  expect(problems.filter(({ severity }) => severity === 'error')).toEqual([]);
  return vocabularyFor(machine, vocabulary);
};
const analysed = (language: object, text: string): Analysis => analyze(text, 'start', machine, vocabularyOf(language));

const HYPHENS = { letters: '-' };
const WORDS = {
  delimiters: [['<<', '>>']],
  keywords: { if: 'when', elseIf: 'or when', else: 'otherwise', end: 'done', set: 'let NAME = VALUE' },
  expressions: {
    names: HYPHENS,
    operators: { and: 'and', or: 'or', not: 'not', equal: '=' },
    functions: { lesser: 'min', greater: 'max', pick: { gives: 'number', range: [0, 10] } },
  },
};
const FILTERS = {
  delimiters: [['{', '}']],
  expressions: {
    names: HYPHENS,
    operators: { or: 'or' },
    calls: ['a | f: b'],
    functions: { at_most: 'min', at_least: 'max' },
  },
};
const FRONT = {
  delimiters: [['[[', ']]']],
  expressions: {
    names: { marks: ['.'], letters: '-' },
    calls: ['f a b'],
    operators: { and: 'and', more: 'gt', less: 'lt' },
    functions: { lesser: 'min', greater: 'max' },
  },
};
const NO_FUNCTIONS = { delimiters: [['{', '}']], expressions: { names: HYPHENS, functions: {} } };
const EQUAL_ENDS = {
  delimiters: [['%', '%', 'values']],
  expressions: { names: HYPHENS, operators: { remainder: 'mod' } },
};

/** The row that a rule's first fix leaves behind; null: it has none. */
function fixed(a: Analysis, rule: string): string | null {
  const finding = a.findings.find((one) => one.rule === rule);
  if (!finding) throw new Error(`no ${rule} in ${a.findings.map((one) => one.rule).join()}`);
  const [fix] = fixesOf(a, finding).filter(({ title }) => !/^Ignore/.test(title));
  const [edit] = fix?.edits ?? [];
  if (!edit) return null;
  const text = a.tree.text.slice(0, edit.span.start) + edit.text + a.tree.text.slice(edit.span.end);
  return text.split('\n').find((row, i) => row !== a.tree.text.split('\n')[i]) ?? null;
}

describe('a fix that writes an expression', () => {
  it.each([
    ['by the language’s own functions', WORDS, 'M109 S<<tip>>', 'M109 S<<lesser(tip, 262)>>'],
    ['behind the value', FILTERS, 'M109 S{tip + 4}', 'M109 S{tip + 4 | at_most: 262}'],
    ['in front, with marks', FRONT, 'M109 S[[.tip]]', 'M109 S[[lesser .tip 262]]'],
    ['not at all without such a function', NO_FUNCTIONS, 'M109 S{tip}', null],
    ['not at all where a tag holds names alone', EQUAL_ENDS, 'M109 S%tip%', null],
    ['in a figure all the same', NO_FUNCTIONS, 'M109 S300', 'M109 S262'],
  ])('does so %s', (_, language, row, after) => {
    expect(fixed(analysed(language, `G28\n${row}\n`), 'too-hot')).toBe(after);
  });

  it.each([
    ['WORDS', WORDS, 'X<<side-x>>', 'X<<greater(side-x, reach.left)>>'],
    ['FILTERS', FILTERS, 'X{side-x}', 'X{side-x | at_least: reach.left}'],
    ['FRONT', FRONT, 'X[[.side-x]]', 'X[[greater .side-x .reach.left]]'],
    ['NO_FUNCTIONS', NO_FUNCTIONS, 'X{side-x}', null],
    ['EQUAL_ENDS', EQUAL_ENDS, 'X%side-x%', null],
  ])('keeps a place within the reach: %s', (_, language, word, after) => {
    const row = fixed(analysed(language, `G21\nG90\nG28\nG1 ${word} F4000\n`), 'beyond-reach');
    expect(row).toBe(after === null ? null : `G1 ${after} F4000`);
  });

  it('says in messages what that language has', () => {
    const told = (language: object, row: string): string =>
      analysed(language, `G28\n${row}\n`)
        .findings.map(({ message }) => message)
        .join('\n');
    expect(told(WORDS, 'M140 S<<side-x>>')).toMatch(/Keep it there with greater\(…, 0\)/);
    expect(told(FILTERS, 'M140 S{side-x}')).toMatch(/Keep it there with … \| at_least: 0/);
    expect(told(NO_FUNCTIONS, 'M140 S{side-x}')).not.toMatch(/Keep it there/);
    expect(told(WORDS, 'G1 F<<100 / side-x>>')).toMatch(/Keep it above 0 with greater\(\)/);
    expect(told(NO_FUNCTIONS, 'G1 F{100 / side-x}')).not.toMatch(/max\(/);
  });
});

describe('a line written out in each of its ways', () => {
  const ways = (language: object, line: string): string | null => {
    const a = analysed(language, line);
    return spellOut({ ...a, vocabulary: a.vocabulary });
  };

  it('is in the language’s statements, with its own word for the opposite', () => {
    expect(ways(WORDS, '<<when tip = 200>>; aside <<done>>M190 S60')).toBe(
      '<< when tip = 200 >>\n; aside M190 S60\n<< done >>\n<< when not (tip = 200) >>\nM190 S60\n<< done >>',
    );
  });

  it('is left as it is where nothing says the opposite', () => {
    const full = vocabularyOf(WORDS);
    const { grammar } = full;
    const operators = grammar?.operators.filter(({ does }) => does !== 'not') ?? [];
    const bare = { ...full, ...(grammar ? { grammar: { ...grammar, operators } } : {}) };
    const a = analyze('<<when tip = 200>>; aside <<done>>M190 S60', 'start', machine, bare);
    expect(spellOut({ ...a, vocabulary: bare })).toBeNull();
  });
});

describe('a text that another vocabulary describes', () => {
  const to = (language: object) => ({
    ...vocabularyOf(language),
    standIns: new Map([['heat.nozzle.first', 'tip']]),
  });
  const ours = vocabularyFor(machine);
  const carry = (text: string, language: object): string[] | null =>
    carried(text, ours, to(language))?.map((edit) => edit.text) ?? null;
  const back = (text: string, language: object): string[] | null =>
    carried(text, to(language), ours)?.map((edit) => edit.text) ?? null;

  it('is written by the other one’s operators, functions and statements', () => {
    const text =
      '{{# heat.nozzle.first > 200 && !(heat.nozzle.first == 230) }}\nM104 S{{ min(heat.nozzle.first, 240) }}\n{{/}}\n';
    expect(carry(text, WORDS)).toEqual([
      '<< when tip > 200 and (not (tip = 230)) >>',
      '<< lesser(tip, 240) >>',
      '<< done >>',
    ]);
  });

  it('is read by its own', () => {
    const text = '<<when tip = 200 or not warm>>\nM104 S<<lesser(tip - 4, 240)>>\n<<otherwise>>\nM107\n<<done>>\n';
    // No name of ours is a flag, and no branch of ours is an else.
    expect(back(text, WORDS)).toBeNull();
    expect(back('<<when tip = 200>>\nM104 S<<lesser(tip - 4, 240)>>\n<<done>>\n', WORDS)).toEqual([
      '{{# heat.nozzle.first == 200 }}',
      '{{ min(heat.nozzle.first - 4, 240) }}',
      '{{/}}',
    ]);
    expect(back('M104 S{tip | at_most: 240}\n', FILTERS)).toEqual(['{{ min(heat.nozzle.first, 240) }}']);
    expect(back('M104 S[[lesser .tip 240]]\n', FRONT)).toEqual(['{{ min(heat.nozzle.first, 240) }}']);
  });

  it('stays as it is where the other one has no word for something', () => {
    expect(carry('M104 S{{ max(heat.nozzle.first, 240) }}\n', NO_FUNCTIONS)).toBeNull();
    expect(carry('M104 S{{ min(heat.nozzle.first, 240) }}\n', EQUAL_ENDS)).toBeNull();
    expect(carry('M104 S{{ heat.nozzle.first }}\n', EQUAL_ENDS)).toEqual(['%tip%']);
    expect(back('M104 S<<pick(tip)>>\n', WORDS)).toBeNull();
  });

  it('goes through a list only where the other one can do so without a name for the element', () => {
    const text = '{{# tools }}\nG4 P40\n{{/}}\n';
    const loops = { ...WORDS, names: { ...NAMES, tools: { standsFor: 'tools' } } };
    expect(carry(text, loops)).toBeNull();
    const each = { ...loops, keywords: { ...WORDS.keywords, each: 'through LIST' } };
    expect(carry(text, each)).toEqual(['<< through tools >>', '<< done >>']);
    const named = { ...loops, keywords: { ...WORDS.keywords, each: 'for ITEM in LIST' } };
    expect(carry(text, named)).toBeNull();
  });

  it('has statements on rows of their own only where their tags stand alone', () => {
    const rows = { ...WORDS, delimiters: [['<<', '>>', 'values']], lineStatements: ['@'] };
    expect(carry('{{# heat.nozzle.first > 200 }}\nM107\n{{/}}\n', rows)).toEqual(['@when tip > 200', '@done']);
    expect(carry('{{# heat.nozzle.first > 200 }}M107{{/}}\n', rows)).toBeNull();
  });
});

describe('inside the tags of another language', () => {
  /** What completion leaves behind where | stands, by the item of this name. */
  const completed = (language: object, row: string, label: string): string | null => {
    const text = row.replace('|', '');
    const a = analysed(language, text);
    const item = complete(a, row.indexOf('|')).items.find((one) => one.label === label);
    return item ? text.slice(0, item.span.start) + item.text + text.slice(item.span.end) : null;
  };

  it.each([
    [WORDS, 'M104 S<<ti|>>', 'tip', 'M104 S<< tip >>'],
    [WORDS, 'M104 S<< tip + side|-x >>', 'side-x', 'M104 S<< tip + side-x >>'],
    [WORDS, '<<when warm and |>>', 'tip', '<<when warm and tip>>'],
    [WORDS, 'M104 S<< le| >>', 'lesser', 'M104 S<< lesser( >>'],
    [WORDS, 'M104 S<< le| >>', 'min', null],
    [WORDS, '<<let lift = |>>', 'tip', '<<let lift = tip >>'],
    [FILTERS, 'M104 S{t|}', 'tip', 'M104 S{tip}'],
    [FRONT, 'M104 S[[ lesser .t| ]]', 'tip', 'M104 S[[ lesser .tip ]]'],
    [FRONT, 'M104 S[[ lesser | ]]', 'tip', 'M104 S[[ lesser .tip ]]'],
    [EQUAL_ENDS, 'M104 S%ti|%', 'tip', 'M104 S%tip%'],
  ])('completion %# leaves the tag as the language writes it', (language, row, label, after) => {
    expect(completed(language, row, label)).toBe(after);
  });

  it('a sign that calls is followed by functions, and by nothing else', () => {
    const row = 'M104 S{tip | a}';
    const { items } = complete(analysed(FILTERS, row), row.indexOf('a}') + 1);
    expect(items.map(({ label }) => label)).toEqual(['at_most', 'at_least']);
    expect(items[0]?.text).toBe('at_most: ');
  });

  it('names with blanks are completed as a whole', () => {
    const language = {
      expressions: { names: { letters: ' ' } },
      names: { 'first bed': { kind: 'temperature' }, 'first tip': { kind: 'temperature' } },
    };
    expect(completed(language, 'M104 S{{ first t| }}', 'first tip')).toBe('M104 S{{ first tip }}');
  });

  const at = (row: string): [string, number] => [row.replace('|', ''), row.indexOf('|')];

  it('hover explains names and functions by the language’s own names', () => {
    const shown = (language: object, row: string): string => {
      const [text, offset] = at(row);
      return hover(analysed(language, text), offset)?.markdown ?? '';
    };
    expect(shown(WORDS, 'M104 S<<lesser(si|de-x, 4)>>')).toMatch(/side-x.*length, mm/);
    expect(shown(WORDS, 'M104 S<<les|ser(side-x, 4)>>')).toMatch(
      /`lesser\(a, b, …\)`[\s\S]*smallest[\s\S]*Here: -20 to 4/,
    );
    const filter = 'M104 S{tip | at_most: 240}';
    expect(hover(analysed(FILTERS, filter), filter.indexOf('most'))?.markdown).toMatch(/`at_most\(a, b, …\)`/);
    expect(shown(WORDS, 'M104 S<<pi|ck(tip)>>')).toMatch(/gives a number, 0 to 10/);
    expect(shown(WORDS, 'M104 S<<gues|s(tip)>>')).toMatch(/does not declare/);
  });

  it('signature help counts arguments by what parts them there', () => {
    const help = (language: object, row: string) => {
      const [text, offset] = at(row);
      return signatureHelp(analysed(language, text), offset);
    };
    expect(help(WORDS, 'M104 S<<lesser(tip, |4)>>')).toMatchObject({ signature: 'lesser(a, b, …)', active: 1 });
    const table = {
      delimiters: [['{=', '}']],
      expressions: { names: HYPHENS, choice: 'IF(CONDITION;YES;NO)', functions: { LESSER: 'min' } },
    };
    expect(help(table, 'M104 S{=LESSER(tip;|4)}')).toMatchObject({ signature: 'LESSER(a, b, …)', active: 1 });
    expect(help(WORDS, 'M104 S<<min(tip, |4)>>')).toBeNull();
  });

  it('colors the name of a function where it stands', () => {
    const text = 'M104 S{tip | at_most: 240}\n';
    const functions = semanticTokens(analysed(FILTERS, text)).filter(({ type }) => type === 'function');
    expect(functions.map(({ span }) => text.slice(span.start, span.end))).toEqual(['at_most']);
  });

  it('a name is found wherever it stands: set, used, repeated by a closer, without its mark', () => {
    const language = {
      ...WORDS,
      keywords: { if: 'when', end: 'done CONDITION', set: 'let NAME = VALUE' },
      expressions: { ...WORDS.expressions, names: { marks: ['$'], letters: '-' } },
    };
    const text = '<<let $tip = $tip + 4>>\n<<when $warm>>\nM104 S<<$tip>>\n<<done $warm>>\n';
    const a = analysed(language, text);
    const places = (name: string) =>
      usesOf(a).flatMap(({ key, span }) => (key === name ? [[span.start, text.slice(span.start, span.end)]] : []));
    expect(places('tip')).toEqual([
      [text.indexOf('tip'), 'tip'],
      [text.indexOf('tip', 10), 'tip'],
      [text.lastIndexOf('tip'), 'tip'],
    ]);
    expect(places('warm').map(([, written]) => written)).toEqual(['warm', 'warm']);
  });

  it('a name becomes what the language may call one, and nothing else', () => {
    const vocabulary = vocabularyOf(WORDS);
    const fault = (to: string) => newNameFault(vocabulary, 'tip', to, []);
    expect(fault('first-tip')).toBeNull();
    expect(fault('1st-tip')).toBeNull();
    expect(fault('first tip')).toMatch(/letters/);
    expect(fault('and')).toMatch(/also the operator and/);
    expect(fault('when')).toMatch(/begins a keyword/);
    expect(newNameFault(vocabularyFor(machine), 'part.top', 'first-tip', [])).toMatch(/cannot be used/);
  });
});
