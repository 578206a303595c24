import { expect } from 'vitest';
import { extentOf, type Item, type Line, type Tree, type Word } from '../../../server/src/syntax/nodes.ts';
import { type ParseOptions, parse } from '../../../server/src/syntax/parse.ts';
import type { Span } from '../../../server/src/text/span.ts';

/** Everything that must hold for a tree, whatever its text. */
export function checkTree(text: string, options: ParseOptions = {}): void {
  const tree = parse(text, options);
  checkTokens(tree);
  checkLines(tree);
  checkItems(tree);
  inOrder(
    tree.tags.map((t) => t.span),
    { start: 0, end: text.length },
  );
  inOrder(tree.tags.map(extentOf), { start: 0, end: text.length });
  for (const tag of tree.tags) {
    within(tag.inner, tag.span);
    within(tag.span, extentOf(tag));
    for (const slot of Object.values(tag.slots ?? {})) within(slot, tag.span);
  }
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

export function within(inner: Span, outer: Span): void {
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
