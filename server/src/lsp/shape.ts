/** Says what is wrong with a value's form, beginning with the place in it; null where nothing is. */
export type Shape = (value: unknown, place: string) => string | null;

const simple =
  (what: string, fits: (value: unknown) => boolean): Shape =>
  (value, place) =>
    fits(value) ? null : `${place} is ${kindOf(value)}, not ${what}`;

export const anything: Shape = () => null;
export const text: Shape = simple('a string', (value) => typeof value === 'string');
export const uri: Shape = simple('a URI', (value) => typeof value === 'string' && /^[a-z][a-z0-9+.-]*:/i.test(value));
export const flag: Shape = simple('true or false', (value) => typeof value === 'boolean');
export const number: Shape = simple('a number', (value) => typeof value === 'number');
/** The protocol's `uinteger`: 0 to 2^31 - 1. */
export const count: Shape = simple(
  'a whole number of 0 or more',
  (value) => Number.isInteger(value) && (value as number) >= 0 && (value as number) < 2 ** 31,
);
export const whole: Shape = simple('a whole number', (value) => Number.isInteger(value));
export const object: Shape = simple(
  'an object',
  (value) => typeof value === 'object' && value !== null && !Array.isArray(value),
);
export const oneOf = (...values: readonly unknown[]): Shape =>
  simple(`one of ${values.map((one) => JSON.stringify(one)).join(', ')}`, (value) => values.includes(value));

/** Absent, or as `shape` says. */
export const optional =
  (shape: Shape): Shape =>
  (value, place) =>
    value === undefined ? null : shape(value, place);

/** null, absent, or as `shape` says. */
export const nullable =
  (shape: Shape): Shape =>
  (value, place) =>
    value === null || value === undefined ? null : shape(value, place);

export const list =
  (item: Shape): Shape =>
  (value, place) => {
    if (!Array.isArray(value)) return `${place} is ${kindOf(value)}, not a list`;
    for (const [i, one] of value.entries()) {
      const wrong = item(one, `${place}[${i}]`);
      if (wrong) return wrong;
    }
    return null;
  };

/** An object with these parts at least; whatever else it holds is not looked at. */
export const record =
  (parts: Readonly<Record<string, Shape>>): Shape =>
  (value, place) => {
    const wrong = object(value, place);
    if (wrong) return wrong;
    for (const [name, shape] of Object.entries(parts)) {
      const fault = shape((value as Record<string, unknown>)[name], `${place}.${name}`);
      if (fault) return fault;
    }
    return null;
  };

/** As `shape` says, and `fault` has nothing against it. */
export const also =
  <T>(shape: Shape, fault: (value: T) => string | null): Shape =>
  (value, place) => {
    const wrong = shape(value, place) ?? fault(value as T);
    return wrong;
  };

function kindOf(value: unknown): string {
  if (value === undefined) return 'missing';
  if (value === null) return 'null';
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'string') return value.length > 40 ? 'a text' : `the text ${JSON.stringify(value)}`;
  return typeof value === 'object' ? 'an object' : String(value);
}
