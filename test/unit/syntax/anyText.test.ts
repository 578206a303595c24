import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeAt } from '../../../server/src/syntax/at.ts';
import { ANY_FORM, type NamedForm } from '../../../server/src/syntax/namedForm.ts';
import type { Item, Line, Tree, Word } from '../../../server/src/syntax/nodes.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { decode } from '../../../server/src/text/decode.ts';
import type { Span } from '../../../server/src/text/span.ts';
import { FORMS } from './forms.ts';

/** An invented start sequence with everything the syntax knows. */
const SEQUENCE = [
  '\ufeff; Heron 228, warm start (bed first)',
  '%',
  'N10 G21 G90*33',
  'M140 S{{heat.bed.first}} ; {{! keep this order }}',
  'M117 Heating to {{heat.nozzle.first}} C',
  'G28 X Y',
  '{{# heat.chamber > 0 }}',
  'STEEP_BED MINUTES={{ max(5,\n  heat.chamber / 10) }} NAME="part {{part.kind}}" FAST',
  '{{^ filament.kind == "soft" }}',
  'G1 E-{{retract}}.5 F1800 (short',
  '{{/}}',
  '{{/ heat.chamber > 0 }}',
  'g1x10y+.5e2 X1e3 Y1,5 Z\u22125 E1 2 ,',
  'G1 X{{#a}}1{{/a}}{{^a}}2{{/a}} Y[1+2] "odd" \u201cquoted\u201d',
  '{{=<% %>=}}G1 Z<% layer.first %> {{no}} <%={{ }}=%>',
  'T{{tool.number}}',
  'G{{a}} {{b}} X\u00a05',
].join('\r\n');

// `npm run fuzz` asks for so many random texts and edits in all, half of each, from another seed on.
const TEXTS = Number(process.env.BOOKEND_TEXTS ?? 0);
const FIRST = Number(process.env.BOOKEND_FIRST ?? 0);

/** Parameters of a property: so many runs, or its share of the texts that are asked for. */
const runs = (seed: number, numRuns: number, share: number) => ({
  seed: FIRST + seed,
  numRuns: TEXTS > 0 ? Math.ceil(TEXTS * share) : numRuns,
});

/** Everything that must hold for a tree, whatever its text. */
function checkTree(text: string, named: NamedForm = ANY_FORM): void {
  const tree = parse(text, { named });
  checkTokens(tree);
  checkLines(tree);
  checkItems(tree);
  inOrder(
    tree.tags.map((t) => t.span),
    { start: 0, end: text.length },
  );
  for (const tag of tree.tags) within(tag.inner, tag.span);
  for (const section of tree.sections) {
    within(section.open.span, section.span);
    if (section.close) within(section.close.span, section.span);
    if (section.parent) within(section.span, section.parent.span);
  }
  let last = 0;
  for (const problem of tree.problems) {
    within(problem.span, { start: 0, end: text.length });
    expect(problem.span.start).toBeGreaterThanOrEqual(last);
    expect(problem.message).toMatch(/[.}]$/);
    last = problem.span.start;
  }
}

function checkTokens({ tokens, text }: Tree): void {
  let end = 0;
  for (let i = 0; i < tokens.count; i++) {
    if ((tokens.ends[i] as number) <= end) throw new Error(`token ${i} is empty or goes back`);
    end = tokens.ends[i] as number;
  }
  expect(end).toBe(text.length);
  expect(tokens.kinds.length).toBe(tokens.count);
}

function checkLines({ lines, text }: Tree): void {
  let at = 0;
  lines.forEach((line, i) => {
    expect(line.index).toBe(i);
    expect(line.span.start).toBe(at);
    expect(line.eol.start).toBe(line.span.end);
    expect(['', '\n', '\r', '\r\n']).toContain(text.slice(line.eol.start, line.eol.end));
    expect(line.eol.end === line.eol.start).toBe(i === lines.length - 1);
    at = line.eol.end;
    checkLine(line);
  });
  expect(at).toBe(text.length);
}

function checkLine(line: Line): void {
  inOrder(
    line.commands.map((c) => c.span),
    line.span,
  );
  inOrder(
    line.comments.map((c) => c.span),
    line.span,
  );
  if (line.checksum) within(line.checksum.span, line.span);
  if (line.number) checkWord(line.number, line.span);
  for (const command of line.commands) {
    within(command.codeSpan, command.span);
    if (command.freeText) within(command.freeText, command.span);
    inOrder(
      command.words.map((w) => w.span),
      command.span,
    );
    for (const word of command.words) checkWord(word, command.span);
  }
}

function checkWord(word: Word, parent: Span): void {
  within(word.span, parent);
  within(word.keySpan, word.span);
  const { value } = word;
  if (!value) return;
  within(value.span, word.span);
  if (value.type === 'number') expect(Number.isFinite(value.number)).toBe(true);
  if (value.type === 'filled')
    inOrder(
      value.parts.map((p) => ('span' in p ? p.span : p)),
      value.span,
    );
}

function checkItems(tree: Tree): void {
  const seen: Line[] = [];
  const stack: Item[] = [...tree.items].reverse();
  for (let item = stack.pop(); item; item = stack.pop()) {
    if (item.type === 'line') seen.push(item);
    else stack.push(...[...item.items].reverse());
  }
  expect(seen.length).toBe(tree.lines.length);
  seen.forEach((line, i) => {
    if (line !== tree.lines[i]) throw new Error(`line ${i} is not in its place`);
  });
}

function within(inner: Span, outer: Span): void {
  const holds = inner.start >= outer.start && inner.end <= outer.end && inner.start <= inner.end;
  if (!holds) throw new Error(`${inner.start}–${inner.end} is not within ${outer.start}–${outer.end}`);
}

function inOrder(spans: readonly Span[], parent: Span): void {
  let at = parent.start;
  for (const s of spans) {
    within(s, { start: at, end: parent.end });
    at = s.end;
  }
}

/** Small pieces that mean something, so that random texts meet every path. */
const PIECES = [
  '{{',
  '}}',
  '{{{',
  '{{#a}}',
  '{{/}}',
  '{{/a}}',
  '{{^b}}',
  '{{!',
  '{{=< >=}}',
  '<',
  '>',
  '{{a}}',
  'G',
  'M117 ',
  'X',
  'E',
  'e',
  'O',
  'N',
  'T',
  '*',
  ';',
  '(',
  ')',
  '"',
  '[',
  ']',
  '1',
  '.',
  '-',
  ',',
  ' ',
  '\t',
  '\n',
  '\r',
  '\r\n',
  '_',
  'KEY=',
  '=',
  '%',
  '\u00a0',
  '\u2212',
  '\u201c',
  '\ufeff',
  '\uff27',
  '\uff11',
  '😀',
  '\0',
  '\u200b',
  'STEEP_BED ',
  'key:',
  'fast-',
  'minutes',
  'GO',
];

describe('any text at all', () => {
  it('gives a tree whose tokens cover it and whose nodes lie in one another, in order', () => {
    checkTree('');
    checkTree(SEQUENCE);
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...PIECES), { maxLength: 60 }), fc.constantFrom(...FORMS), (p, named) =>
        checkTree(p.join(''), named),
      ),
      runs(1, 3000, 0.2),
    );
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (text) => checkTree(text)),
      runs(2, 500, 0.1),
    );
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (b) => checkTree(decode(b).text)),
      runs(3, 500, 0.1),
    );
  });

  it('also while a real sequence is being edited', () => {
    const edit = fc.record({ at: fc.nat(SEQUENCE.length), cut: fc.nat(12), put: fc.constantFrom('', ...PIECES) });
    fc.assert(
      fc.property(fc.array(edit, { minLength: 1, maxLength: 8 }), (edits) => {
        let text = SEQUENCE;
        for (const { at, cut, put } of edits) text = text.slice(0, at) + put + text.slice(at + cut);
        checkTree(text);
      }),
      runs(4, 500, 0.5),
    );
    for (let end = 0; end <= SEQUENCE.length; end++) checkTree(SEQUENCE.slice(0, end));
  });

  it('also where a line begins with a named command, in every form', () => {
    const line = fc.array(fc.constantFrom(...PIECES), { maxLength: 20 }).map((p) => `warm-up ${p.join('')}`);
    fc.assert(
      fc.property(fc.array(line, { maxLength: 4 }), fc.constantFrom(...FORMS), (lines, named) =>
        checkTree(lines.join('\n'), named),
      ),
      runs(5, 2000, 0.1),
    );
  });

  it('gives the same tree again', () => {
    expect(parse(SEQUENCE)).toEqual(parse(SEQUENCE));
  });

  it('answers what stands at every offset', () => {
    const tree = parse(SEQUENCE);
    for (let at = -1; at <= SEQUENCE.length + 1; at++) {
      const { line, command, word, tag } = placeAt(tree, at);
      const inside = Math.min(Math.max(at, 0), SEQUENCE.length);
      within({ start: inside, end: inside }, { start: line.span.start, end: line.eol.end });
      for (const node of [command, word, tag]) if (node) within({ start: inside, end: inside }, node.span);
    }
  });
});
