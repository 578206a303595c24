import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { jobEnv } from '../../../server/src/placeholders/environment.ts';
import { analyze, prepare } from '../../../server/src/service/analyze.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

// Lists whose elements have names of their own: in exact jobs, over all jobs, and as filled in.

const { machine } = readMachine(
  JSON.stringify({
    name: 'Stilt 318',
    bed: { shape: 'rectangle', left: 0, right: 318, front: 0, back: 274 },
    heat: { nozzle: { max: 300, minExtrude: 180 }, bed: { max: 120 } },
    tools: 3,
  }),
);
const vocabulary = vocabularyFor(machine);
const LIST = 'G28\n{{#tools}}\nM104 T{{ number }} S{{ temperature.first + 5 }}\n{{/tools}}\n';

const targets = (text: string, job: ReadonlyMap<string, number>): (number | null)[] => {
  const { end } = simulate(prepare(text, 'start', machine), jobEnv(vocabulary, job));
  return end.nozzles.map(({ target }) => (target && target.lo === target.hi ? target.lo : null));
};

describe('exact jobs', () => {
  it('each element has its own values: one for all, rising, or said for one element', () => {
    const job = new Map([
      ['tools', 3],
      ['tools[].number', 0],
      ['tools[].temperature.first', 200],
      ['tools[1].temperature.first', 240],
    ]);
    expect(targets(LIST, job)).toEqual([205, 245, 205]);
  });

  it('a rising value stays within its range', () => {
    const job = new Map([
      ['tools', 3],
      ['tools[].number', 1],
      ['tools[].temperature.first', 200],
    ]);
    // Numbers 1, 2, 2: the last tool twice, the first never.
    expect(targets(LIST, job)).toEqual([0, 205, 205]);
  });

  it('on one row: a list of one element is known, a longer one is left open', () => {
    const row = '{{#tools}}M104 T{{number}} S{{temperature.first}}{{/tools}}';
    const job = (tools: number) =>
      new Map([
        ['tools', tools],
        ['tools[].number', 1],
        ['tools[].temperature.first', 200],
      ]);
    expect(targets(row, job(1))).toEqual([0, 200, 0]);
    expect(targets(row, job(2))).toEqual([null, null, null]);
  });

  it('the simulator sees what the filled text says', () => {
    for (const tools of [1, 2, 3]) {
      const job = { tools, 'tools[].temperature.first': 190 + tools };
      const { text, problems } = fillIn(prepare(LIST, 'start', machine), vocabulary, job, true);
      expect(problems).toEqual([]);
      const exact = new Map(Object.entries({ ...job, 'tools[].number': 0 }));
      expect(targets(text, new Map())).toEqual(targets(LIST, exact));
    }
  });
});

describe('all jobs at once', () => {
  const found = (text: string) =>
    analyze(text, 'start', machine, vocabulary).findings.filter(({ rule }) =>
      ['too-hot', 'unknown-placeholder', 'no-value-here'].includes(rule),
    );

  it('a finding names the element’s value that it needs', () => {
    const [hot] = found(LIST.replace('+ 5', '+ 20'));
    expect(hot?.rule).toBe('too-hot');
    expect(Object.keys(hot?.when ?? {})).toEqual(['tools[].temperature.first']);
    expect(hot?.message).toContain('temperature.first of each of tools is 300');
    // The witness is a job that can be filled in and shows it.
    const prepared = prepare(LIST.replace('+ 5', '+ 20'), 'start', machine);
    expect(fillIn(prepared, vocabulary, hot?.when, true).text).toContain('S320');
  });

  it('an element’s names are known in its section only, and hide what begins like them', () => {
    expect(found('{{#tools}}{{number}}{{/tools}}')).toEqual([]);
    expect(found('{{number}}').map(({ rule }) => rule)).toEqual(['unknown-placeholder']);
    expect(found('{{#tools}}{{/tools}}{{ number }}').map(({ rule }) => rule)).toEqual(['unknown-placeholder']);
    expect(found('{{^tools}}{{number}}{{/tools}}').map(({ rule }) => rule)).toEqual(['unknown-placeholder']);
    expect(found('{{#tools}}{{temperature}}{{/tools}}').map(({ rule }) => rule)).toEqual(['unknown-placeholder']);
    expect(found('{{#tools}}{{ heat.bed.first }}{{/tools}}')).toEqual([]);
  });

  it('a point is the element, which has names; in a section inside it is that section’s value', () => {
    expect(found('{{#tools}}{{.}}{{/tools}}')[0]?.message).toContain(
      'number, temperature.first, temperature.later, used.length or used.mass',
    );
    expect(found('{{#tools}}{{#heat.bed.first}}{{.}}{{/}}{{/tools}}')).toEqual([]);
  });

  it.each(['\n', ''])('sections over lists 10,000 deep, with %j between: no throw', (between) => {
    const text = `${`{{#tools}}${between}`.repeat(10_000)}T{{number}}${`${between}{{/tools}}`.repeat(10_000)}`;
    expect(analyze(text, 'start', machine, vocabulary).tree.text).toBe(text);
  });
});
