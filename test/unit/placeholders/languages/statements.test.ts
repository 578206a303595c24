import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../../server/src/machineFile/load.ts';
import { scopesOf } from '../../../../server/src/placeholders/elements.ts';
import { boundsEnv, jobEnv } from '../../../../server/src/placeholders/environment.ts';
import { fill } from '../../../../server/src/placeholders/fill.ts';
import type { Grammar, Rules } from '../../../../server/src/placeholders/grammar.ts';
import { languageFor } from '../../../../server/src/placeholders/languageFor.ts';
import type { Job, Name, Vocabulary } from '../../../../server/src/placeholders/vocabulary.ts';
import { prepare } from '../../../../server/src/service/analyze.ts';
import { simulate } from '../../../../server/src/simulate/simulate.ts';
import { STYLE } from './build.ts';
import { grammar, operators } from './grammars.ts';

// Names that a text sets, loops with item and index, and lists with one value for each tool: as bounds, in exact jobs,
// and as filled in. The machine and the language are invented.

const { machine } = readMachine(
  JSON.stringify({
    name: 'Wagtail 204',
    bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    height: 226,
    heat: { nozzle: { max: 290, minExtrude: 170 }, bed: { max: 115 } },
    tools: 3,
  }),
);

const LANGUAGE: Grammar = grammar({
  operators: operators({
    and: 'and',
    or: 'or',
    '>': 'more',
    '<': 'less',
    '==': 'equal',
    '+': 'add',
    '/': 'divide',
    '-': 'subtract',
    '*': 'multiply',
  }),
  choices: ['YES if CONDITION else NO'],
  formats: [':.Nf'],
  rules: {
    zeroHolds: false,
    setInLoopHolds: true,
    wholeDivision: false,
    wholeAs: '3',
    andOr: 'and first',
    missing: 'stop',
  },
});

const numberName = (name: string, lo: number, hi: number, more: Partial<Name> = {}): Name => ({
  ...{ name, kind: 'length', unit: 'mm', meaning: '', sample: lo },
  range: { lo, hi },
  ...more,
});
const listName = (name: string, item: Name, lo: number, hi: number, more: Partial<Name> = {}): Name => ({
  ...{ name, kind: 'list', unit: '', meaning: '', sample: lo },
  range: { lo, hi },
  items: [item],
  ...more,
});

const OWN: readonly Name[] = [
  numberName('tall', 10, 100),
  numberName('lift', 2, 6),
  { ...numberName('tool', 0, 2, { whole: true }), kind: 'count' },
  { name: 'hot', kind: 'flag', unit: '', range: null, meaning: '', sample: true },
  listName('heats', numberName('.', 190, 250, { kind: 'temperature' }), 1, 3, { perTool: true }),
  listName('steps', numberName('.', 1, 4), 2, 3),
  listName('crew', numberName('.', 1, 3), 1, 3),
];
const vocabularyOf = (own: Partial<Rules> = {}, names = OWN): Vocabulary => ({
  names: new Map(names.map((name) => [name.name, name])),
  grammar: { ...LANGUAGE, rules: { ...(LANGUAGE.rules as Rules), ...own } },
  standIns: new Map([
    ['tool.number', 'tool'],
    ['tools', 'crew'],
  ]),
});

function prepared(text: string, vocabulary: Vocabulary) {
  return prepare(text, 'start', machine, STYLE, undefined, languageFor(vocabulary));
}

/** Where Z ends: over all jobs, or in one. */
function endZ(text: string, job?: Job, rules: Partial<Rules> = {}): readonly [number, number] | null {
  const vocabulary = vocabularyOf(rules);
  const env = job ? jobEnv(vocabulary, job) : boundsEnv(vocabulary);
  const { z } = simulate(prepared(`G28\nG90\n${text}`, vocabulary), env).end.at;
  // A sum whose parts cancel is left a hair's breadth.
  return z && [Math.round(z.lo * 1e6) / 1e6, Math.round(z.hi * 1e6) / 1e6];
}

describe('set', () => {
  it.each<[string, readonly [number, number] | null]>([
    ['{% set up = tall + 5 %}\nG1 Z{{ up }} F600\n', [15, 105]],
    ['{% set up = tall %}\n{% set up = up + lift %}\nG1 Z{{ up - tall }} F600\n', [2, 6]],
    ['{% set up = 20 %}\n{% if hot %}\n{% set up = 30 %}\n{% end %}\nG1 Z{{ up }} F600\n', [20, 30]],
    ['{% if hot %}\n{% set up = 30 %}\n{% else %}\n{% set up = 40 %}\n{% end %}\nG1 Z{{ up }} F600\n', [30, 40]],
    ['{% set up = 20 %}\n{% if tall > 5 %}\n{% set up = 30 %}\n{% end %}\nG1 Z{{ up }} F600\n', [30, 30]],
    [
      '{% set up = 20 %}\n{% if hot %}\n{% if lift > 4 %}\n{% set up = 25 %}\n{% end %}\n{% else %}\n{% set up = 7 %}\n{% end %}\nG1 Z{{ up }} F600\n',
      [7, 25],
    ],
    // What a loop leaves nobody can say, and nothing is claimed.
    ['{% set up = 20 %}\n{% if s in steps %}\n{% set up = up + s %}\n{% end %}\nG1 Z{{ up }} F600\n', null],
    ['{% set far = lift %}G1 Z{{ far * 2 }} F600\n', [4, 12]],
  ])('%j', (text, bounds) => expect(endZ(text)).toEqual(bounds));

  it('exact jobs lie within, and are what is filled in', () => {
    const text = '{% set up = tall %}\n{% if hot %}\n{% set up = up + lift %}\n{% end %}\nG1 Z{{ up * 2 }} F600\n';
    for (const hot of [true, false]) {
      const job = new Map<string, number | boolean>([
        ['tall', 31],
        ['lift', 4],
        ['hot', hot],
      ]);
      const z = hot ? 70 : 62;
      expect(endZ(text, job)).toEqual([z, z]);
      const vocabulary = vocabularyOf();
      const { tree, expressions } = prepared(text, vocabulary);
      const language = languageFor(vocabulary);
      const filled = fill(tree, Object.fromEntries(job), { expressions, ...(language ? { language } : {}) });
      expect(filled).toMatchObject({ text: `G1 Z${z} F600\n`, problems: [] });
    }
  });

  it('whether a name set in a loop keeps its value is asked for, where it decides', () => {
    const text = '{% set up = 20 %}{% if s in steps %}{% set up = s %}{% end %}Z{{ up }}';
    const at = (setInLoopHolds: boolean | null) => {
      const vocabulary = vocabularyOf({ setInLoopHolds });
      const { tree, expressions } = prepared(text, vocabulary);
      const language = languageFor(vocabulary);
      return fill(tree, { steps: [3, 4] }, { expressions, ...(language ? { language } : {}) });
    };
    expect(at(true).text).toBe('Z4');
    expect(at(false).text).toBe('Z20');
    expect(at(null).problems).toMatchObject([{ kind: 'rule', property: 'rules.setInLoopHolds' }]);
  });

  it('a set name is a name below, and none that the job must give', () => {
    const vocabulary = vocabularyOf();
    const { tree, expressions } = prepared('{% set up = "low" %}\n{{ up }}\n', vocabulary);
    const scopes = scopesOf(tree, expressions, vocabulary);
    const use = tree.tags.at(-1);
    expect(use && scopes.find(use, 'up')?.name).toMatchObject({ name: 'up', kind: 'text' });
    expect(use && scopes.find(use, 'down')).toBeUndefined();
    // Above it there is no such name, unless a loop comes back to it.
    const above = prepared('{{ up }}\n{% set up = 1 %}\n', vocabulary);
    const [early] = above.tree.tags;
    expect(early && scopesOf(above.tree, above.expressions, vocabulary).find(early, 'up')).toBeUndefined();
    const round = prepared('{% if s in steps %}\n{{ up }}\n{% set up = s %}\n{% end %}\n', vocabulary);
    const inside = round.tree.tags[1];
    expect(inside && scopesOf(round.tree, round.expressions, vocabulary).find(inside, 'up')?.name.name).toBe('up');
  });

  it('a name that is set from itself, or in a circle, is told once', () => {
    const problemsOf = (text: string): string[] =>
      [...prepared(text, vocabularyOf()).expressions.values()].flatMap(({ problem }) =>
        problem ? [problem.message] : [],
      );
    expect(problemsOf('{% set a = a + 1 %}{{ a }}')).toHaveLength(1);
    expect(problemsOf('{% set a = b %}{% set b = c %}{% set c = a %}{{ a }}')).toHaveLength(1);
    expect(problemsOf('{% set a = 1 %}{% set a = a + 1 %}{{ a }}')).toEqual([]);
    expect(problemsOf('{% set tall = tall + 1 %}{{ tall }}')).toEqual([]);
  });

  it('many settings in many branches stay cheap, and sound', () => {
    const rows = Array.from(
      { length: 400 },
      (_, i) => `{% if hot %}\n{% set up = up + ${i % 3} %}\n{% else %}\n{% set up = up * 1 %}\n{% end %}`,
    );
    expect(endZ(`{% set up = 20 %}\n${rows.join('\n')}\nG1 Z{{ up }} F600\n`)).toBeNull();
    const few = rows.slice(0, 30).join('\n');
    expect(endZ(`{% set up = 20 %}\n${few}\nG1 Z{{ up }} F600\n`)).toEqual([20, 50]);
  });
});

describe('loops', () => {
  it.each<[string, readonly [number, number] | null]>([
    ['{% if s in steps %}\nG1 Z{{ s + 10 }} F600\n{% end %}\n', [11, 14]],
    ['{% if s, i in steps %}\nG1 Z{{ i + 10 }} F600\n{% end %}\n', [11, 12]],
    ['{% if s in [5, 6, 9] %}\nG1 Z{{ s }} F600\n{% end %}\n', [9, 9]],
    ['{% if s in (2..4) %}\nG1 Z{{ s * 2 }} F600\n{% end %}\n', [8, 8]],
  ])('%j', (text, bounds) => expect(endZ(text)).toEqual(bounds));

  it('item and index are bound inside only', () => {
    const vocabulary = vocabularyOf();
    const { tree, expressions } = prepared('{% if s, i in steps %}\n{{ s }}\n{% end %}\n{{ s }}\n', vocabulary);
    const scopes = scopesOf(tree, expressions, vocabulary);
    const [, inside, , behind] = tree.tags;
    expect(inside && scopes.find(inside, 's')?.name).toMatchObject({ range: { lo: 1, hi: 4 } });
    expect(inside && scopes.find(inside, 'i')?.name.kind).toBe('count');
    expect(behind && scopes.find(behind, 's')).toBeUndefined();
  });
});

describe('lists and indexes', () => {
  it.each<[string, readonly [number, number] | null]>([
    ['G1 Z{{ steps[0] }} F600\n', [1, 4]],
    ['G1 Z{{ steps[1] + 5 }} F600\n', [6, 9]],
    ['G1 Z{{ tall:.1f }} F600\n', [10, 100]],
    ['G1 Z{{ lift / 4:.1f }} F600\n', [0.5, 1.5]],
    // A third element is there in some jobs only.
    ['G1 Z{{ steps[2] }} F600\n', null],
    ['G1 Z{{ heats[tool] - 180 }} F600\n', [10, 70]],
    ['G1 Z{{ heats[tool + 1] - 180 }} F600\n', null],
  ])('%j', (text, bounds) => expect(endZ(text)).toEqual(bounds));

  it('in a job the element of the tool in use', () => {
    const job: Job = new Map([
      ['crew', 3],
      ['tool', 1],
      ['heats[0]..', 200],
      ['heats[1]..', 215],
      ['heats[2]..', 230],
    ]);
    expect(endZ('G1 Z{{ heats[tool] - 180 }} F600\n', job)).toEqual([35, 35]);
    expect(endZ('G1 Z{{ heats[2] - 180 }} F600\n', job)).toEqual([50, 50]);
  });
});
