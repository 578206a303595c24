import { Kind, type TSchema } from '@sinclair/typebox';
import { Check } from '@sinclair/typebox/value';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { fits } from '../../../server/src/machine/fits.ts';
import { MachineFileSchema } from '../../../server/src/machine/schema.ts';
import { VocabularyFileSchema, VocabularyRootSchema } from '../../../server/src/machine/vocabularySchema.ts';

// Which values fit, against the schema library's own check.

/** A schema and all that stand in it. */
function* within(schema: TSchema): Generator<TSchema> {
  yield schema;
  const below = [
    ...Object.values(schema.properties ?? {}),
    ...Object.values(schema.patternProperties ?? {}),
    ...[schema.items ?? [], schema.anyOf ?? []].flat(),
    ...(typeof schema.additionalProperties === 'object' ? [schema.additionalProperties] : []),
  ] as TSchema[];
  for (const one of below) yield* within(one);
}

const all = [MachineFileSchema, VocabularyFileSchema, VocabularyRootSchema].flatMap((one) => [...within(one)]);
/** Those that are walked through instead. */
const hasParts = (schema: TSchema): boolean =>
  ['Object', 'Record', 'Tuple'].includes(schema[Kind]) ||
  [schema.items ?? [], schema.anyOf ?? []].flat().some((one: TSchema) => hasParts(one));
const asked = all.filter((schema) => !hasParts(schema));

/** Values about the limits of a schema, and its examples. */
const near = (schema: TSchema): unknown[] => [
  ...(schema.examples ?? []),
  ...[schema.minimum, schema.maximum, schema.exclusiveMinimum, schema.minItems, schema.maxItems]
    .filter((limit) => limit !== undefined)
    .flatMap((limit) => [limit - 1, limit - 0.5, limit, limit + 0.5, limit + 1]),
  ...[schema.minLength, schema.maxLength]
    .filter((length) => length !== undefined)
    .flatMap((length) => [length - 1, length, length + 1].filter((n) => n >= 0).map((n) => 'a'.repeat(n))),
  ...(schema.const === undefined ? [] : [schema.const, `${schema.const} `]),
  ...(schema.anyOf ?? []).flatMap(near),
  ...(schema.items ? near(schema.items).flatMap((one) => [[one], Array(5).fill(one)]) : []),
];
const PLAIN = [
  ...[null, true, false, '', 'a', 'G29', 'a b', 'ä.b_c', '1', 'T0', 0, -0, 1, -1, 0.5, 1e9, Number.NaN],
  ...[Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY],
  ...[[], [1], ['a'], ['a', 'b'], [null], {}, { a: 1 }],
];

it('reaches every kind of value that the files may hold', () => {
  const kinds = new Set(asked.map((schema) => schema[Kind]));
  expect([...kinds].sort()).toEqual(['Array', 'Boolean', 'Integer', 'Literal', 'Number', 'String', 'Union', 'Unknown']);
  expect(asked.length).toBeGreaterThan(150);
});

it('says what the library says, about the limits and on any JSON value', () => {
  let fitting = 0;
  for (const schema of asked)
    for (const value of [...PLAIN, ...near(schema)]) {
      const wanted = Check(schema, value);
      if (wanted) fitting++;
      expect(fits(schema, value), `${JSON.stringify(schema)} ${JSON.stringify(value)}`).toBe(wanted);
    }
  expect(fitting).toBeGreaterThan(1000);
  fc.assert(
    fc.property(fc.constantFrom(...asked), fc.jsonValue({ maxDepth: 2 }), (schema, value) => {
      expect(fits(schema, value)).toBe(Check(schema, value));
    }),
    { seed: 7, numRuns: 2000 },
  );
});
