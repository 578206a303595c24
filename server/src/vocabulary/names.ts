import { getNodeValue, type Node } from 'jsonc-parser';
import { listOf, quoted } from '../machineFile/complaint.ts';
import { spanOf, take, type Walk } from '../machineFile/walk.ts';
import { evaluate } from '../placeholders/evaluate.ts';
import { type Expr, namesIn, parseExpression } from '../placeholders/expression.ts';
import type { Grammar } from '../placeholders/grammar.ts';
import type { NameKind } from '../placeholders/vocabulary.ts';
import { nearest } from '../text/nearest.ts';
import { type Span, span } from '../text/span.ts';
import type { DeclaredName, DeclaredRange, RangeEnd } from './file.ts';
import { nameFault, nameFaultIn } from './nameFaults.ts';
import { RANGE_NAMES, rangeEnv } from './rangeNames.ts';
import { ListedNameSchema, MOST_NAMES, type NameFacts, NameFactsSchema } from './schema.ts';
import { builtInNames } from './vocabulary.ts';

/** Reads the names of a vocabulary file, written as an object or as a list. What cannot be used is reported. */
export function readNames(walk: Walk, node: Node, grammar: Grammar | null): DeclaredName[] {
  const report = (at: Span, message: string): void => void walk.problems.push({ span: at, message, severity: 'error' });
  if (node.type !== 'object' && node.type !== 'array') {
    report(
      spanOf(node),
      'names must be an object in { }, or a list in [ ]. Until then there are no names but the machine’s own.',
    );
    return [];
  }
  const all = node.children ?? [];
  if (all.length > MOST_NAMES) {
    const first = all[MOST_NAMES] as Node;
    report(
      spanOf(first),
      `names has ${all.length} entries; ${MOST_NAMES} are read. This one and those behind it are not used. Take out what no sequence needs.`,
    );
  }
  const builtIn = builtInNames();
  const declared: DeclaredName[] = [];
  const spelled = new Map<string, string>();
  for (const [i, child] of all.slice(0, MOST_NAMES).entries()) {
    const entry = node.type === 'array' ? listed(walk, child, i) : keyed(walk, child);
    if (!entry) continue;
    const fault = grammar ? nameFaultIn(entry.name, grammar) : nameFault(entry.name);
    if (fault) {
      report(entry.span, `${fault} Until then it is not used.`);
      continue;
    }
    const alike = grammar?.names.caseMatters === false ? spelled.get(entry.name.toLowerCase()) : undefined;
    if (alike !== undefined && alike !== entry.name) {
      report(
        entry.span,
        `${quoted(entry.name)} and ${quoted(alike)} are one name where case does not matter. Remove one of them. Until then this one is not used.`,
      );
      continue;
    }
    spelled.set(entry.name.toLowerCase(), entry.name);
    declared.push(readFacts(walk, builtIn, entry));
  }
  return declared;
}

interface Entry {
  readonly name: string;
  readonly span: Span;
  readonly path: string;
  readonly node: Node;
  readonly facts: NameFacts;
}

function keyed(walk: Walk, property: Node): Entry | null {
  const [key, node] = property.children ?? [];
  if (!key || !node) return null;
  const name = String(key.value);
  const path = `names[${JSON.stringify(name)}]`;
  const facts = take(walk, NameFactsSchema, node, path) as NameFacts | undefined;
  // A name whose facts are no object is still a name.
  return { name, span: spanOf(key), path, node, facts: facts ?? {} };
}

function listed(walk: Walk, node: Node, i: number): Entry | null {
  const path = `names[${i}]`;
  const facts = take(walk, ListedNameSchema, node, path) as (NameFacts & { name: string }) | undefined;
  if (!facts) return null;
  return { name: facts.name, span: walk.places.get(`${path}.name`) ?? spanOf(node), path, node, facts };
}

function readFacts(walk: Walk, builtIn: ReturnType<typeof builtInNames>, entry: Entry): DeclaredName {
  const { facts, path } = entry;
  const at = (property: string): Span => walk.places.get(`${path}.${property}`) ?? entry.span;
  const report = (property: string, message: string): null => {
    walk.problems.push({ span: at(property), message, severity: 'error' });
    return null;
  };

  const base = facts.standsFor === undefined ? null : (builtIn.get(facts.standsFor) ?? null);
  if (facts.standsFor !== undefined && !base) {
    report(
      'standsFor',
      `${path}.standsFor is ${quoted(facts.standsFor)}, which is no built-in name.${didYouMean(facts.standsFor, builtIn.keys())} Until then it is a name of its own.`,
    );
  }
  let kind: NameKind = facts.kind ?? base?.kind ?? (facts.choices ? 'text' : 'number');
  if (base && kind !== base.kind) {
    report(
      'kind',
      `${path}.kind is “${kind}”, but ${base.name}, which it stands for, is a ${base.kind}. Until then it is a ${base.kind}.`,
    );
    kind = base.kind;
  }
  const numeric = kind !== 'text' && kind !== 'flag';
  if (facts.choices && kind !== 'text')
    report(
      'choices',
      `${path}.choices is only for texts, and this is a ${kind}. Give it a range, or make its kind “text”. Until then the choices are not used.`,
    );
  if (facts.whole !== undefined && !numeric)
    report('whole', `${path}.whole is only for numbers, and this is a ${kind}. Take it out.`);
  const choices = kind === 'text' ? (facts.choices ?? null) : null;
  const rangeNode = propertyOf(entry.node, 'range');
  let range: DeclaredName['range'] = null;
  if (rangeNode && !numeric)
    report(
      'range',
      `${path}.range is only for numbers and lists, and this is a ${kind}.${kind === 'text' ? ' Give it choices.' : ' Take it out.'} Until then it is not used.`,
    );
  else if (rangeNode) range = readRange(walk, rangeNode, `${path}.range`);
  const isList = kind === 'list';
  const itemNode = propertyOf(entry.node, 'itemRange');
  const items = isList ? (facts.items ?? null) : null;
  let itemRange: DeclaredRange | null = null;
  for (const property of ['items', 'itemRange', 'perTool'] as const)
    if (!isList && facts[property] !== undefined && facts[property] !== false)
      report(
        property,
        `${path}.${property} is only for lists, and this is a ${kind}. Remove it, or make its kind “list”.`,
      );
  if (isList && itemNode && (items === 'text' || items === 'flag'))
    report('itemRange', `${path}.itemRange is only for numbers, and its items are of kind ${items}. Remove it.`);
  else if (isList && itemNode) itemRange = readRange(walk, itemNode, `${path}.itemRange`);
  const perTool = isList && facts.perTool === true;
  if (perTool && rangeNode)
    report(
      'range',
      `${path}.range and perTool contradict each other: there are as many elements as tools. Remove the range. Until then it is not used.`,
    );
  if (perTool) range = null;
  const orZero = facts.orZero ?? null;
  if (orZero && (!numeric || isList))
    report('orZero', `${path}.orZero is only for numbers, and this is a ${kind}. Remove it.`);
  else if (orZero && range && (constant(range.lo) ?? 1) <= 0 && (constant(range.hi) ?? 0) >= 0)
    report(
      'orZero',
      `${path}.orZero says nothing: its range holds 0 anyway. Begin the range at the smallest value that is not 0, or remove orZero.`,
    );
  const sampleNode = propertyOf(entry.node, 'sample');
  const sample = sampleNode && getNodeValue(sampleNode);
  const whole = facts.whole ?? (kind === 'count' ? true : null);
  const wrong = !sampleNode ? null : sample === 0 && orZero ? null : sampleFault(sample, kind, choices, range, whole);
  if (wrong) report('sample', `${path}.sample is ${shown(sample)}; ${wrong} Until then a usual value is chosen.`);
  return {
    name: entry.name,
    span: entry.span,
    kind,
    unit: facts.unit ?? null,
    range,
    orZero: numeric && !isList ? orZero : null,
    items,
    itemRange,
    perTool,
    choices,
    sample: sampleNode && !wrong ? sample : null,
    meaning: facts.meaning ?? null,
    standsFor: base?.name ?? null,
    roles: facts.roles && facts.roles.length > 0 ? facts.roles : null,
    atMost: facts.atMost ?? null,
    atLeast: facts.atLeast ?? null,
    atMostBy: facts.atMostBy ?? null,
    atLeastBy: facts.atLeastBy ?? null,
    whole,
  };
}

/** The value of a property; of one that stands twice the last counts. */
const propertyOf = (node: Node, name: string): Node | undefined =>
  node.children?.filter((property) => property.children?.[0]?.value === name).at(-1)?.children?.[1];

function didYouMean(word: string, names: Iterable<string>): string {
  const near = nearest(word, names)[0];
  return near === undefined ? '' : ` Did you mean ${quoted(near)}?`;
}

const shown = (value: unknown): string =>
  typeof value === 'string' ? quoted(value) : typeof value === 'object' ? 'no single value' : String(value);

function sampleFault(
  sample: unknown,
  kind: NameKind,
  choices: readonly string[] | null,
  range: DeclaredName['range'],
  whole: boolean | null,
): string | null {
  if (kind === 'flag') return typeof sample === 'boolean' ? null : 'of a flag it must be true or false.';
  if (kind === 'text') {
    if (typeof sample !== 'string') return 'of a text it must be a text in double quotes.';
    if (sample.length > 200) return 'it may have 200 characters.';
    return !choices || choices.includes(sample)
      ? null
      : `it must be one of the choices, ${listOf(choices.slice(0, 10).map(quoted))}.`;
  }
  if (typeof sample !== 'number' || !Number.isFinite(sample) || Math.abs(sample) > 1e9)
    return `of a ${kind} it must be a number${kind === 'list' ? ', the usual length' : ''}.`;
  if ((whole || kind === 'list') && !Number.isInteger(sample)) return 'it must be a whole number.';
  const [lo, hi] = range ? [constant(range.lo), constant(range.hi)] : [null, null];
  if (lo !== null && sample < lo) return `that is below its range, which begins at ${lo}.`;
  return hi !== null && sample > hi ? `that is above its range, which ends at ${hi}.` : null;
}

/** The value of a range end that needs no machine; null for others. */
function constant(end: RangeEnd): number | null {
  if (typeof end === 'number') return end;
  const value = evaluate(end, rangeEnv(null));
  return value.type === 'number' && value.lo === value.hi ? value.lo : null;
}

function readRange(walk: Walk, node: Node, path: string): DeclaredName['range'] {
  const fail = (at: Node | Span, message: string): null => {
    const where = 'offset' in at ? spanOf(at) : at;
    walk.problems.push({ span: where, message: `${message} Until then the range is not known.`, severity: 'error' });
    return null;
  };
  const ends = node.type === 'array' ? (node.children ?? []) : [];
  const [loNode, hiNode] = ends;
  if (!loNode || !hiNode || ends.length !== 2)
    return fail(
      node,
      `${path} must be a list of two ends, the smallest and the largest value, such as [0, "reach.top"].`,
    );
  const lo = readEnd(loNode, fail);
  const hi = readEnd(hiNode, fail);
  if (lo === null || hi === null) return null;
  const [least, most] = [constant(lo), constant(hi)];
  if (least !== null && most !== null && least > most)
    return fail(node, `${path} begins at ${least}, above its end at ${most}. Put the smaller value first.`);
  return { lo, hi };
}

function readEnd(node: Node, fail: (at: Node | Span, message: string) => null): RangeEnd | null {
  if (node.type === 'number') {
    const value = Number(node.value);
    return Number.isFinite(value) && Math.abs(value) <= 1e9
      ? value
      : fail(node, `${node.value} is no value of a job. Give a figure up to 1000000000.`);
  }
  if (node.type !== 'string')
    return fail(node, 'An end of a range is a number, or an expression in double quotes such as "reach.top".');
  const source = String(node.value);
  // With escapes in the text, places inside it cannot be told: the whole text is marked.
  const plain = node.length === source.length + 2;
  const at = (inner: Span): Span | Node => (plain ? span(inner.start, Math.max(inner.end, inner.start + 1)) : node);
  const { expr, problem } = parseExpression(source.slice(0, 4001), node.offset + 1);
  if (!expr) return fail(at(problem?.span ?? spanOf(node)), problem?.message ?? 'This is no expression.');
  for (const { name, span: where } of namesIn(expr)) {
    if (Object.hasOwn(RANGE_NAMES, name)) continue;
    return fail(
      at(where),
      `${quoted(name)} is none of the machine’s figures.${didYouMean(name, Object.keys(RANGE_NAMES))} They are bed.left, reach.top, heat.nozzle.max and the like.`,
    );
  }
  const value = evaluate(expr satisfies Expr, rangeEnv(null));
  if (value.type !== 'number' && value.type !== 'unknown')
    return fail(node, `${quoted(source)} gives a ${value.type}, and an end of a range is a number.`);
  return expr;
}
