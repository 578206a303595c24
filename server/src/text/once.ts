/**
 * A fact that is worked out from an object once, and remembered for as long as the object lives. For what never changes:
 * trees, lines, traces. Whoever asks about each of many places then pays for the whole only the first time.
 */
export function once<K extends object, V>(of: (key: K) => V): (key: K) => V {
  const known = new WeakMap<K, { readonly value: V }>();
  return (key) => {
    let found = known.get(key);
    if (!found) {
      found = { value: of(key) };
      known.set(key, found);
    }
    return found.value;
  };
}
