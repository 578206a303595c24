import { Kind, type TObject, type TSchema } from '@sinclair/typebox';
import { Check } from '@sinclair/typebox/value';
import { getNodeValue, type Node } from 'jsonc-parser';
import { nearest } from '../text/nearest.ts';

// Own sentences for what the schema library finds: what it is, what it should be, what to do.

/** A name or text as messages show it, cut where it is long. */
export const quoted = (s: string): string => `“${s.length > 40 ? `${s.slice(0, 40)}…` : s}”`;

/** `a, b or c`. */
export function listOf(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;
}

/**
 * Why a value does not fit its schema, or null where it does. Of a list only its own shape is looked at, not its items;
 * of an object only that it is one.
 */
export function complain(schema: TSchema, node: Node, path: string): string | null {
  switch (schema[Kind]) {
    case 'Object':
    case 'Record':
      return node.type === 'object' ? null : wrongKind(schema, node, path, 'an object in { }');
    case 'Array':
    case 'Tuple':
      return complainList(schema, node, path);
    case 'Union':
      return complainUnion(schema, node, path);
    default:
      return Check(schema, getNodeValue(node)) ? null : complainLeaf(schema, node, path);
  }
}

function complainList(schema: TSchema, node: Node, path: string): string | null {
  const tuple = schema[Kind] === 'Tuple';
  if (node.type !== 'array') return wrongKind(schema, node, path, tuple ? 'a pair [x, y]' : 'a list in [ ]');
  const count = node.children?.length ?? 0;
  const [least, most]: [number, number] = [schema.minItems ?? 0, schema.maxItems ?? Number.POSITIVE_INFINITY];
  if (count >= least && count <= most) return null;
  const wanted = least === most ? `exactly ${least}` : count < least ? `at least ${least}` : `at most ${most}`;
  return `${path} has ${count} ${count === 1 ? 'item' : 'items'}; it must have ${wanted}. ${fallback(schema)}`;
}

function complainUnion(schema: TSchema, node: Node, path: string): string | null {
  const options: readonly TSchema[] = schema.anyOf;
  if (options.every((option) => option[Kind] === 'Object')) {
    return node.type === 'object' ? null : wrongKind(schema, node, path, 'an object in { }');
  }
  if (Check(schema, getNodeValue(node))) return null;
  const names = options.filter((option) => option[Kind] === 'Literal').map((option) => String(option.const));
  if (names.length === 0) return wrongKind(schema, node, path, 'a text in double quotes or a list of texts');
  const near = typeof node.value === 'string' ? nearest(node.value, names)[0] : undefined;
  const hint = near === undefined ? '' : ` Did you mean ${quoted(near)}?`;
  return `${path} is ${shown(node)}; it must be ${listOf(names.map((name) => `"${name}"`))}.${hint} ${fallback(schema)}`;
}

function complainLeaf(schema: TSchema, node: Node, path: string): string {
  switch (schema[Kind]) {
    case 'Boolean':
      return wrongKind(schema, node, path, 'true or false, without quotes');
    case 'Number':
    case 'Integer':
      return complainNumber(schema, node, path);
    case 'String':
      return complainText(schema, node, path);
    default:
      return wrongKind(schema, node, path, `"${schema.const}"`);
  }
}

function complainNumber(schema: TSchema, node: Node, path: string): string {
  const whole = schema[Kind] === 'Integer' ? 'a whole number' : 'a number';
  if (node.type !== 'number') {
    const plain = typeof node.value === 'string' ? node.value.trim().replace(',', '.') : '';
    const written = plain !== '' && Number.isFinite(Number(plain)) ? ` Write ${plain} without quotes.` : '';
    return wrongKind(schema, node, path, `${whole}${inUnit(schema)}, such as ${example(schema)}`, written);
  }
  return `${path} is ${node.value}; it must be ${whole} ${range(schema)}${inUnit(schema)}. ${fallback(schema)}`;
}

/** `from 0 to 500`, `more than 0, at most 10`. */
function range(schema: TSchema): string {
  if (schema.exclusiveMinimum !== undefined)
    return `more than ${schema.exclusiveMinimum} and at most ${schema.maximum}`;
  return `from ${schema.minimum} to ${schema.maximum}`;
}

function complainText(schema: TSchema, node: Node, path: string): string {
  if (node.type !== 'string')
    return wrongKind(schema, node, path, `a text in double quotes, such as ${example(schema)}`);
  const text: string = node.value;
  if (text === '' && schema.minLength)
    return `${path} is empty. Write ${example(schema)}, for example, or take it out.`;
  if (schema.maxLength !== undefined && text.length > schema.maxLength) {
    return `${path} has ${text.length} characters; it may have ${schema.maxLength}. Shorten it.`;
  }
  return `${path} is ${quoted(text)}; it must look like ${example(schema)}. ${schema.description}`;
}

function wrongKind(schema: TSchema, node: Node, path: string, wanted: string, todo = ''): string {
  const what = path || 'A machine file';
  const nothing = node.type === 'null' && todo === '' ? ' Take it out where it is not known.' : todo;
  return `${what} is ${shown(node)}; it must be ${wanted}.${nothing} ${fallback(schema)}`.trimEnd();
}

/** What holds until the value is put right, as the schema's description documents it. */
function fallback(schema: TSchema): string {
  const found = /Left out: ([^.]*(?:\.\d[^.]*)*)\./.exec(schema.description ?? '')?.[1];
  return found === undefined ? 'Until then it is not used.' : `Until then, as where it is left out: ${found}.`;
}

function inUnit(schema: TSchema): string {
  const unit = /Unit: ([^.]+)\./.exec(schema.description ?? '')?.[1];
  return unit === undefined ? '' : ` (${unit})`;
}

const example = (schema: TSchema): string => JSON.stringify(schema.examples?.[0] ?? schema.default ?? '');

/** A value as messages show it. */
function shown(node: Node): string {
  switch (node.type) {
    case 'object':
      return 'an object';
    case 'array':
      return 'a list';
    case 'string':
      return `the text ${quoted(String(node.value))}`;
    default:
      return String(node.value);
  }
}

/** The sentence for properties that must be there and are not. */
export function missing(schema: TObject, names: readonly string[], path: string): string {
  const what = path || 'This machine';
  const wanted = names.map((name) => `"${name}": ${example(schema.properties[name] as TSchema)}`).join(', ');
  return `${what} does not say its ${listOf(names.map(quoted)).replace(' or ', ' and ')}. Add for example ${wanted}. Until then ${until(names, path)}.`;
}

function until(names: readonly string[], path: string): string {
  if (path !== '') return `${path} is not used`;
  const without = names.map((name) =>
    name === 'bed' ? 'nothing can be said about where filament goes' : 'findings call it “unnamed machine”',
  );
  return without.join(', and ');
}
