import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Grammar } from '../../../server/src/placeholders/grammar.ts';
import type { TagLanguage } from '../../../server/src/syntax/tagStyle.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { read, told } from './support.ts';

const languageOf = (content: object): TagLanguage => {
  const { language, problems } = read(content);
  expect(problems).toEqual([]);
  if (!language) throw new Error('no language');
  return language;
};
const grammarOf = (content: object): Grammar => {
  const { grammar, problems } = read(content);
  expect(problems).toEqual([]);
  if (!grammar) throw new Error('no grammar');
  return grammar;
};

describe('a file that says nothing of a construct', () => {
  it('has the marks and expressions that are Bookend’s own', () => {
    const { vocabulary } = readVocabulary('{"names": {"a": {}}}');
    expect(vocabulary).toMatchObject({ language: null, grammar: null });
    expect(vocabularyFor(null, vocabulary)).not.toHaveProperty('language');
    expect(vocabularyFor(null, vocabulary)).not.toHaveProperty('grammar');
  });

  it('of one pair and four words is what it always was', () => {
    const old = read({
      delimiters: [['«', '»']],
      keywords: { if: 'when', elseIf: 'or  when', else: 'otherwise', end: 'done' },
    });
    expect(old.problems).toEqual([]);
    expect(old.language).toEqual({
      pairs: [{ open: '«', close: '»', holds: 'anything' }],
      lineMarks: [],
      escapes: [],
      raw: [],
      trims: [],
      statements: [
        { is: 'if', form: 'when' },
        { is: 'elseIf', form: 'or when' },
        { is: 'else', form: 'otherwise' },
        { is: 'end', form: 'done' },
      ],
      quotes: ['"', "'"],
    });
    expect(old.grammar).toBeNull();
  });

  it('keeps what it does not name of operators, and drops a sign that it gave another meaning', () => {
    const { operators } = grammarOf({ expressions: { operators: { and: ['and', '&&'], equal: '=', power: '%' } } });
    const written = (does: string): string[] => operators.filter((one) => one.does === does).map((one) => one.written);
    expect(written('and')).toEqual(['and', '&&']);
    expect(written('equal')).toEqual(['=']);
    expect(written('or')).toEqual(['||']);
    expect(written('power')).toEqual(['%']);
    expect(written('remainder')).toEqual([]);
  });
});

describe('the example of the reference page', () => {
  it('is read without a finding', () => {
    const page = readFileSync(new URL('../../../docs/placeholders-file.md', import.meta.url), 'utf8');
    const examples = [...page.matchAll(/```jsonc\r?\n([\s\S]*?)```/g)].map(([, text = '']) => text);
    expect(examples).toHaveLength(2);
    for (const text of examples) expect(told(text)).toEqual([]);
  });
});

describe('a whole language', () => {
  const WHOLE = {
    name: 'Kettle',
    delimiters: [
      ['{{', '}}'],
      ['{%', '%}', 'statements'],
      ['{#', '#}', 'comments'],
      ['$', ''],
    ],
    lineStatements: ['@'],
    escapes: { '{{{{': '{{', $$: '$' },
    raw: [['{% raw %}', '{% endraw %}']],
    trims: ['-', '~'],
    keywords: {
      if: 'when',
      unless: 'unless',
      elseIf: ['or when', 'else if'],
      else: 'otherwise',
      end: ['done', '/when'],
      each: ['for each ITEM in LIST', 'LIST as ITEM, INDEX', 'LIST.forEach((ITEM, INDEX) => {'],
      switch: 'choose by',
      case: 'is',
      set: 'set NAME = VALUE',
      include: 'include NAME',
    },
    expressions: {
      operators: {
        and: ['and', '&&'],
        or: 'or',
        not: 'not',
        equal: ['=', 'eq'],
        notEqual: '<>',
        join: '~',
        otherwise: 'or else',
      },
      choice: ['YES if CONDITION else NO'],
      true: ['yes'],
      false: ['no'],
      nothing: ['none'],
      quotes: ['"', "'"],
      names: { marks: ['$'], letters: '-% ', caseMatters: false },
      calls: ['f(a, b)', 'a | f: b', 'a ! f(b)', 'f a b', 'a.f(b)'],
      functions: { lesser: 'min', pick: { gives: 'number', range: [0, 10] }, 'label of': { gives: 'text' } },
      formats: [':.Nf'],
      firstIndex: 0,
    },
    rules: {
      zeroHolds: true,
      wholeDivision: false,
      rounding: 'up',
      remainder: 'as the left side',
      power: 'before a sign',
      andOr: 'and first',
      notIsLast: true,
      missing: 'nothing',
      bareList: ['[', ', ', ']'],
      flagsWritten: ['yes', 'no'],
      wholeAs: '3',
      textPlusNumber: 'joined',
    },
    names: {
      'plate heat': { kind: 'temperature' },
      'tip-heat': { kind: 'temperature' },
      '2nd_tip': { kind: 'temperature' },
      'fill%': { kind: 'number' },
    },
  };

  it('is read without a finding, every way of every construct', () => {
    const language = languageOf(WHOLE);
    expect(language.pairs.map(({ open, close, holds }) => [open, close, holds])).toEqual([
      ['{{', '}}', 'anything'],
      ['{%', '%}', 'statements'],
      ['{#', '#}', 'comments'],
      ['$', '', 'anything'],
    ]);
    expect(language).toMatchObject({
      lineMarks: ['@'],
      escapes: [
        { written: '{{{{', gives: '{{' },
        { written: '$$', gives: '$' },
      ],
      raw: [['{% raw %}', '{% endraw %}']],
      trims: ['-', '~'],
    });
    expect(language.statements.filter(({ is }) => is === 'each').map(({ form }) => form)).toEqual(WHOLE.keywords.each);
    const grammar = grammarOf(WHOLE);
    expect(grammar.calls).toEqual([
      { is: 'brackets' },
      { is: 'filter', sign: '|', behind: ':' },
      { is: 'filter', sign: '!', behind: '(' },
      { is: 'words' },
      { is: 'method' },
    ]);
    expect([...grammar.functions]).toEqual([
      ['lesser', { is: 'ours', name: 'min' }],
      ['pick', { is: 'number', range: { lo: 0, hi: 10 } }],
      ['label of', { is: 'text' }],
    ]);
    expect(grammar.rules).toMatchObject({
      zeroHolds: true,
      emptyTextHolds: null,
      bareList: { is: 'joined', open: '[', between: ', ', close: ']' },
      flagsWritten: { true: 'yes', false: 'no' },
    });
    expect(grammar.names).toEqual({ marks: ['$'], letters: '-% ', caseMatters: false });
  });

  it('goes with the names into the vocabulary', () => {
    const vocabulary = vocabularyFor(null, read(WHOLE));
    expect(vocabulary.language?.pairs).toHaveLength(4);
    expect(vocabulary.grammar?.choices).toEqual(['YES if CONDITION else NO']);
    for (const name of Object.keys(WHOLE.names)) expect(vocabulary.names.has(name), name).toBe(true);
  });

  it('may have one sign for the sum and for joined texts, since the sides tell which', () => {
    const { operators } = grammarOf({ expressions: { operators: { add: '+', join: '+' } } });
    expect(operators.filter(({ written }) => written === '+')).toEqual([{ written: '+', does: 'add' }]);
  });

  it('may have delimiters of which one begins as another does', () => {
    const { pairs } = languageOf({
      delimiters: [
        ['<%', '%>', 'statements'],
        ['<%=', '%>', 'values'],
        ['{', '}'],
        ['${', '}'],
      ],
    });
    expect(pairs).toHaveLength(4);
  });
});

describe('what is wrong is told once, at its place, and the rest is used', () => {
  const rows: [string, string, string, RegExp][] = [
    [
      'a third text that is none',
      '{"delimiters": [["{", "}", "value"]]}',
      '"value"',
      /none of anything, values, statements and comments/,
    ],
    [
      'an end that opens another',
      '{"delimiters": [["[", "|"], ["|", "]"]]}',
      '["|", "]"]',
      /closes one pair|opens one pair and closes another/,
    ],
    ['a line statement like a command', '{"lineStatements": ["M"]}', '"M"', /with which commands begin too/],
    ['a line statement like a comment', '{"lineStatements": [";@"]}', '";@"', /begins like a comment/],
    ['a line statement twice', '{"lineStatements": ["@", "@"]}', '"@"', /twice/],
    ['an escape without a delimiter', '{"escapes": {"qq": "q"}}', '"q"', /has no sign of a delimiter in it/],
    ['an escape that opens a tag', '{"escapes": {"{{": "{"}}', '"{"', /could then never open a tag/],
    ['an escape that gives itself', '{"escapes": {"{{{{": "{{{{"}}', '"{{{{"', /gives itself/],
    ['a raw stretch like a tag', '{"raw": [["{{", "raw}}"]]}', '["{{", "raw}}"]', /no tag could be written/],
    ['a raw stretch that ends alike', '{"raw": [["<<", "<<"]]}', '["<<", "<<"]', /begins and ends alike/],
    ['a trim like a name', '{"trims": ["_"]}', '"_"', /a value would lose it/],
    ['a trim like a delimiter', '{"delimiters": [["~", "~"]], "trims": ["~"]}', '"~"', /also a delimiter/],
    ['a keyword of an unknown kind', '{"keywords": {"els": "x"}}', '"els"', /Did you mean “else”/],
    [
      'an each that does not say the list',
      '{"keywords": {"each": "for ITEM", "end": "x"}}',
      '"for ITEM"',
      /does not say where LIST stands/,
    ],
    ['a set without its value', '{"keywords": {"set": "let NAME"}}', '"let NAME"', /does not say where VALUE stands/],
    [
      'a slot that has no meaning there',
      '{"keywords": {"if": "when LIST", "end": "x"}}',
      '"when LIST"',
      /LIST has no meaning there/,
    ],
    ['a slot twice', '{"keywords": {"set": "NAME NAME = VALUE"}}', '"NAME NAME = VALUE"', /has NAME twice/],
    ['nothing but a slot', '{"keywords": {"if": "CONDITION", "end": "x"}}', '"CONDITION"', /nothing but CONDITION/],
    [
      'two slots that touch',
      '{"keywords": {"set": "let NAME VALUE"}}',
      '"let NAME VALUE"',
      /nothing stands between NAME/,
    ],
    [
      'a slip in a slot',
      '{"keywords": {"if": "when CONDITON", "end": "x"}}',
      '"when CONDITON"',
      /Did you mean CONDITION/,
    ],
    [
      'two kinds alike',
      '{"keywords": {"if": "when", "case": "when", "switch": "pick", "end": "x"}}',
      '"when"',
      /so is keywords.if/,
    ],
    ['one way twice', '{"keywords": {"if": ["when", "when"], "end": "x"}}', '"when"', /stands there twice/],
    ['a case without a switch', '{"keywords": {"case": "is"}}', '{"case": "is"}', /“case” and no “switch”/],
    [
      'a switch without a case',
      '{"keywords": {"switch": "by", "end": "x"}}',
      '{"switch": "by", "end": "x"}',
      /“switch” and no “case”/,
    ],
    [
      'sections that nothing holds',
      '{"delimiters": [["{", "}", "values"]], "keywords": {"if": "when", "end": "x"}}',
      '{"if": "when", "end": "x"}',
      /no delimiters hold statements/,
    ],
    [
      'two operators alike',
      '{"expressions": {"operators": {"and": "plus", "or": "plus"}}}',
      '"plus"',
      /they cannot be told apart/,
    ],
    ['an operator with a quote', '{"expressions": {"operators": {"and": "\'n\'"}}}', '"\'n\'"', /in which texts stand/],
    ['an operator like a number', '{"expressions": {"operators": {"and": "2x"}}}', '"2x"', /begins as a number does/],
    [
      'an operator with a bracket',
      '{"expressions": {"operators": {"and": "(+)"}}}',
      '"(+)"',
      /a bracket or comma of a call/,
    ],
    [
      'an operator of letters and signs',
      '{"expressions": {"operators": {"and": "a&b"}}}',
      '"a&b"',
      /letters and signs in one/,
    ],
    ['a blank operator', '{"expressions": {"operators": {"and": "  "}}}', '"  "', /is blank/],
    ['an operator of an unknown kind', '{"expressions": {"operators": {"adn": "x"}}}', '"adn"', /Did you mean “and”/],
    ['true and false alike', '{"expressions": {"true": "on", "false": "on"}}', '"on"', /they cannot be told apart/],
    [
      'a truth word that is an operator',
      '{"expressions": {"operators": {"and": "yes"}, "true": "yes"}}',
      '"yes"',
      /so is expressions.operators.and/,
    ],
    [
      'a choice without its condition',
      '{"expressions": {"choice": "YES or NO"}}',
      '"YES or NO"',
      /where CONDITION stands/,
    ],
    [
      'a choice whose parts touch',
      '{"expressions": {"choice": "if CONDITION YES else NO"}}',
      '"if CONDITION YES else NO"',
      /nothing between CONDITION and YES/,
    ],
    ['a quote of letters', '{"expressions": {"quotes": ["q"]}}', '"q"', /The quote “q” contains/],
    ['a mark that is an operator', '{"expressions": {"names": {"marks": ["-"]}}}', '"-"', /also the operator subtract/],
    ['a letter that calls need', '{"expressions": {"names": {"letters": "-("}}}', '"-("', /Names cannot hold “\(”/],
    ['an unknown form of call', '{"expressions": {"calls": ["call f"]}}', '"call f"', /not one of the forms/],
    [
      'a call by an operator',
      '{"expressions": {"operators": {"or": "|"}, "calls": ["a | f: b"]}}',
      '"a | f: b"',
      /also the operator or/,
    ],
    ['a format with its digits twice', '{"expressions": {"formats": [":NfN"]}}', '":NfN"', /has N twice/],
    ['a format that begins with digits', '{"expressions": {"formatsBehind": ["Nf"]}}', '"Nf"', /begins with N/],
    ['a format with a space', '{"expressions": {"formatsBehind": [". Nf"]}}', '". Nf"', /has a space in it/],
    ['a loop word that is no name', '{"expressions": {"loops": {"item": "(x"}}}', '"(x"', /cannot be read as a name/],
    [
      'a loop word for two things',
      '{"expressions": {"loops": {"item": "this", "isLast": "this"}}}',
      '"this"',
      /is also expressions\.loops\.item/,
    ],
    ['an unknown target', '{"expressions": {"functions": {"lesser": "mim"}}}', '"mim"', /Did you mean “min”/],
    [
      'a function that gives something else',
      '{"expressions": {"functions": {"f": {"gives": "nuber"}}}}',
      '{"gives": "nuber"}',
      /must be one of/,
    ],
    [
      'a range upside down',
      '{"expressions": {"functions": {"f": {"gives": "number", "range": [5, 2]}}}}',
      '{"gives": "number", "range": [5, 2]}',
      /the smaller one first/,
    ],
    [
      'a range of a text',
      '{"expressions": {"functions": {"f": {"gives": "text", "range": [0, 1]}}}}',
      '{"gives": "text", "range": [0, 1]}',
      /only for numbers/,
    ],
    [
      'a function that is an operator',
      '{"expressions": {"operators": {"and": "and"}, "functions": {"and": "min"}}}',
      '"and"',
      /is also expressions.operators.and/,
    ],
    ['a first index of 2', '{"expressions": {"firstIndex": 2}}', '2', /must be/],
    ['a slip in a rule', '{"rules": {"zeroHold": true}}', '"zeroHold"', /Did you mean “zeroHolds”/],
    ['a slip in a rule’s answer', '{"rules": {"rounding": "upp"}}', '"upp"', /Did you mean “up”/],
    ['true and false written alike', '{"rules": {"flagsWritten": ["x", "x"]}}', '["x", "x"]', /would look alike/],
    ['a bare list of two texts', '{"rules": {"bareList": ["[", "]"]}}', '["[", "]"]', /a list of three texts/],
    [
      'a name with its mark',
      '{"expressions": {"names": {"marks": ["$"]}}, "names": {"$a": {}}}',
      '"$a"',
      /is not part of it/,
    ],
    [
      'a name with an unknown letter',
      '{"expressions": {}, "names": {"a-b": {}}}',
      '"a-b"',
      /expressions.names.letters/,
    ],
    ['a name like a number', '{"expressions": {}, "names": {"1e5": {}}}', '"1e5"', /reads as a number/],
    [
      'a name like an operator',
      '{"expressions": {"operators": {"and": "und"}}, "names": {"und": {}}}',
      '"und"',
      /is also the operator and/,
    ],
    [
      'a name like a truth word',
      '{"expressions": {"true": "on"}, "names": {"on": {}}}',
      '"on"',
      /is also expressions.true/,
    ],
    [
      'two names in two cases',
      '{"expressions": {"names": {"caseMatters": false}}, "names": {"Lift": {}, "lift": {}}}',
      '"lift"',
      /one name where case does not matter/,
    ],
    ['items of a number', '{"names": {"a": {"kind": "length", "items": "text"}}}', '"text"', /only for lists/],
    [
      'a range of texts',
      '{"names": {"a": {"kind": "list", "items": "text", "itemRange": [0, 1]}}}',
      '[0, 1]',
      /only for numbers/,
    ],
    [
      'a length of a list per tool',
      '{"names": {"a": {"kind": "list", "perTool": true, "range": [0, 1]}}}',
      '[0, 1]',
      /contradict each other/,
    ],
    ['0 in a range that holds it', '{"names": {"a": {"range": [0, 5], "orZero": true}}}', 'true', /holds 0 anyway/],
    ['or zero of a text', '{"names": {"a": {"kind": "text", "orZero": true}}}', 'true', /only for numbers/],
  ];
  it.each(rows)('%s', (_, text, marked, message) => {
    const all = told(text);
    expect(all.map(([, m]) => m).join('\n')).toMatch(message);
    expect(all).toHaveLength(1);
    expect(all[0]?.[0]).toBe(marked);
  });

  it('a form that its own delimiter would end is refused, and goes on a line statement', () => {
    const text = '{"delimiters": [["{", "}"]], "keywords": {"if": "if (CONDITION) {", "end": "over"}}';
    expect(told(text).map(([at]) => at)).toEqual(['"if (CONDITION) {"']);
    const lines = {
      delimiters: [['{', '}', 'values']],
      lineStatements: ['@'],
      keywords: { if: 'if (CONDITION) {', end: '}' },
    };
    expect(languageOf(lines).statements).toHaveLength(2);
  });

  it('the other ways and constructs stay', () => {
    const { language, grammar, problems } = read({
      delimiters: [
        ['«', '»'],
        ['X', '»'],
      ],
      keywords: { if: ['when', 'set NAME'], end: 'done' },
      expressions: { operators: { and: ['and', '2'], or: 'or' }, functions: { lesser: 'min', f: 'mxa' } },
    });
    expect(problems).toHaveLength(4);
    expect(language?.pairs).toEqual([{ open: '«', close: '»', holds: 'anything' }]);
    expect(language?.statements).toEqual([
      { is: 'if', form: 'when' },
      { is: 'end', form: 'done' },
    ]);
    expect(grammar?.operators.filter(({ does }) => does === 'and')).toEqual([{ written: 'and', does: 'and' }]);
    expect([...(grammar?.functions.keys() ?? [])]).toEqual(['lesser']);
  });

  it('a language of 10 MB is read up to its limits', () => {
    const functions = Object.fromEntries(
      Array.from({ length: 200_000 }, (_, i) => [`f${i}`, { gives: 'number', range: [0, i] }]),
    );
    const text = JSON.stringify({ expressions: { functions } });
    expect(text.length).toBeGreaterThan(8_000_000);
    const { vocabulary, problems } = readVocabulary(text);
    expect(problems.map(({ message }) => message).join()).toMatch(/has 200000 entries; 500 are read/);
    expect(vocabulary?.grammar?.functions.size).toBe(500);
  });

  it('whatever stands there, it never throws, and marks lie in the text', () => {
    const word = fc.constantFrom<unknown>(
      '{{',
      '}}',
      '',
      ' ',
      'when',
      'CONDITION',
      'YES if CONDITION else NO',
      '(',
      "'",
      'a | f: b',
      0,
      1,
      null,
      true,
      'values',
      '$',
      'min',
      '\n',
      'NAME = VALUE',
    );
    const { value } = fc.letrec((tie) => ({
      value: fc.oneof(
        { maxDepth: 4 },
        word,
        fc.array(tie('value'), { maxLength: 4 }),
        fc.dictionary(
          fc.constantFrom(
            'if',
            'end',
            'each',
            'set',
            'and',
            'operators',
            'functions',
            'names',
            'marks',
            'letters',
            'true',
            'quotes',
            'gives',
            'range',
            'bareList',
            '{{{{',
            '__proto__',
          ),
          tie('value'),
          { maxKeys: 5 },
        ),
      ),
    }));
    const root = fc.record(
      {
        delimiters: value,
        keywords: value,
        expressions: value,
        rules: value,
        escapes: value,
        raw: value,
        trims: value,
        lineStatements: value,
        names: value,
      },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(root, (given) => {
        const text = JSON.stringify(given);
        const { vocabulary, problems } = readVocabulary(text);
        for (const { span, message } of problems) {
          expect(span.start).toBeGreaterThanOrEqual(0);
          expect(span.end).toBeLessThanOrEqual(text.length);
          expect(message).toMatch(/[.?]$/);
        }
        const language = vocabulary?.language;
        for (const { open } of language?.pairs ?? []) expect(open).not.toBe('');
        for (const { written } of vocabulary?.grammar?.operators ?? []) expect(written.trim()).not.toBe('');
      }),
      { seed: 7, numRuns: 500 },
    );
  });
});
