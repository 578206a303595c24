import { between, openedBy } from '../syntax/at.ts';
import type { Line, Tag, Tree } from '../syntax/nodes.ts';
import { statementText, type WrittenStatement } from '../syntax/writeStatement.ts';
import { slice } from '../text/span.ts';
import { conditionKey } from './canonical.ts';
import type { Scopes } from './elements.ts';
import { type Expr, namesIn } from './expression.ts';

import { spellerOf } from './limited.ts';
import { tieOf } from './spell.ts';
import type { Expressions } from './tags.ts';
import { tagStyleOf, type Vocabulary } from './vocabulary.ts';

/** A text as far as this needs it. */
export interface SpeltLine {
  readonly tree: Tree;
  readonly expressions: Expressions;
  readonly scopes: Scopes;
  readonly vocabulary: Vocabulary;
}

/** More conditions than this on one line give more ways than are written out. */
const MOST_CONDITIONS = 4;
/** A text that gets longer than this is not written out. Characters. */
const LONGEST = 60_000;

/**
 * The same sequence with each way in which a line can turn out as a line of its own, in a section for it: a line of
 * `{{# c }}; aside {{/}}M190 S60` is `; aside M190 S60` where c holds and `M190 S60` where it does not. Every job fills both
 * texts in alike, blank lines aside; but no comment, word or command stands half in a section any more, and no tag gives
 * one of two numbers as texts. Lines that go through a list, or hold a section that ends elsewhere, stay as they are.
 * null: nothing can be written out, or the text would get too long.
 */
export function spellOut(text: SpeltLine): string | null {
  const { tree } = text;
  if (tree.rest || tree.text.length > LONGEST || tree.tags.some(({ kind }) => kind === 'delimiters')) return null;
  const parts: string[] = [];
  let at = 0;
  let length = 0;
  for (const line of tree.lines) {
    const conditions = conditionsOn(text, line);
    if (!conditions) continue;
    const ways = waysOfLine(text, line, [...conditions.values()], new Map());
    // Its language has no way to write this.
    if (ways === null) return null;
    const part = tree.text.slice(at, line.span.start) + ways;
    length += part.length;
    if (length > LONGEST) return null;
    parts.push(part);
    at = line.span.end;
  }
  return parts.length > 0 ? parts.join('') + tree.text.slice(at) : null;
}

/** How conditions turn out, by key. */
type Way = ReadonlyMap<string, boolean>;

/** The conditions on which hangs what a line becomes, by key; null where it need not or cannot be written out. */
function conditionsOn({ tree, expressions, scopes }: SpeltLine, line: Line): Map<string, Expr> | null {
  const conditions = new Map<string, Expr>();
  const add = (expr: Expr): unknown => conditions.set(conditionKey(expr).key, expr);
  for (const tag of between(tree.tags, line.span)) {
    // A name that is set, or white space that is taken away, would be so for each way.
    if (!tag.closed || tag.kind === 'partial' || tag.kind === 'set' || tag.takes) return null;
    const isOpen = tag.kind === 'section' || tag.kind === 'inverted';
    if (tag.span.start < line.span.start || (isOpen && !endsOn(tree, tag, line))) return null;
    if (tag.kind === 'close' && !beginsOn(tree, tag, line)) return null;
    const expr = expressions.get(tag)?.expr;
    if (!expr) {
      if (expressions.has(tag)) return null;
      continue;
    }
    if (namesIn(expr).some(({ name }) => name === '.')) return null;
    if (tag.kind === 'value') textsIn(expr).forEach(add);
    else if (mayRepeat(expr, (name) => scopes.find(tag, name)?.name.kind)) return null;
    else add(expr);
  }
  return conditions.size > 0 && conditions.size <= MOST_CONDITIONS ? conditions : null;
}

const endsOn = (tree: Tree, tag: Tag, line: Line): boolean => {
  const close = openedBy(tree, tag)?.close;
  return !!close && close.span.end <= line.span.end;
};

const beginsOn = (tree: Tree, tag: Tag, line: Line): boolean =>
  between(tree.sections, line.span).some(({ close }) => close === tag);

/** Whether a section may be filled in for each element of a list. */
function mayRepeat(expr: Expr, kindOf: (name: string) => string | undefined): boolean {
  const either = (...exprs: readonly Expr[]): boolean => exprs.some((one) => mayRepeat(one, kindOf));
  if (expr.type === 'name') return (kindOf(expr.name) ?? 'list') === 'list';
  if (expr.type === 'choice') return either(expr.yes, expr.no);
  return expr.type === 'binary' && (expr.op === '&&' || expr.op === '||') && either(expr.left, expr.right);
}

const COMPARES = /^([<>]=?|[!=]==?)$/;
const isTruth = (expr: Expr): boolean =>
  (expr.type === 'binary' && COMPARES.test(expr.op)) || (expr.type === 'unary' && expr.op === '!');

/** The conditions that decide which of some numbers a value becomes, where a choice gives them as texts. */
function textsIn(expr: Expr): Expr[] {
  if (expr.type !== 'choice' || !givesTexts(expr) || hasLetters(expr)) return [];
  return [expr.test, ...textsIn(expr.yes), ...textsIn(expr.no)];
}

const givesTexts = (expr: Expr): boolean =>
  expr.type === 'text' || (expr.type === 'choice' && (givesTexts(expr.yes) || givesTexts(expr.no)));

/** Whether a value may be letters where a number belongs: what a machine makes of the rest of that line nobody knows. */
const hasLetters = (expr: Expr): boolean =>
  isTruth(expr) ||
  expr.type === 'flag' ||
  (expr.type === 'text' && !/^[+-]?(\d+\.?\d*|\.\d+)$/.test(expr.value)) ||
  (expr.type === 'choice' && (hasLetters(expr.yes) || hasLetters(expr.no)));

/** A line in every way in which these conditions can turn out, each in sections of its own; null: it cannot be written so. */
function waysOfLine(text: SpeltLine, line: Line, conditions: readonly Expr[], way: Way): string | null {
  const [first, ...rest] = conditions;
  if (!first) return lineIn(text, line, way);
  const { key, holds: same } = conditionKey(first);
  const [yes, no] = [true, false].map((holds) => {
    const inner = waysOfLine(text, line, rest, new Map(way).set(key, holds === same));
    const opens = asked(text, first, holds);
    const ends = statementText(tagStyleOf(text.vocabulary), 'end', {}, opens?.form);
    return inner === null || !opens || !ends ? null : `${opens.text}\n${inner}\n${ends.text}`;
  });
  return yes && no ? `${yes}\n${no}` : null;
}

/** What opens a section for a condition, or for its opposite. */
function asked({ tree, vocabulary }: SpeltLine, condition: Expr, holds: boolean): WrittenStatement | null {
  const style = tagStyleOf(vocabulary);
  const source = slice(tree.text, condition.span);
  const opposite = holds ? null : statementText(style, 'unless', { CONDITION: source });
  if (holds || opposite) return opposite ?? statementText(style, 'if', { CONDITION: source });
  const not = spellerOf(vocabulary).not({ text: source, tie: tieOf(condition) });
  return not && statementText(style, 'if', { CONDITION: not.text });
}

/** The line as it is where the conditions turn out like this. */
function lineIn({ tree, expressions }: SpeltLine, line: Line, way: Way): string {
  const isTrue = (expr: Expr): boolean => {
    const { key, holds } = conditionKey(expr);
    return way.get(key) === holds;
  };
  const isTaken = (tag: Tag): boolean => {
    const expr = expressions.get(tag)?.expr;
    return expr ? isTrue(expr) === (tag.kind !== 'inverted') : true;
  };
  const textOf = (expr: Expr): string | null => {
    if (expr.type === 'text') return expr.value;
    if (expr.type !== 'choice' || !way.has(conditionKey(expr.test).key)) return null;
    const branch = isTrue(expr.test) ? expr.yes : expr.no;
    return textOf(branch) ?? tagged(slice(tree.text, branch.span));
  };
  const tagged = (inner: string): string => `${tagOpen}${inner}${tagClose}`;
  let [tagOpen, tagClose] = ['{{', '}}'];
  let out = '';
  let at = line.span.start;
  const there: { now: boolean; taken: boolean }[] = [];
  const copy = (to: number): void => {
    if (there.every(({ now }) => now)) out += tree.text.slice(at, to);
  };
  for (const tag of between(tree.tags, line.span)) {
    copy(tag.span.start);
    at = tag.span.end;
    const expr = expressions.get(tag)?.expr;
    if (tag.kind === 'close') there.pop();
    else if (tag.kind === 'section' || tag.kind === 'inverted') {
      const goesOn = tag.keyword === 'elseIf' || tag.keyword === 'else';
      const earlier = (goesOn && there.pop()) || { taken: false };
      const taken = isTaken(tag);
      there.push({ now: taken && !earlier.taken, taken: taken || earlier.taken });
    } else if (there.every(({ now }) => now)) {
      tagOpen = tree.text.slice(tag.span.start, tag.inner.start);
      tagClose = tree.text.slice(tag.inner.end, tag.span.end);
      out += (expr && tag.kind === 'value' ? textOf(expr) : null) ?? slice(tree.text, tag.span);
    }
  }
  copy(line.span.end);
  return out;
}
