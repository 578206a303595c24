import type { Section, Tag, Tree } from '../syntax/nodes.ts';
import { parse } from '../syntax/parse.ts';
import { finish, Pace, type Pieces } from '../text/pieces.ts';
import { type Span, slice } from '../text/span.ts';
import { exact } from './bounds.ts';
import { type Data, type Frame, isGroup, type Lookup, lookupIn, push } from './data.ts';
import { evaluate, plainNumber, render, truthOf } from './evaluate.ts';
import { type Expr, namesIn } from './expression.ts';
import { type FillProblem, missingText } from './fillProblem.ts';
import { envOf as envIn, type Given, outputOf, singleValueOf, type Unsettled, why } from './fillRules.ts';
import type { Language } from './language.ts';
import type { Rules } from './rules.ts';
import { takenBy } from './standalone.ts';
import { goesThrough, isUnconditional, type LoopRole } from './statements.ts';
import { type Expressions, readExpressions } from './tags.ts';
import type { Value } from './value.ts';

export interface FillOptions {
  /**
   * Exactly the Mustache specification where Bookend is stricter or more lenient: a name without a value is filled in as
   * nothing rather than told, and a key with dots in it is no dotted name.
   */
  readonly pure?: boolean;
  /** Expressions of the tree, where they have been read already. */
  readonly expressions?: Expressions;
  /** How they are written, where they have not, and what their language gives; absent: our own. */
  readonly language?: Language;
}

/** A stretch of the filled text, and where in the sequence it comes from. */
export interface FilledPiece {
  readonly start: number;
  readonly end: number;
  readonly source: Span;
  /** Whether it was copied character by character; else it is what the tag at `source` became. */
  readonly copied: boolean;
}

export type { FillProblem } from './fillProblem.ts';

export interface Filled {
  readonly text: string;
  /** In the order of the filled text, which they cover whole. */
  readonly map: readonly FilledPiece[];
  /** In the order in which they were met, each place once. */
  readonly problems: readonly FillProblem[];
}

/** No sequence gets anywhere near: lists inside lists could otherwise fill any memory. */
const LONGEST_TEXT = 10_000_000;
const MOST_STEPS = 1_000_000;

/**
 * Fills a sequence in as a job would run it, byte for byte by the Mustache specification 1.4 (interpolation, sections,
 * inverted sections, comments, set delimiters, standalone rows, dotted names), with two differences: nothing is
 * HTML-escaped, and a tag may hold an expression where Mustache has a name. Partials are not filled in.
 * Never throws; what cannot be filled in is left empty and told. No recursion, however deep sections nest.
 */
export const fill = (sequence: Tree | string, values: Data, options: FillOptions = {}): Filled =>
  finish(filling(sequence, values, options));

/** The same in pieces. */
export function* filling(sequence: Tree | string, values: Data, options: FillOptions = {}): Pieces<Filled> {
  const whole = typeof sequence === 'string' ? parse(sequence) : sequence;
  const { rest } = whole;
  const tree = rest ? { ...whole, text: whole.text.slice(0, rest.start) } : whole;
  const run: Run = {
    tree,
    expressions: options.expressions ?? readExpressions(tree, options.language),
    rules: options.language?.grammar.rules ?? null,
    first: options.language ? options.language.grammar.firstIndex : 0,
    anyCase: options.language?.grammar.names.caseMatters ?? (options.language ? null : true),
    sets: new Map(),
    pure: options.pure ?? false,
    lookup: lookupIn(!options.pure),
    parts: [],
    length: 0,
    map: [],
    problems: [],
    told: new Set(),
    taken: new Set(),
  };
  tellSyntax(run);
  yield* runTags(run, push(values, null));
  if (rest)
    tell(
      run,
      'long',
      { start: rest.start, end: rest.start },
      'The file is too long to be filled in whole: this is where it stops. Split it into shorter files.',
    );
  return { text: run.parts.join(''), map: run.map, problems: run.problems };
}

/** Where in the sequence a place of the filled text comes from: offset to offset. */
export function sourceOf(map: readonly FilledPiece[], offset: number): number {
  let [low, high] = [0, map.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((map[middle] as FilledPiece).end > offset) high = middle;
    else low = middle + 1;
  }
  const piece = map[low];
  if (!piece) return map.at(-1)?.source.end ?? 0;
  return piece.copied ? piece.source.start + Math.max(0, offset - piece.start) : piece.source.start;
}

interface Run {
  readonly tree: Tree;
  readonly expressions: Expressions;
  readonly pure: boolean;
  /** null: those of ECMA-262. */
  readonly rules: Rules | null;
  readonly first: 0 | 1 | null;
  /** Whether names in another case are other names. */
  readonly anyCase: boolean | null;
  /** Names that the text has set so far. */
  readonly sets: Map<string, SetName>;
  readonly lookup: Lookup;
  readonly parts: string[];
  length: number;
  readonly map: FilledPiece[];
  readonly problems: FillProblem[];
  /** Places that were told of. */
  readonly told: Set<string>;
  /** Chains of branches (by their first opening tag) of which one has been filled in. */
  readonly taken: Set<Tag>;
}

/** A name that the text set. */
interface SetName {
  readonly value: Data;
  /** Set in a loop that is over: whether it is still so, a rule says. `before`: what it was. */
  readonly doubtful?: { readonly before: Data };
}

/** A section whose body is being filled in. */
interface Turn {
  readonly section: Section;
  /** Index of its opening tag, and of the tag before which it ends. */
  readonly opens: number;
  readonly ends: number;
  /** The list that it goes through, and how far it has come; null where the body is filled in once. */
  readonly list: readonly Data[] | null;
  at: number;
  readonly outside: Frame;
  /** The names that were set before a loop. */
  readonly before: ReadonlyMap<string, SetName> | null;
}

function* runTags(run: Run, root: Frame): Pieces<void> {
  const pace = new Pace();
  const { tree } = run;
  const { tags, text } = tree;
  const sections = new Map(tree.sections.map((section) => [section.open, section]));
  const ends = endIndexes(tree);
  const open: Turn[] = [];
  let frame = root;
  /** End of what has been filled in or taken away so far. */
  let at = 0;
  let i = 0;
  for (let steps = 0; ; steps++) {
    if (pace.due()) yield;
    if (steps > MOST_STEPS || run.length > LONGEST_TEXT) {
      const span = tags[Math.min(i, tags.length - 1)]?.span ?? { start: 0, end: 0 };
      const message = `Lists inside lists make the text longer than ${LONGEST_TEXT / 1e6} million characters, or take more than a million steps; it was cut here.`;
      tell(run, 'long', span, message);
      return;
    }
    const tag = tags[i];
    const taken = tag ? takenBy(text, tags, i) : { start: text.length, end: text.length };
    if (taken.start > at) copy(run, at, taken.start);
    at = Math.max(at, taken.start);
    let again = false;
    for (let turn = open.at(-1); turn && turn.ends === i; turn = open.at(-1)) {
      turn.at++;
      if (turn.list && turn.at < turn.list.length) {
        frame = bodyFrame(run, turn.section, turn.list, turn.at, turn.outside);
        at = takenBy(text, tags, turn.opens).end;
        i = turn.opens + 1;
        again = true;
        break;
      }
      frame = turn.outside;
      if (turn.before) leaveLoop(run, turn.before);
      open.pop();
    }
    if (again) continue;
    if (!tag) return;
    at = taken.end;
    const section = sections.get(tag);
    if (section) {
      const end = ends.get(section) ?? tags.length;
      const values = bodyOf(run, section, frame);
      if (values && values.length > 0) {
        const loops = goesThrough(section.open) && run.rules !== null;
        open.push({
          section,
          opens: i,
          ends: end,
          list: values,
          at: 0,
          outside: frame,
          before: loops ? new Map(run.sets) : null,
        });
        frame = bodyFrame(run, section, values, 0, frame);
        i++;
      } else {
        // What closes it still takes its row away, and may open the next.
        i = Math.max(end, i + 1);
        at = Math.max(at, i < tags.length ? takenBy(text, tags, i).start : text.length);
      }
      continue;
    }
    if (run.expressions.get(tag)?.sets !== undefined) setName(run, tag, frame);
    else if ('gives' in tag && typeof tag.gives === 'string') add(run, tag.gives, tag.span, false);
    else if (tag.kind === 'value') fillTag(run, tag, frame);
    else if (!tag.closed) copy(run, tag.span.start, tag.span.end);
    else if (tag.kind === 'partial' && !run.pure)
      tell(
        run,
        'tag',
        tag.span,
        `“${slice(text, tag.inner)}” is another text to be put in here; Bookend fills in placeholders only. Write its rows here.`,
      );
    i++;
  }
}

/** For each section the index of the tag before which it ends; the number of tags where nothing closes it. */
function endIndexes({ sections, tags }: Tree): Map<Section, number> {
  const starts = new Map(tags.map((tag, i) => [tag.span.start, i]));
  const indexes = new Map<Section, number>();
  for (const section of sections) {
    const place = section.close ? section.close.span.start : section.span.end;
    indexes.set(section, starts.get(place) ?? tags.length);
  }
  return indexes;
}

/** The innermost value for each turn of a section's body; null where it is left out. */
function bodyOf(run: Run, section: Section, frame: Frame): readonly Data[] | null {
  const { open, chain } = section;
  if (!open.closed) return null;
  // The first branch of a chain is always met before the others, each time round.
  if (chain === open) run.taken.delete(chain);
  else if (run.taken.has(chain)) return null;
  if (isUnconditional(open)) return [frame.value];
  const { found, holds } = outcomeOf(run, open, frame);
  if (section.inverted) {
    if (holds) return null;
    run.taken.add(chain);
    return [frame.value];
  }
  if (!holds) return null;
  run.taken.add(chain);
  // A keyword asks whether; the mark of a Mustache section repeats what it holds, and looks into it.
  if (!goesThrough(open)) return [frame.value];
  return Array.isArray(found) ? found : [found];
}

/** What a section's tag gives, and whether its branch is filled in. */
function outcomeOf(run: Run, open: Tag, frame: Frame): { readonly found: Data; readonly holds: boolean } {
  const read = run.expressions.get(open);
  const condition = read?.condition ?? read?.expr;
  if (!run.rules || !condition) {
    const found = dataOf(run, open, frame);
    return { found, holds: isTrue(found) };
  }
  const around = envOf(run, frame);
  if (goesThrough(open)) {
    const value = evaluate(condition, around.env);
    const found = value.type === 'list' ? valueData(run, condition, frame) : undefined;
    // A loop over a list goes through it, whatever the list counts as where it stands in a condition.
    if (Array.isArray(found)) return { found, holds: found.length > 0 };
    // A group of names opens its own.
    const group = condition.type === 'name' ? given(run, condition.name, frame)?.value : undefined;
    if (isGroup(group)) return { found: group, holds: true };
  }
  const holds = truthOf(condition, around.env);
  if (holds === null) tellUnknown(run, condition, around);
  return { found: frame.value, holds: holds === true };
}

/** The frame of a section's body: the list's element, and by the language's statement its names. */
function bodyFrame(run: Run, section: Section, list: readonly Data[], at: number, outside: Frame): Frame {
  const value = list[at];
  const loop = run.expressions.get(section.open)?.loop;
  if (!loop) return push(value, outside);
  const names: Record<string, Data> = {};
  for (const [name, role] of loop.roles)
    names[name] = role === 'item' ? value : countOf(role, at, list.length, run.first);
  const named = push(names, outside);
  return loop.opens ? push(value, named) : named;
}

/** What a loop's word is at the element with this number, from 0. */
function countOf(role: Exclude<LoopRole, 'item'>, at: number, length: number, first: 0 | 1 | null): Data {
  switch (role) {
    case 'isFirst':
      return at === 0;
    case 'isLast':
      return at === length - 1;
    case 'index':
      return first === null ? NOT_STATED : first + at;
    default:
      return role === 'indexFrom0' ? at : at + 1;
  }
}

/** An index in a language of which nobody says where it begins. */
const NOT_STATED = Object.freeze({});

function setName(run: Run, tag: Tag, frame: Frame): void {
  const read = run.expressions.get(tag);
  if (read?.sets === undefined) return;
  run.sets.set(read.sets, { value: dataOf(run, tag, frame) });
}

/** Behind a loop the names that were set in it keep their value, or get back what they were. */
function leaveLoop(run: Run, before: ReadonlyMap<string, SetName>): void {
  const holds = run.rules?.setInLoopHolds ?? null;
  if (holds === true) return;
  for (const [name, now] of [...run.sets]) {
    const old = before.get(name);
    if (old === now || (old && old.value === now.value)) continue;
    if (holds === false) {
      if (old) run.sets.set(name, old);
      else run.sets.delete(name);
    } else run.sets.set(name, { value: now.value, doubtful: { before: old?.value } });
  }
}

/** As in ECMA-262 7.1.2, and an empty list is false (Mustache specification, "Sections"). */
const isTrue = (value: Data): boolean => (Array.isArray(value) ? value.length > 0 : Boolean(value));

function fillTag(run: Run, tag: Tag, frame: Frame): void {
  if (!tag.closed || run.expressions.get(tag)?.remark) {
    copy(run, tag.span.start, tag.span.end);
    return;
  }
  if (run.rules) {
    fillByRules(run, tag, frame, run.rules);
    return;
  }
  const data = dataOf(run, tag, frame);
  if (data === null || data === undefined) return;
  const text = textOf(data);
  if (text !== null) {
    add(run, text, tag.span, false);
    return;
  }
  const what = Array.isArray(data) ? 'a list' : 'a group of names';
  tell(
    run,
    'value',
    tag.inner,
    `“${slice(run.tree.text, tag.inner)}” is ${what}, of which no text can be made. Open a section over it, or name one of its values.`,
  );
}

/** null: a list or a group of names. */
function textOf(data: Data): string | null {
  if (typeof data === 'number') return plainNumber(data);
  return typeof data === 'string' || typeof data === 'boolean' ? String(data) : null;
}

/** What a tag's expression is in this job; undefined where that cannot be said, which is told. */
function dataOf(run: Run, tag: Tag, frame: Frame): Data {
  const read = run.expressions.get(tag);
  if (!read?.expr) {
    if (read?.problem) tell(run, 'tag', read.problem.span, read.problem.message);
    return undefined;
  }
  if (run.rules) return valueData(run, read.expr, frame);
  if (read.expr.type === 'name') return named(run, read.expr, frame);
  return computed(run, read.expr, frame);
}

function named(run: Run, { name, span }: Extract<Expr, { type: 'name' }>, frame: Frame): Data {
  const found = run.lookup(name, frame);
  if (found && found.value !== null && found.value !== undefined) return found.value;
  if (!run.pure) tellMissing(run, name, span);
  return undefined;
}

function computed(run: Run, expr: Expr, frame: Frame): Data {
  const lists = new Map<Value, readonly Data[]>();
  let missing = false;
  const value = evaluate(expr, (name) => {
    const found = run.lookup(name, frame)?.value;
    if (found === undefined || found === null) {
      missing = true;
      if (!run.pure) for (const one of namesIn(expr)) if (one.name === name) tellMissing(run, name, one.span);
      return undefined;
    }
    const known = asValue(found);
    if (known?.type === 'list') lists.set(known, found as readonly Data[]);
    return known;
  });
  if (value.type === 'list') return lists.get(value);
  if (value.type === 'number' && value.lo === value.hi) return value.lo;
  if (value.type === 'flag' && value.is !== null) return value.is;
  const text = render(value);
  if (text !== null) return text;
  if (!missing)
    tell(
      run,
      'value',
      expr.span,
      `“${slice(run.tree.text, expr.span)}” has no value in this job: it divides by zero, or reckons with something that is no number.`,
    );
  return undefined;
}

// Languages whose rules are their own

const envOf = (run: Run, frame: Frame): Unsettled =>
  envIn((name) => given(run, name, frame), run.rules?.missing ?? null);

/** What the job, the loops around and the text itself give for a name. */
function given(run: Run, name: string, frame: Frame): Given | null {
  const set = run.sets.get(name);
  const own = isGroup(frame.value) || frame.outer ? run.lookup(name, frame) : null;
  if (set) {
    if (set.doubtful)
      return { value: set.doubtful.before === set.value ? set.value : undefined, asks: 'setInLoopHolds' };
    return { value: set.value, asks: null };
  }
  if (own && own.value !== undefined && own.value !== null)
    return own.value === NOT_STATED ? { value: undefined, asks: 'firstIndex' } : { value: own.value, asks: null };
  if (run.anyCase === true) return null;
  const other = otherCase(run, name, frame);
  return (
    other && (run.anyCase === false ? { value: other.value, asks: null } : { value: undefined, asks: 'caseMatters' })
  );
}

/** A name of the job that differs in its case only. */
function otherCase(run: Run, name: string, frame: Frame): { readonly value: Data } | null {
  const small = name.toLowerCase();
  for (const [set, { value }] of run.sets) if (set.toLowerCase() === small) return { value };
  for (let at: Frame | null = frame; at; at = at.outer) {
    if (!isGroup(at.value)) continue;
    const key = Object.keys(at.value).find((one) => one.toLowerCase() === small);
    if (key !== undefined) return { value: at.value[key] };
  }
  return null;
}

/** A value as data: a list stays what the job gave. */
function valueData(run: Run, expr: Expr, frame: Frame): Data {
  const around = envOf(run, frame);
  const value = evaluate(expr, around.env);
  if (value.type === 'number' && value.lo === value.hi) return value.lo;
  if (value.type === 'flag' && value.is !== null) return value.is;
  if (value.type === 'text' && value.any?.length === 1) return value.any[0];
  if (value.type === 'list') return around.lists.get(value) ?? value.items?.map((item) => dataIn(item.get('.')));
  if (value.type === 'unknown' && value.nothing) return undefined;
  tellUnknown(run, expr, around);
  return undefined;
}

const dataIn = (value: Value | undefined): Data =>
  value?.type === 'number'
    ? value.lo
    : value?.type === 'text'
      ? value.any?.[0]
      : value?.type === 'flag'
        ? value.is
        : undefined;

/** What a tag gives by its language's rules. */
function fillByRules(run: Run, tag: Tag, frame: Frame, rules: Rules): void {
  const read = run.expressions.get(tag);
  if (!read?.expr) {
    if (read?.problem) tell(run, 'tag', read.problem.span, read.problem.message);
    return;
  }
  const around = envOf(run, frame);
  const text = outputOf(read.expr, around, rules);
  if (around.missing.size > 0 && rules.missing === 'the tag' && !text) copy(run, tag.span.start, tag.span.end);
  else if (text !== null) add(run, text, tag.span, false);
  else tellUnknown(run, read.expr, around);
}

/** Why nothing can be said of an expression: a rule that nobody stated, a name without a value, or what nobody can follow. */
function tellUnknown(run: Run, expr: Expr, around: Unsettled): void {
  const { kind, message, name, property } = why(expr, around, slice(run.tree.text, expr.span), run.rules);
  const id = `${kind} ${expr.span.start} ${name ?? property ?? ''}`;
  if (run.told.has(id)) return;
  run.told.add(id);
  const span = name === undefined ? expr.span : (namesIn(expr).find((one) => one.name === name)?.span ?? expr.span);
  run.problems.push({
    kind,
    span,
    message,
    ...(name === undefined ? {} : { name }),
    ...(property === undefined ? {} : { property }),
  });
}

/** undefined: a group of names has no value of its own. */
const asValue = (data: Data): Value | undefined =>
  Array.isArray(data) ? { type: 'list', length: exact(data.length), items: null } : singleValueOf(data);

function copy(run: Run, from: number, to: number): void {
  add(run, run.tree.text.slice(from, to), { start: from, end: to }, true);
}

function add(run: Run, text: string, source: Span, copied: boolean): void {
  if (text === '') return;
  run.parts.push(text);
  run.map.push({ start: run.length, end: run.length + text.length, source, copied });
  run.length += text.length;
}

/** Tags and sections that cannot be read as meant: the text comes out otherwise than it was meant. */
function tellSyntax(run: Run): void {
  const kinds: ReadonlySet<string> = new Set([
    'unclosed-tag',
    'half-statement',
    'stray-close',
    'crossed-sections',
    'unclosed-section',
  ]);
  for (const { kind, span, message } of run.tree.problems) if (kinds.has(kind)) tell(run, 'tag', span, message);
}

function tellMissing(run: Run, name: string, span: Span): void {
  tell(run, 'missing', span, missingText(name), name);
}

function tell(run: Run, kind: FillProblem['kind'], span: Span, message: string, name?: string): void {
  const id = `${kind} ${span.start} ${name ?? ''}`;
  if (run.told.has(id)) return;
  run.told.add(id);
  run.problems.push(name === undefined ? { kind, span, message } : { kind, span, message, name });
}
