import { fromBase64 } from '../text/base64.ts';
import { SCAN_MODULE } from './scanModule.ts';

/** Memory that a check and its scan share: numbers by `Slot` in front, the bytes of the program behind them. */
export interface Store {
  readonly numbers: Float64Array;
  /** All of it. */
  readonly bytes: Uint8Array;
  /** Where the program's bytes are put: two places with the same room. */
  readonly sides: readonly [number, number];
  /** Makes the scan of this memory; null where the host has no WebAssembly or no room for it. */
  readonly scan: ((imports: ScanImports) => ScanExports) | null;
}

/** What the scan calls, see `server/kernel/scan.ts`. */
export interface ScanImports {
  commentEnd(from: number): number;
  arcPath(x: number, y: number, nx: number, ny: number, i: number, j: number, clockwise: number): number;
  countHeight(z: number): void;
}

export interface ScanExports {
  scan(from: number, end: number, base: number, flags: number, mostChars: number): number;
  lastMotion(): number;
}

/** Where `server/kernel/scan.ts` has its numbers, and where nothing of it lies any more, bytes. A test holds both. */
export const NUMBERS = 1024;
export const SIDES = 4096;
const SLOTS = 128;
const PAGE = 1 << 16;
/** The scan looks at so many bytes at once. */
const BEHIND = 16;

/** Memory with room for so many bytes of a program on each side. Without WebAssembly all is as it is with it, only slower. */
export function newStore(room: number): Store {
  const sides: Store['sides'] = [SIDES, SIDES + room + BEHIND];
  const pages = Math.ceil((sides[1] + room + BEHIND) / PAGE);
  const over = (buffer: ArrayBuffer, scan: Store['scan']): Store => ({
    numbers: new Float64Array(buffer, NUMBERS, SLOTS),
    bytes: new Uint8Array(buffer),
    sides,
    scan,
  });
  try {
    const memory = new WebAssembly.Memory({ initial: pages, maximum: pages });
    const module = new WebAssembly.Module(fromBase64(SCAN_MODULE));
    const scan = (imports: ScanImports): ScanExports =>
      new WebAssembly.Instance(module, { env: { memory }, scan: { ...imports } }).exports as unknown as ScanExports;
    return over(memory.buffer, scan);
  } catch {
    return over(new ArrayBuffer(pages * PAGE), null);
  }
}

/**
 * An object whose numbers lie in the memory: each name is read and written at its slot. The other fields are as given.
 * @param slots Names and their indices in `numbers`.
 */
export function inStore<Names extends string, Rest extends object>(
  numbers: Float64Array,
  slots: Readonly<Record<Names, number>>,
  rest: Rest,
): Record<Names, number> & Rest {
  for (const [name, slot] of Object.entries<number>(slots))
    Object.defineProperty(rest, name, {
      enumerable: true,
      get: () => numbers[slot],
      set: (value: number) => {
        numbers[slot] = value;
      },
    });
  return rest as Record<Names, number> & Rest;
}
