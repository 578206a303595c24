import { recorded } from './recorded.ts';

/** A seeded source of numbers in [0, 1): mulberry32 (common practice, no source). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

type Random = () => number;
const pick = <T>(random: Random, from: readonly T[]): T => from[Math.floor(random() * from.length)] as T;

/** Values that a careless or hostile client may send in place of any other. */
const VALUES: readonly (() => unknown)[] = [
  () => null,
  () => true,
  () => 0,
  () => -1,
  () => 2 ** 31,
  () => 1e308,
  () => 0.5,
  () => '',
  () => 'file:///yard/warm.start.gcode',
  () => '\ud800',
  () => '__proto__',
  () => '%E0%A4%A',
  () => 'x'.repeat(20_000),
  () => [],
  () => ({}),
  () => [[[[[[[[[[]]]]]]]]]],
  () => ({ constructor: { prototype: null }, length: 4 }),
  () => ({ start: { line: 9, character: 0 }, end: { line: 2, character: 0 } }),
];

export const anyValue = (random: Random): unknown => pick(random, VALUES)();

const METHODS: readonly string[] = [
  ...new Set(recorded().map(({ method }) => method)),
  'textDocument/willSave',
  'workspace/executeCommand',
  '$/progress',
  '$/setTrace',
  'window/workDoneProgress/cancel',
  'toString',
];

interface Place {
  readonly holder: Record<string, unknown>;
  readonly key: string;
}

/** Every place in a message where something can be changed. */
function placesIn(value: unknown, places: Place[] = []): Place[] {
  if (typeof value !== 'object' || value === null) return places;
  for (const key of Object.keys(value)) {
    places.push({ holder: value as Record<string, unknown>, key });
    placesIn((value as Record<string, unknown>)[key], places);
  }
  return places;
}

/** The messages to send instead of one: mostly one, changed somewhere. `fresh` gives ids that nothing else has. */
export function mutated(message: object, random: Random, fresh: () => number): unknown[] {
  const copy = JSON.parse(JSON.stringify(message)) as Record<string, unknown>;
  const way = random();
  if (way < 0.05) return [];
  if (way < 0.1) return [copy, 'id' in copy && 'method' in copy ? { ...copy, id: fresh() } : copy];
  if (way < 0.13 && 'method' in copy) copy.method = pick(random, METHODS);
  else if (way < 0.15) return [anyValue(random), copy];
  else {
    for (let changes = way < 0.3 ? 3 : 1; changes > 0; changes--) {
      const { holder, key } = pick(random, placesIn(copy));
      if (key === 'id' && holder === copy) copy.id = fresh();
      else if (random() < 0.25) delete holder[key];
      else if (typeof holder[key] === 'number' && random() < 0.5)
        holder[key] = (holder[key] as number) - Math.floor(random() * 9);
      else holder[key] = anyValue(random);
    }
  }
  return [harmless(copy)];
}

/** The server shares its process with the test: it must not watch over a process, or end one. */
function harmless(message: Record<string, unknown>): unknown {
  const params = message.params as { processId?: unknown } | null | undefined;
  if (typeof params === 'object' && params !== null && 'processId' in params) params.processId = null;
  return message;
}
