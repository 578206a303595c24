import type { Effect } from '../machine/effect.ts';
import type { State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { longNumber } from './numbers.ts';
import type { LineOutline } from './outline.ts';
import { KEYS, type Words } from './words.ts';

// A program may spell its moves in another way than most: g1x10, N5 G01 X10*71, X10 behind a G1. How such a line reads
// is found out by the parser once for each way; from then on its numbers are read where they stand.

/** One way to spell a plain move, as the parser reads it. */
export interface Spelling {
  /** 0 to 3; -1: the motion that is in force. */
  readonly g: number;
  /** For each number its place in `KEYS`; -1: a word of its letter stands in front, which is the one that counts. */
  readonly keys: readonly number[];
  /** The modes that commands in front of the move set, which hold already. */
  readonly modes: readonly Fact[];
  /** How often each rule has something to say of lines that are spelled so. */
  readonly counts: readonly (readonly [string, number])[];
  /** What stands in front of the move prepares a print, see `body.ts`. */
  readonly prepares: boolean;
  /** Rules that its comment switches off. */
  readonly ignored: ReadonlySet<string>;
}

/** A fact of a state, and what it is. */
type Fact = readonly [keyof Pick<State, 'inches' | 'relative' | 'relativeE' | 'plane'>, boolean | string];

const [PLUS, MINUS, POINT] = [43, 45, 46] as const;
const CODES = ['G0', 'G1', 'G2', 'G3'];

const latin = new TextDecoder('latin1');
/** So many digits a double holds, whatever they are. */
const EXACT = 15;

/** The number at the outline's place `i`, as the parser has it. */
export function valueAt(buf: Uint8Array, { places }: LineOutline, i: number): number {
  const from = places[2 * i] as number;
  const to = places[2 * i + 1] as number;
  const sign = buf[from] as number;
  const first = sign === MINUS || sign === PLUS ? from + 1 : from;
  let point = first;
  while (point < to && buf[point] !== POINT) point++;
  if (to - first > EXACT) return Number(latin.decode(buf.subarray(from, to))) + 0;
  const value = longNumber(buf, first, to, Math.max(0, to - point - 1));
  return sign === MINUS ? 0 - value : value;
}

/** The words of a line with this outline; null where no motion is in force, or the modes are not as it sets them. */
export function spelledWords(
  buf: Uint8Array,
  outline: LineOutline,
  { g, keys, modes }: Spelling,
  motion: string | null,
  state: State,
): Words | null {
  const code = g >= 0 ? g : CODES.indexOf(motion ?? '');
  if (code < 0 || (modes.length > 0 && !modes.every(([fact, is]) => state[fact] === is))) return null;
  const values = new Float64Array(KEYS.length);
  let given = 0;
  for (let i = 0; i < keys.length; i++) {
    const key = keys[i] as number;
    if (key < 0) continue;
    values[key] = valueAt(buf, outline, i);
    given |= 1 << key;
  }
  return { g: code, values, given };
}

/** How the parser reads the line with this outline, that it ran as these steps; null: it is no plain move. */
export function spellingOf(
  buf: Uint8Array,
  outline: LineOutline,
  steps: readonly Step[],
  distanceGovernsE: boolean,
): Pick<Spelling, 'g' | 'keys' | 'modes'> | null {
  const last = steps.at(-1);
  if (!last?.move || outline.loose) return null;
  const modes: Fact[] = [];
  for (const { command } of steps.slice(0, -1)) {
    const { record, words } = command;
    if (!record || words.length > 0 || record.effects.length === 0) return null;
    for (const effect of record.effects) {
      const facts = asks(effect, distanceGovernsE);
      if (!facts) return null;
      modes.push(...facts);
    }
  }
  const { code, node, words } = last.command;
  const g = CODES.indexOf(code);
  if (g < 0 || words.length === 0 || words.length !== outline.count || words.length !== node.words.length) return null;
  const keys: number[] = [];
  for (const [i, { key, value, section }] of words.entries()) {
    const place = key === '' ? -1 : KEYS.indexOf(key);
    if (place < 0 || section || value?.type !== 'number') return null;
    if (value.number !== valueAt(buf, outline, i)) return null;
    keys.push(keys.includes(place) ? -1 : place);
  }
  return { g: node.code === code ? g : -1, keys, modes };
}

/** What the state must be for an effect to leave it as it is; null: that is not told by a fact or two. */
function asks(effect: Effect, distanceGovernsE: boolean): Fact[] | null {
  if (effect.do === 'units') return [['inches', effect.inches]];
  if (effect.do === 'extrusion-mode') return [['relativeE', effect.relative]];
  if (effect.do === 'plane') return [['plane', effect.plane]];
  if (effect.do !== 'distance') return null;
  const { relative } = effect;
  return distanceGovernsE
    ? [
        ['relative', relative],
        ['relativeE', relative],
      ]
    : [['relative', relative]];
}
