import { Kind, type TSchema } from '@sinclair/typebox';

/**
 * Whether a value fits a schema of a number, a text, a word, true or false, a list of them, or any of several: all that
 * `complaint.ts` asks of a schema. What stands in objects is walked through with its places, in `walk.ts`.
 */
export function fits(schema: TSchema, value: unknown): boolean {
  switch (schema[Kind]) {
    case 'Union':
      return schema.anyOf.some((option: TSchema) => fits(option, value));
    case 'Array':
      return (
        Array.isArray(value) &&
        within(schema.minItems, value.length, schema.maxItems) &&
        value.every((item) => fits(schema.items, item))
      );
    case 'Integer':
      return Number.isInteger(value) && inRange(schema, value as number);
    case 'Number':
      return Number.isFinite(value) && inRange(schema, value as number);
    case 'String':
      return (
        typeof value === 'string' &&
        within(schema.minLength, value.length, schema.maxLength) &&
        (schema.pattern === undefined || new RegExp(schema.pattern).test(value))
      );
    case 'Boolean':
      return typeof value === 'boolean';
    case 'Literal':
      return value === schema.const;
    default:
      return schema[Kind] === 'Unknown';
  }
}

const within = (
  least = Number.NEGATIVE_INFINITY,
  value: number,
  most: number | undefined = Number.POSITIVE_INFINITY,
): boolean => value >= least && value <= most;

const inRange = (schema: TSchema, value: number): boolean =>
  within(schema.minimum, value, schema.maximum) &&
  (schema.exclusiveMinimum === undefined || value > schema.exclusiveMinimum);
