import { Kind, type TObject, type TRecord, type TSchema, type TUnion } from '@sinclair/typebox';
import type { Node } from 'jsonc-parser';
import { nearest } from '../text/nearest.ts';
import { type Span, span } from '../text/span.ts';
import { complain, listOf, missing, quoted } from './complaint.ts';

/** What is wrong in a machine file, at its place. */
export interface MachineProblem {
  readonly span: Span;
  readonly message: string;
  readonly severity: 'error' | 'warning';
}

/** One reading of a machine file: what was wrong, and where each value that was taken stands (`bed.right`). */
export interface Walk {
  /** What kind of file it is, for messages; absent: a machine file. */
  readonly file?: 'machine' | 'vocabulary';
  readonly text: string;
  readonly problems: MachineProblem[];
  readonly places: Map<string, Span>;
  /** By the path of a list: which of its items were taken, in order, so that a taken item's place is found again. */
  readonly kept: Map<string, readonly number[]>;
}

/** What a value that is not taken leaves behind. */
const NOTHING = undefined;

/**
 * Takes from the tree what fits the schema. What does not fit is reported at its place and left out: a list loses the
 * item, an object that needs the value falls away as a whole. The result fits the schema, but for the root, which may
 * lack what it needs.
 */
export function take(walk: Walk, schema: TSchema, node: Node, path = ''): unknown {
  walk.places.set(path, spanOf(node));
  switch (schema[Kind]) {
    case 'Object':
      return takeObject(walk, schema as TObject, node, path);
    case 'Record':
      return takeRecord(walk, schema as TRecord, node, path);
    case 'Array':
    case 'Tuple':
      return takeList(walk, schema, node, path);
    case 'Union':
      return takeUnion(walk, schema as TUnion, node, path);
    default:
      return takeLeaf(walk, schema, node, path);
  }
}

export const spanOf = (node: Node): Span => span(node.offset, node.offset + node.length);

/** Reports an error at a node; of an object or a list at its first line, so that a long one is not underlined as a whole. */
function fail(walk: Walk, node: Node, message: string): undefined {
  const long = node.type === 'object' || node.type === 'array';
  walk.problems.push({ span: long ? firstLine(walk.text, node) : spanOf(node), message, severity: 'error' });
  return NOTHING;
}

/** An underline longer than this shows nothing more. */
const LONGEST_MARK = 120;

function firstLine(text: string, node: Node): Span {
  const end = node.offset + Math.min(node.length, LONGEST_MARK);
  const line = /^[^\r\n]*/.exec(text.slice(node.offset, end))?.[0] ?? '';
  return span(node.offset, node.offset + Math.max(1, line.trimEnd().length));
}

function takeLeaf(walk: Walk, schema: TSchema, node: Node, path: string): unknown {
  const message = complain(schema, node, path);
  return message === null ? node.value : fail(walk, node, message);
}

function takeObject(walk: Walk, schema: TObject, node: Node, path: string): unknown {
  if (node.type !== 'object') return fail(walk, node, complain(schema, node, path) ?? '');
  const given = propertiesOf(walk, node, path);
  const taken: Record<string, unknown> = {};
  const lacking: string[] = [];
  let whole = true;
  for (const [name, property] of Object.entries(schema.properties)) {
    const value = given.get(name);
    const needed = schema.required?.includes(name) ?? false;
    const fits = value && take(walk, property, value.node, path ? `${path}.${name}` : name);
    if (fits !== undefined) taken[name] = fits;
    else if (needed) whole = false;
    // A name whose value is missing is broken JSON, which has been reported.
    if (needed && !value && !isNamed(node, name)) lacking.push(name);
  }
  if (lacking.length > 0) fail(walk, node, missing(schema, lacking, path));
  for (const [name, { key }] of given) {
    if (!Object.hasOwn(schema.properties, name)) tellUnknown(walk, Object.keys(schema.properties), name, key, path);
  }
  return whole || path === '' ? taken : NOTHING;
}

/** An object whose property names are free; what does not fit is left out. */
function takeRecord(walk: Walk, schema: TRecord, node: Node, path: string): unknown {
  if (node.type !== 'object') return fail(walk, node, complain(schema, node, path) ?? '');
  const each = Object.values(schema.patternProperties)[0] as TSchema;
  const taken = [...propertiesOf(walk, node, path)].map(
    ([name, value]) => [name, take(walk, each, value.node, `${path}.${name}`)] as const,
  );
  return Object.fromEntries(taken.filter(([, value]) => value !== undefined));
}

const isNamed = (node: Node, name: string): boolean =>
  node.children?.some((property) => property.children?.[0]?.value === name) ?? false;

/** Properties by name; of one that stands twice the last counts, as everywhere in JSON. */
function propertiesOf(walk: Walk, node: Node, path: string): Map<string, { readonly key: Node; readonly node: Node }> {
  const found = new Map<string, { readonly key: Node; readonly node: Node }>();
  for (const property of node.children ?? []) {
    const [key, value] = property.children ?? [];
    if (!key || !value) continue;
    const name = String(key.value);
    const before = found.get(name);
    if (before) {
      const message = `${quoted(name)} stands twice in ${path || 'this file'}. The last one counts, so this one does nothing. Take one out.`;
      walk.problems.push({ span: spanOf(before.key), message, severity: 'warning' });
    }
    found.set(name, { key, node: value });
  }
  return found;
}

function tellUnknown(walk: Walk, known: readonly string[], name: string, key: Node, path: string): void {
  const near = nearest(name, known)[0];
  const hint =
    near === undefined
      ? `Known here: ${listOf(known.filter((k) => k !== '$schema'))}.`
      : `Did you mean ${quoted(near)}?`;
  const message = `${path || `A ${walk.file ?? 'machine'} file`} has no property ${quoted(name)}, so it is not read. ${hint}`;
  walk.problems.push({ span: spanOf(key), message, severity: 'warning' });
}

function takeList(walk: Walk, schema: TSchema, node: Node, path: string): unknown {
  const message = complain(schema, node, path);
  if (message !== null) return fail(walk, node, message);
  const items = node.children ?? [];
  const tuple = schema[Kind] === 'Tuple';
  const itemSchema = (i: number): TSchema => (tuple ? schema.items[i] : schema.items);
  const taken = items.map((item, i) => take(walk, itemSchema(i), item, `${path}.${i}`));
  const fitting = taken.filter((value) => value !== undefined);
  walk.kept.set(
    path,
    taken.flatMap((value, i) => (value === undefined ? [] : [i])),
  );
  if (fitting.length === taken.length) return taken;
  // A corner without its Y is no corner, and an outline without one of its corners is another outline.
  return tuple || schema.items[Kind] === 'Tuple' ? NOTHING : fitting;
}

function takeUnion(walk: Walk, schema: TUnion, node: Node, path: string): unknown {
  const kinds = schema.anyOf.map((option) => option[Kind]);
  if (kinds.every((kind) => kind === 'Literal')) return takeLeaf(walk, schema, node, path);
  if (!kinds.every((kind) => kind === 'Object')) {
    const wanted = node.type === 'array' ? 'Array' : 'String';
    const option = schema.anyOf.find((one) => one[Kind] === wanted);
    return option && (node.type === 'array' || node.type === 'string')
      ? take(walk, option, node, path)
      : takeLeaf(walk, schema, node, path);
  }
  return takeVariant(walk, schema as TUnion<TObject[]>, node, path);
}

/** One of several kinds of object, told apart by the value of one property (`shape`, `do`). */
function takeVariant(walk: Walk, schema: TUnion<TObject[]>, node: Node, path: string): unknown {
  if (node.type !== 'object') return fail(walk, node, complain(schema, node, path) ?? '');
  const tag = Object.entries(schema.anyOf[0]?.properties ?? {}).find(([, one]) => one[Kind] === 'Literal')?.[0] ?? '';
  const names = schema.anyOf.map((option) => String(option.properties[tag]?.const));
  const given = [...(node.children ?? [])].reverse().find((property) => property.children?.[0]?.value === tag);
  const value = given?.children?.[1];
  if (!value) {
    const message = `${path} does not say its “${tag}”. Add one of ${listOf(names)}, for example "${tag}": "${names[0]}". Until then ${path} is not used.`;
    return fail(walk, node, message);
  }
  const variant = schema.anyOf.find((option) => option.properties[tag]?.const === value.value);
  if (variant) return take(walk, variant, node, path);
  const near = typeof value.value === 'string' ? nearest(value.value, names)[0] : undefined;
  const found = typeof value.value === 'string' ? quoted(value.value) : `a ${value.type}`;
  const hint = near === undefined ? '' : ` Did you mean ${quoted(near)}?`;
  return fail(
    walk,
    value,
    `${path}.${tag} is ${found}; it must be one of ${listOf(names)}.${hint} Until then ${path} is not used.`,
  );
}
