import { lineAt } from '../syntax/at.ts';
import type { Section, Tag, Tree, WordValue } from '../syntax/nodes.ts';
import { finish, Pace, type Pieces } from '../text/pieces.ts';
import { type Span, slice } from '../text/span.ts';
import { exact, join, type Known, negate } from './bounds.ts';
import { asNumber, evaluate, render, truth, truthIn } from './evaluate.ts';
import { type Expr, type ParsedExpression, parseExpression } from './expression.ts';
import { NO_LOOP_WORDS } from './grammar.ts';
import { mayBeList } from './kinds.ts';
import { formattedAs, type Language } from './language.ts';
import { settle } from './sets.ts';
import {
  goesThrough,
  hasExpression,
  isCase,
  isUnconditional,
  loopNamesOf,
  setNameOf,
  subjectOf,
} from './statements.ts';
import type { Env, Value } from './value.ts';
import { waysOf } from './ways.ts';

/** The parsed expression of every value and section tag of a tree. Tags of other kinds are absent. */
export type Expressions = ReadonlyMap<Tag, ParsedExpression>;

/** Parses all tags' expressions once. */
export const readExpressions = (tree: Tree, language?: Language): Expressions =>
  finish(readingExpressions(tree, language));

/** The same in pieces. */
export function* readingExpressions(tree: Tree, language?: Language): Pieces<Expressions> {
  const pace = new Pace();
  const parsed = new Map<Tag, ParsedExpression>();
  for (const tag of tree.tags) {
    if (!hasExpression(tag)) continue;
    const text = slice(tree.text, tag.inner);
    const read = readAs(tag, text, language);
    parsed.set(
      tag,
      isRemark(tree, tag, read)
        ? { expr: null, problem: null, remark: true }
        : stated(tag, tree.text, withFormat(tag, tree.text, read, language), language),
    );
    // Reading one takes time as its text is long.
    if (pace.due(1 + (text.length >> 4))) yield;
  }
  for (const section of tree.sections) compareWithSubject(section, parsed);
  const settled = settle(tree, parsed, (name) => language?.names.get(name) !== undefined);
  for (const { tag, span, name } of settled?.cyclic ?? []) {
    const message = `“${name}” is set from itself here, and nothing gives it a value before. Give it one further up, or declare it in the vocabulary.`;
    settled?.expressions.set(tag, { sets: name, expr: null, problem: { span, message } });
  }
  return settled?.expressions ?? parsed;
}

/**
 * Whether a tag is a remark of its writer's in brackets, `; [was 205]`: words in a comment that are no expression, where
 * tags stand between single signs, as people use them for themselves.
 */
function isRemark(tree: Tree, { kind, span, inner }: Tag, { expr, unfollowed }: ParsedExpression): boolean {
  if (kind !== 'value' || (expr && !unfollowed)) return false;
  if (inner.start - span.start !== 1 || span.end - inner.end !== 1 || !PROSE.test(slice(tree.text, inner)))
    return false;
  return lineAt(tree, span.start).comments.some(({ span: { start, end } }) => start < span.start && span.end <= end);
}
const PROSE = /^\p{L}[\p{L}\p{N}.'-]*(?:,? [\p{L}\p{N}.'-]+)+[.!?]?$/u;

/** A case may have several values, parted by commas. */
function readAs(tag: Tag, text: string, language: Language | undefined): ParsedExpression {
  const read = parseExpression(text, tag.inner.start, language);
  if (!isCase(tag) || (read.expr && !read.unfollowed) || !text.includes(',')) return read;
  const list = parseExpression(`[${text}]`, tag.inner.start - 1, language);
  return list.expr?.type === 'list' && !list.unfollowed ? list : read;
}

/** A value with the form of its digits behind its tag's close. */
function withFormat(tag: Tag, text: string, read: ParsedExpression, language: Language | undefined): ParsedExpression {
  const { format } = tag;
  const arg = read.expr;
  if (!format || !arg || !language) return read;
  for (const form of language.formatsBehind) {
    form.at.lastIndex = format.start;
    const found = form.at.exec(text);
    if (!found || form.at.lastIndex !== format.end) continue;
    const written = formattedAs(arg, form, found);
    const { span, rules } = arg;
    return written ? { ...read, expr: { ...written, span, ...(rules ? { rules } : {}) } as Expr } : read;
  }
  return read;
}

/** What the tag's statement makes of its expression. */
function stated(tag: Tag, text: string, read: ParsedExpression, language: Language | undefined): ParsedExpression {
  const bare = (name: string): string => bareName(name, language);
  const sets = setNameOf(tag, text, bare);
  if (sets !== null) return { ...read, sets };
  const loop = loopNamesOf(tag, text, bare, language?.grammar.loops ?? NO_LOOP_WORDS);
  return loop ? { ...read, loop, first: language ? language.grammar.firstIndex : 0 } : read;
}

/** A name without the sign in front of it that is no part of it. */
function bareName(name: string, language: Language | undefined): string {
  const mark = language?.grammar.names.marks.find((one) => one !== '' && name.startsWith(one));
  const own = name.slice(mark?.length ?? 0);
  return language?.names.get(own) ?? own;
}

/** A case's branch is filled in where the switch's value is one of its own. */
function compareWithSubject(section: Section, parsed: Map<Tag, ParsedExpression>): void {
  const subject = subjectOf(section);
  const read = parsed.get(section.open);
  const of = subject && parsed.get(subject)?.expr;
  if (!of || !read?.expr) return;
  const { span, rules, ...value } = read.expr;
  const own = rules ? { rules } : {};
  const values = value.type === 'list' ? value.items : [read.expr];
  const tests = values.map((right): Expr => ({ type: 'binary', op: '==', left: of, right, span, ...own }));
  const condition = tests.reduce((left, right): Expr => ({ type: 'binary', op: '||', left, right, span, ...own }));
  parsed.set(section.open, { ...read, condition });
}

/** What decides whether the branch that a tag opens is filled in; null where nothing does, or it cannot be read. */
export function conditionOf(tag: Tag, expressions: Expressions): Expr | null {
  if (isUnconditional(tag)) return null;
  const read = expressions.get(tag);
  return read?.condition ?? read?.expr ?? null;
}

/** What a tag stands for; unknown where its expression could not be read. */
export function tagValue(tag: Tag, expressions: Expressions, env: Env): Value {
  const expr = expressions.get(tag)?.expr;
  return expr ? evaluate(expr, env) : { type: 'unknown' };
}

/** What a tag gives where it is written out: a number with its digits is one for the machine, a list what its language makes of it. */
function filledValue(tag: Tag, expressions: Expressions, env: Env): Value {
  const value = tagValue(tag, expressions, env);
  if (value.type === 'text' && value.number) return { type: 'number', ...value.number };
  const rules = expressions.get(tag)?.expr?.rules;
  if (value.type !== 'list' || !rules) return value;
  if (rules.bareList?.is === 'first' && value.length.lo >= 1)
    return value.items?.[0]?.get('.') ?? value.each?.get('.') ?? { type: 'unknown' };
  return { type: 'unknown' };
}

/** The text that is filled in, where it is exact. */
function filledText(tag: Tag, expressions: Expressions, env: Env): string | null {
  const expr = expressions.get(tag)?.expr;
  return expr ? render(evaluate(expr, env), expr.rules) : null;
}

/**
 * The number that a word's value becomes. A sign before a lone tag counts; other mixtures of text and tags
 * (`S2{{n}}`) are joined as text and so known only where every tag is exact. Sections in a value (`S{{#a}}1{{/a}}`) are
 * taken either way.
 */
export function wordNumber(value: WordValue, text: string, expressions: Expressions, env: Env): Known {
  if (value.type === 'number') return exact(value.number);
  if (value.type !== 'filled') return null;
  if (hasNoSections(value.parts)) return partsNumber(value.parts, text, expressions, env);
  const choices = partChoices(value.parts, text, expressions, env);
  if (!choices) return null;
  return choices.map((parts) => partsNumber(parts, text, expressions, env)).reduce(join);
}

type Parts = readonly (Tag | Span)[];

function hasNoSections(parts: Parts): boolean {
  for (const part of parts) if ('type' in part && part.kind !== 'value') return false;
  return true;
}

/** What a machine reads where a word's value is filled in. */
export interface Filling {
  /** The number; null: not known. */
  readonly number: Known;
  /** Whether it is a number at all, as a controller reads one; null: in some jobs, or not known. */
  readonly isNumber: boolean | null;
  /** Whether nothing at all is filled in, so that the word stands without a value; null: in some jobs. */
  readonly isEmpty: boolean | null;
  /** What is filled in, where that is exact. */
  readonly text: string | null;
}

/** What a filled value becomes, as the characters that a machine reads. */
export function fillingOf(
  { parts }: Extract<WordValue, { type: 'filled' }>,
  text: string,
  expressions: Expressions,
  env: Env,
): Filling {
  if (hasNoSections(parts)) return partsFilling(parts, text, expressions, env);
  const choices = partChoices(parts, text, expressions, env);
  if (!choices) return { number: null, isNumber: null, isEmpty: null, text: null };
  return choices.map((choice) => partsFilling(choice, text, expressions, env)).reduce(joinFillings);
}

const joinFillings = (a: Filling, b: Filling): Filling => ({
  // A word without a value has no number to say something of.
  number: a.isEmpty ? b.number : b.isEmpty ? a.number : join(a.number, b.number),
  isNumber: a.isEmpty ? b.isNumber : b.isEmpty || a.isNumber === b.isNumber ? a.isNumber : null,
  isEmpty: a.isEmpty === b.isEmpty ? a.isEmpty : null,
  text: a.text === b.text ? a.text : null,
});

function partsFilling(parts: Parts, text: string, expressions: Expressions, env: Env): Filling {
  const [only] = parts;
  if (only && parts.length === 1 && 'type' in only) {
    // By far the most are one tag that is some number.
    const value = filledValue(only, expressions, env);
    if (value.type === 'number' && render(value) === null)
      return { number: asNumber(value), isNumber: true, isEmpty: false, text: null };
  }
  const number = partsNumber(parts, text, expressions, env);
  const pieces = parts.map((part) => ('type' in part ? filledText(part, expressions, env) : slice(text, part)));
  if (pieces.every((piece) => piece !== null)) {
    const joined = pieces.join('').trim();
    return { number, isNumber: isNumberText(joined), isEmpty: joined === '', text: joined };
  }
  const mayBeEmpty = parts.every((part) => 'type' in part && mayBeNothing(filledValue(part, expressions, env)));
  return {
    number,
    isNumber: isNumberIn(parts, text, expressions, env),
    isEmpty: mayBeEmpty ? null : false,
    text: null,
  };
}

/** Whether a value may be a text of no characters. */
const mayBeNothing = (value: Value): boolean => value.type === 'text' && (value.any?.includes('') ?? true);

/** A number as a controller reads it (NISTIR 6556 3.3.2.1): a sign perhaps, digits, one point at most. */
const isNumberText = (text: string): boolean => /^[+-]?(\d+\.?\d*|\.\d+)$/.test(text);

/** Whether parts of which some are not exact give a number: one tag, with no more than a sign and digits before it. */
function isNumberIn(parts: Parts, text: string, expressions: Expressions, env: Env): boolean | null {
  const last = parts[parts.length - 1];
  if (!last || !('type' in last) || parts.length > 2) return null;
  const value = filledValue(last, expressions, env);
  if (value.type === 'flag' || value.type === 'list') return false;
  // What counts with a number that it cannot have (a division by zero) is told there, and is never a text.
  if (value.type !== 'number') return null;
  const first = parts[0];
  if (!first || first === last) return true;
  if ('type' in first || !/^[+-]?\d*$/.test(slice(text, first).trim())) return null;
  return value.lo >= 0 ? true : value.hi < 0 ? false : null;
}

/** What is left of the parts, for every way in which the sections among them can turn out. null: too many, or open. */
function partChoices(parts: Parts, text: string, expressions: Expressions, env: Env): readonly Parts[] | null {
  const open = new Set<string>();
  const settled = new Map<Tag, boolean>();
  for (const part of parts) {
    if (!('type' in part) || (part.kind !== 'section' && part.kind !== 'inverted')) continue;
    const times = branchTimes(part, expressions, env);
    if (times.hi > 1 || tagValue(part, expressions, env).type === 'list') return null;
    if (times.lo === times.hi) settled.set(part, times.hi > 0);
    else open.add(slice(text, part.inner));
  }
  const ways = waysOf(open);
  if (!ways) return null;
  const choices: Parts[] = [];
  for (const way of ways) {
    const left: (Tag | Span)[] = [];
    const there: { now: boolean; taken: boolean }[] = [];
    for (const part of parts) {
      if (!('type' in part) || part.kind === 'value') {
        if (there.every(({ now }) => now)) left.push(part);
      } else if (part.kind === 'close') {
        if (there.pop() === undefined) return null;
      } else if (part.kind === 'section' || part.kind === 'inverted') {
        const holds = settled.get(part) ?? way.get(slice(text, part.inner)) !== (part.kind === 'inverted');
        const next = part.keyword === 'elseIf' || part.keyword === 'else';
        const earlier = next ? there.pop() : { now: false, taken: false };
        if (!earlier) return null;
        there.push({ now: holds && !earlier.taken, taken: holds || earlier.taken });
      } else if (part.kind === 'partial' || part.kind === 'foreign' || part.kind === 'escape') return null;
    }
    if (there.length > 0) return null;
    choices.push(left);
  }
  return choices;
}

function partsNumber(parts: Parts, text: string, expressions: Expressions, env: Env): Known {
  const last = parts[parts.length - 1];
  if (last && 'type' in last) {
    if (parts.length === 1) return asNumber(filledValue(last, expressions, env));
    const first = parts[0];
    if (parts.length === 2 && first && !('type' in first)) {
      const sign = slice(text, first).trim();
      const number = asNumber(filledValue(last, expressions, env));
      // A second sign in front of a negative number would not be read by the machine.
      if (sign === '-') return number && number.lo >= 0 ? negate(number) : null;
      if (sign === '+') return number && number.lo >= 0 ? number : null;
    }
  }
  let joined = '';
  for (const part of parts) {
    const piece = 'type' in part ? filledText(part, expressions, env) : slice(text, part);
    if (piece === null) return null;
    joined += piece;
  }
  return isNumberText(joined.trim()) ? exact(Number(joined)) : null;
}

/** How often a section's body is filled in: [0,0] never, [1,1] once, lists as often as they are long. */
export function repetitions(
  section: Section,
  expressions: Expressions,
  env: Env,
): { readonly lo: number; readonly hi: number } {
  const own = branchTimes(section.open, expressions, env);
  const earlier = section.unless;
  let lo = earlier.length > MOST_EARLIER ? 0 : own.lo;
  for (const tag of earlier.slice(0, MOST_EARLIER)) {
    if (own.hi === 0) break;
    const taken = branchTimes(tag, expressions, env);
    if (taken.lo > 0) return { lo: 0, hi: 0 };
    if (taken.hi > 0) lo = 0;
  }
  return { lo, hi: own.hi };
}

/** Branches before a section that are looked at; with more than these it may or may not be filled in. */
const MOST_EARLIER = 64;

/** How often the branch that a tag opens is filled in where no earlier branch of its chain is. */
export function branchTimes(
  open: Tag,
  expressions: Expressions,
  env: Env,
): { readonly lo: number; readonly hi: number } {
  if (isUnconditional(open)) return { lo: 1, hi: 1 };
  const expr = conditionOf(open, expressions);
  const value: Value = expr ? evaluate(expr, env) : { type: 'unknown' };
  // Where one branch of it is a list, nobody knows how long.
  if (expr && value.type === 'unknown' && open.kind === 'section' && goesThrough(open) && mayBeList(expr, env))
    return { lo: 0, hi: Number.POSITIVE_INFINITY };
  const once = timesOf(expr && value.type !== 'list' ? truthIn(value, expr, env) : truth(value));
  if (open.kind === 'inverted') return { lo: once.hi === 0 ? 1 : 0, hi: once.lo > 0 ? 0 : 1 };
  // A keyword asks whether; the mark of a Mustache section and statements over lists repeat what they hold.
  return value.type === 'list' && goesThrough(open) ? value.length : once;
}

const timesOf = (is: boolean | null): { lo: number; hi: number } => ({
  lo: is === true ? 1 : 0,
  hi: is === false ? 0 : 1,
});
