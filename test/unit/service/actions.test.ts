import { describe, expect, test } from 'vitest';
import { type Action, actions } from '../../../server/src/service/actions.ts';
import { type Analysis, analyze } from '../../../server/src/service/analyze.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { analysed, HERON, PLOVER } from './support.ts';

/** Every action but the comments that ignore a rule, which each finding has. */
const everywhere = (a: Analysis): Action[] =>
  actions(a, { start: 0, end: a.tree.text.length }).filter(({ title }) => !title.startsWith('Ignore '));
const withEdits = (a: Analysis, rule: string): Action[] =>
  everywhere(a).filter(({ finding, show }) => finding.rule === rule && show === null);

function applied({ tree }: Analysis, { edits }: Action): string {
  if (edits.length === 0) throw new Error('an edit was expected');
  const fromBehind = [...edits].sort((a, b) => b.span.start - a.span.start);
  return fromBehind.reduce(
    (text, { span, text: by }) => text.slice(0, span.start) + by + text.slice(span.end),
    tree.text,
  );
}

/** What the text becomes with each action for a rule; the finding must be gone from it. */
function fixed(text: string, rule: string, role: Role = 'start', on = HERON): string[] {
  const a = analysed(text, role, on);
  const before = a.findings.filter((f) => f.rule === rule).length;
  return withEdits(a, rule).map((action) => {
    const after = applied(a, action);
    const left = analysed(after, role, on).findings.filter((f) => f.rule === rule);
    expect(left.length, after).toBeLessThan(before);
    return after;
  });
}

describe('did you mean', () => {
  test('one action for each name that may be meant', () => {
    expect(fixed('G28\nM109 S{{ heat.nozle.first }}\n', 'unknown-placeholder')).toContain(
      'G28\nM109 S{{ heat.nozzle.first }}\n',
    );
    expect(fixed('G28\nM141 S{{ chamber }}', 'unknown-placeholder')).toEqual(['G28\nM141 S{{ heat.chamber }}']);
  });
  test('an element’s own name in a list’s section', () => {
    const [first] = fixed('G28\n{{#tools}}\nT{{ nummber }}\n{{/tools}}', 'unknown-placeholder');
    expect(first).toBe('G28\n{{#tools}}\nT{{ number }}\n{{/tools}}');
  });
  test('of a section with the closing tag that repeats it', () => {
    const text = 'G28\n{{# heat.chambr > 30 }}\nM141 S40\n{{/heat.chambr  > 30}}\n';
    const [first = ''] = fixed(text, 'unknown-placeholder');
    expect(first).toBe('G28\n{{# heat.chamber > 30 }}\nM141 S40\n{{/heat.chamber > 30}}\n');
    expect(analysed(first).findings.map(({ rule }) => rule)).not.toContain('unclosed-placeholder');
    expect(fixed('{{#tols}}\nG28\n{{/}}', 'unknown-placeholder')).toEqual(['{{#tools}}\nG28\n{{/}}']);
  });
  test('commands and words of the machine’s own', () => {
    expect(fixed('G28\nDUST_THE_TP STROKES=3', 'unknown-command')).toEqual(['G28\nDUST_THE_TIP STROKES=3']);
    const words = fixed('G28\nDUST_THE_TIP STROKES=3 SPED=2', 'unknown-word');
    expect(words).toContain('G28\nDUST_THE_TIP STROKES=3 SPEED=2');
    expect(words).toContain('G28\nDUST_THE_TIP STROKES=3');
  });
  test('nothing where nothing is near', () => {
    expect(fixed('G28\nM109 S{{ qqqqqqqqq }}', 'unknown-placeholder')).toEqual([]);
    expect(fixed('G28\nM220 Z90', 'unknown-word')).toContain('G28\nM220');
  });
  test('a single candidate is preferred, one of several is not', () => {
    const a = analysed('G28\nM141 S{{ chamber }}\nM117 {{ first }}');
    const preferred = withEdits(a, 'unknown-placeholder').map((action) => action.preferred);
    expect(preferred).toEqual([true, false, false, false]);
  });
});

describe('numbers', () => {
  test.each([
    ['G1 X1,5', 'G1 X1.5'],
    ['G1 X1O', 'G1 X10'],
    ['G1 X1e1', 'G1 X10'],
  ])('%s becomes %s', (bad, good) => {
    expect(fixed(`G21\nG90\nG28\n${bad} F3000\n`, 'bad-number')).toEqual([`G21\nG90\nG28\n${good} F3000\n`]);
  });
  test('a look-alike of a blank: the title names what cannot be seen', () => {
    const a = analysed('G28\nM104\u00a0S200\n');
    const [first] = withEdits(a, 'bad-number');
    expect(first?.title).toBe('Write a plain space');
    expect(first && applied(a, first)).toBe('G28\nM104 S200\n');
  });
  test('nothing where it is not clear what is meant', () => {
    expect(fixed('G21\nG90\nG28\nG1 X1.2.3 F3000', 'bad-number')).toEqual([]);
  });
});

describe('close', () => {
  test('a tag behind its name, or behind its expression', () => {
    expect(fixed('G28\nM104 S{{ heat.nozzle.first\nM105', 'unclosed-placeholder')).toEqual([
      'G28\nM104 S{{ heat.nozzle.first }}\nM105',
    ]);
    expect(fixed('G28\nM104 S{{ heat.nozzle.first - 5\nM105', 'unclosed-placeholder')).toEqual([
      'G28\nM104 S{{ heat.nozzle.first - 5 }}\nM105',
    ]);
    expect(fixed('G28\nG1 Z{{ part.top + F600', 'unclosed-placeholder')).toEqual([]);
    expect(fixed('G28\nG1 Z{{ part.top + 2 F600', 'unclosed-placeholder')).toEqual([]);
  });
  test('a section at the end of the text, on a row of its own', () => {
    const open = 'G28\n{{# heat.chamber > 30 }}\nM141 S40';
    expect(fixed(open, 'unclosed-placeholder')).toEqual([`${open}\n{{/ heat.chamber > 30 }}`]);
    expect(fixed(`${open}\n`, 'unclosed-placeholder')).toEqual([`${open}\n{{/ heat.chamber > 30 }}\n`]);
  });
  test('a section inside one row at the end of that row, before its comment', () => {
    expect(fixed('G28 {{#heat.chamber}}X ; home\nM105', 'unclosed-placeholder')).toEqual([
      'G28 {{#heat.chamber}}X{{/heat.chamber}} ; home\nM105',
    ]);
  });
  test('an inner section before the tag that closes the one around it', () => {
    const text = '{{#heat.chamber}}\r\n{{#tools}}\r\nG28\r\n{{/heat.chamber}}\r\nM105';
    expect(fixed(text, 'unclosed-placeholder')).toEqual([
      '{{#heat.chamber}}\r\n{{#tools}}\r\nG28\r\n{{/tools}}\r\n{{/heat.chamber}}\r\nM105',
    ]);
  });
  test('not where sections cross', () => {
    expect(fixed('{{#tools}}\n{{#heat.chamber}}\n{{/tools}}\n{{/heat.chamber}}', 'unclosed-placeholder')).toEqual([]);
  });
  test('by the words of the vocabulary', () => {
    const file = {
      delimiters: [['«', '»']],
      keywords: { if: 'when', end: 'done' },
      names: { thrift: { kind: 'flag' } },
    };
    const names = vocabularyFor(HERON, readVocabulary(JSON.stringify(file)).vocabulary);
    const a = analyze('G28\n«when thrift»\nM105\n', 'start', HERON, names);
    const [close] = withEdits(a, 'unclosed-placeholder');
    expect(close && applied(a, close)).toBe('G28\n«when thrift»\nM105\n«done»\n');
  });
});

describe('keep within the reach', () => {
  const moved = (line: string): string => `G21\nG90\nG28\n${line}\n`;
  test('above: the smaller of the value and the top of the reach', () => {
    const lift = moved('G1 Z{{ part.top + 10 }} F600');
    expect(fixed(lift, 'beyond-reach')).toEqual([moved('G1 Z{{ min(part.top + 10, reach.top) }} F600')]);
  });
  test('below, and to the sides', () => {
    expect(fixed(moved('G1 Z{{ part.top - 20 }} F600'), 'beyond-reach')).toEqual([
      moved('G1 Z{{ max(part.top - 20, reach.bottom) }} F600'),
    ]);
    expect(fixed(moved('G1 X{{ part.right + 30 }} F600'), 'beyond-reach')).toEqual([
      moved('G1 X{{ min(part.right + 30, reach.right) }} F600'),
    ]);
    expect(fixed(moved('G1 Y{{ part.front - 30 }} F600'), 'beyond-reach')).toEqual([
      moved('G1 Y{{ max(part.front - 30, reach.front) }} F600'),
    ]);
  });
  test('not for plain numbers, values of several parts, steps, and round reaches', () => {
    expect(fixed(moved('G1 X300 F600'), 'beyond-reach')).toEqual([]);
    expect(fixed(moved('G1 X-{{ part.right }} F600'), 'beyond-reach')).toEqual([]);
    expect(fixed('G21\nG90\nG28\nG91\nG1 Z{{ part.top + 10 }} F600\n', 'beyond-reach')).toEqual([]);
    expect(fixed(moved('G1 X{{ part.right + 30 }} F600'), 'beyond-reach', 'start', PLOVER)).toEqual([]);
  });
  test('not where the vocabulary uses the name for something else', () => {
    const names = vocabularyFor(HERON);
    const own = new Map(names.names);
    own.delete('reach.top');
    const a = analyze(moved('G1 Z{{ part.top + 10 }} F600'), 'start', HERON, { ...names, names: own });
    expect(withEdits(a, 'beyond-reach')).toEqual([]);
  });
});

describe('show the job', () => {
  test('for a finding with a witness, with the same job', () => {
    const a = analysed('G21\nG90\nG28\nG1 Z{{ part.top + 10 }} F600\n');
    const shows = everywhere(a).filter(({ show }) => show !== null);
    expect(shows.map(({ finding }) => finding.rule)).toEqual(['beyond-reach']);
    expect(Number(shows[0]?.show?.['part.top'])).toBeGreaterThan(222);
  });
  test('not for one that every job has', () => {
    const a = analysed('G21\nG90\nG28\nG1 X300 F600\n');
    expect(a.findings.some(({ rule }) => rule === 'beyond-reach')).toBe(true);
    expect(everywhere(a).filter(({ show }) => show !== null)).toEqual([]);
  });
});

test('only what the span touches', () => {
  const text = 'G28\nM104 S{{ heat.nozle.first }}\nM140 S{{ heat.bd.first }}';
  const at = text.indexOf('heat.bd');
  const found = actions(analysed(text), { start: at, end: at }).filter(({ title }) => !title.startsWith('Ignore '));
  expect(found.length).toBeGreaterThan(0);
  expect(new Set(found.map(({ edits }) => edits[0]?.span.start))).toEqual(new Set([at]));
});
