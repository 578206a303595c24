/** More conditions than this on one line give more ways than anybody wrote it for. */
const MOST_CONDITIONS = 5;

/**
 * Every way in which conditions can turn out that are not decided: condition to true or false. One way, an empty one,
 * where there is no condition; null where there are too many to go through.
 */
export function waysOf(conditions: ReadonlySet<string>): readonly ReadonlyMap<string, boolean>[] | null {
  if (conditions.size > MOST_CONDITIONS) return null;
  let ways: ReadonlyMap<string, boolean>[] = [new Map()];
  for (const condition of conditions)
    ways = ways.flatMap((way) => [new Map([...way, [condition, true]]), new Map([...way, [condition, false]])]);
  return ways;
}
