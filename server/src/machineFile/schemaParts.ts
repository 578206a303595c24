import { Literal, Number as Num, String as Text } from '@sinclair/typebox';

// Small pieces of the machine file's schema. Descriptions are read by people: each says the unit and what holds where
// the value is left out.

/** What a machine file that leaves a value out is taken to say. The descriptions below name the same figures. */
export const DEFAULTS = {
  name: 'unnamed machine',
  nozzle: 0.4,
  filament: 1.75,
  minExtrude: 170,
  tools: 1,
  bottom: 0,
} as const;

/** How many items lists of a machine file may have: far above what a machine needs, far below what slows a check down. */
export const MOST = { commands: 500, words: 50, effects: 50, keepOut: 500, missing: 1000, files: 1000 } as const;

/** Further out than any printer: a coordinate beyond this is a slip. mm. */
export const FAR = 100_000;

export interface SchemaText {
  readonly title: string;
  readonly description: string;
  readonly examples?: readonly unknown[];
  readonly default?: unknown;
}
export const about = (
  title: string,
  description: string,
  more: Omit<SchemaText, 'title' | 'description'> = {},
): SchemaText => ({
  title,
  description,
  ...more,
});

export const place = (title: string, description: string, example: number) =>
  Num({ ...about(title, `${description} Unit: mm.`, { examples: [example] }), minimum: -FAR, maximum: FAR });
export const size = (title: string, description: string, most: number, examples: number[], fallback?: number) =>
  Num({
    ...about(title, description, { examples, ...(fallback === undefined ? {} : { default: fallback }) }),
    exclusiveMinimum: 0,
    maximum: most,
  });
export const degrees = (title: string, description: string, most: number, example: number, fallback?: number) =>
  Num({
    ...about(title, `${description} Unit: degrees C.`, {
      examples: [example],
      ...(fallback === undefined ? {} : { default: fallback }),
    }),
    minimum: 0,
    maximum: most,
  });
export const text = (title: string, description: string, examples: string[], more: object = {}) =>
  Text({ ...about(title, description, { examples }), minLength: 1, ...more });
export const choice = <T extends string>(value: T, description: string, title: string = value) =>
  Literal(value, { title, description });
