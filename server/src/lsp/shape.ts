/** Says what is wrong with a value's form, beginning with the place in it; null where nothing is. */
export type MessageShape = (value: unknown, place: string) => string | null;

const simple =
  (what: string, fits: (value: unknown) => boolean): MessageShape =>
  (value, place) =>
    fits(value) ? null : `${place} is ${kindOf(value)}, not ${what}`;

export const anything: MessageShape = () => null;
export const text: MessageShape = simple('a string', (value) => typeof value === 'string');
export const uri: MessageShape = simple(
  'a URI',
  (value) => typeof value === 'string' && /^[a-z][a-z0-9+.-]*:/i.test(value),
);
export const flag: MessageShape = simple('true or false', (value) => typeof value === 'boolean');
export const number: MessageShape = simple('a number', (value) => typeof value === 'number');
/** The protocol's `uinteger`: 0 to 2^31 - 1. */
export const count: MessageShape = simple(
  'a whole number of 0 or more',
  (value) => Number.isInteger(value) && (value as number) >= 0 && (value as number) < 2 ** 31,
);
export const whole: MessageShape = simple('a whole number', (value) => Number.isInteger(value));
export const object: MessageShape = simple(
  'an object',
  (value) => typeof value === 'object' && value !== null && !Array.isArray(value),
);
export const oneOf = (...values: readonly unknown[]): MessageShape =>
  simple(`one of ${values.map((one) => JSON.stringify(one)).join(', ')}`, (value) => values.includes(value));

/** Absent, or as `shape` says. */
export const optional =
  (shape: MessageShape): MessageShape =>
  (value, place) =>
    value === undefined ? null : shape(value, place);

/** null, absent, or as `shape` says. */
export const nullable =
  (shape: MessageShape): MessageShape =>
  (value, place) =>
    value === null || value === undefined ? null : shape(value, place);

export const list =
  (item: MessageShape): MessageShape =>
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
  (parts: Readonly<Record<string, MessageShape>>): MessageShape =>
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
  <T>(shape: MessageShape, fault: (value: T) => string | null): MessageShape =>
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
