/**
 * What a job gives to be filled in: numbers, texts, flags, lists, and groups of names, as read from JSON. null is "no
 * value".
 */
export type Data = unknown;

/** A place in the stack of contexts (Mustache specification, "Context"): the innermost value, and what is around it. */
export interface Frame {
  /** What `.` stands for. */
  readonly value: Data;
  /** The nearest frame outside of this one that has names of its own. */
  readonly outer: Frame | null;
}

/** Puts a value on top. Frames without names are passed over by `outer`, so that deep nesting costs a lookup nothing. */
export function push(value: Data, frame: Frame | null): Frame {
  return { value, outer: frame && !isGroup(frame.value) ? frame.outer : frame };
}

/** How names are found in a job's data. */
export type Lookup = (name: string, frame: Frame) => { readonly value: Data } | null;

/**
 * Looks names up by the rules of the Mustache specification: the innermost context that knows the first part of a
 * dotted name decides, and the rest of the name is looked for in there only. With `dottedKeys` a group may also give
 * the value of `a.b.c` under a key of that spelling, in whole or in part; nested groups come first.
 */
export function lookupIn(dottedKeys: boolean): Lookup {
  // Keys of one group by their first part. Made once for each group that is asked for a name.
  const indexes = new WeakMap<object, ReadonlyMap<string, Stem>>();
  const childOf = (group: Stem, part: string): Stem | null => {
    const rest = group.rest.length > 0 ? stemsOf(group.rest).get(part) : undefined;
    if (!isGroup(group.value)) return rest ?? null;
    let own: Stem | undefined;
    if (Object.hasOwn(group.value, part)) own = { has: true, value: group.value[part], rest: [] };
    if (!dottedKeys) return own ?? null;
    const index = indexes.get(group.value) ?? stemsOf(Object.entries(group.value));
    indexes.set(group.value, index);
    return merge(merge(own, index.get(part)), rest) ?? null;
  };

  return (name, frame) => {
    if (name === '.') return { value: frame.value };
    const [first = '', ...parts] = name.split('.');
    for (let at: Frame | null = frame; at; at = at.outer) {
      let found = childOf({ has: true, value: at.value, rest: [] }, first);
      if (!found) continue;
      for (const part of parts) {
        found = childOf(found, part);
        if (!found) return null;
      }
      if (found.has && (found.rest.length === 0 || !isGroup(found.value))) return { value: found.value };
      // A group that dotted keys make, or add to.
      const group = Object.fromEntries(found.rest);
      return { value: isGroup(found.value) ? { ...group, ...found.value } : group };
    }
    return null;
  };
}

/** What is known under the first part of a dotted name: a value of its own, and what dotted keys say of longer names. */
interface Stem {
  readonly has: boolean;
  readonly value: Data;
  readonly rest: readonly (readonly [string, Data])[];
}

/** Dotted keys by their first part. Keys without a dot count only where they stand behind a longer one's first part. */
function stemsOf(entries: readonly (readonly [string, Data])[]): Map<string, Stem> {
  const stems = new Map<string, { has: boolean; value: Data; rest: (readonly [string, Data])[] }>();
  for (const [key, value] of entries) {
    const dot = key.indexOf('.');
    const part = dot < 0 ? key : key.slice(0, dot);
    const stem = stems.get(part) ?? { has: false, value: undefined, rest: [] };
    stems.set(part, stem);
    if (dot >= 0) stem.rest.push([key.slice(dot + 1), value]);
    else if (!stem.has) {
      stem.has = true;
      stem.value = value;
    }
  }
  return stems;
}

function merge(first: Stem | undefined, second: Stem | undefined): Stem | undefined {
  if (!first || !second) return first ?? second;
  return {
    has: first.has || second.has,
    value: first.has ? first.value : second.value,
    rest: second.rest.length > 0 ? [...first.rest, ...second.rest] : first.rest,
  };
}

/** Whether a value has names of its own. */
export const isGroup = (value: Data): value is Readonly<Record<string, Data>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
