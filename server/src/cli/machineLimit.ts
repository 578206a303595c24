import { LARGEST, type ReadLimits } from '../files/read.ts';
import type { Io } from './io.ts';
import type { OptionRow } from './optionRow.ts';
import { bytesOf } from './packageLimits.ts';

/** The option for how large a machine or vocabulary file may be, named as the editor's setting is. */
export const MACHINE_LIMIT: OptionRow = {
  name: '--largest-machine-file',
  value: 'SIZE',
  help: 'Largest machine or vocabulary file to read: a number with kB, MB, GB or TB, such as 2MB, up to 10MB. Without it 1MB; a real one has a few kB.',
};

/** Machine files above it are refused by who reads their JSON. Bytes. */
const MOST = 10_000_000;

/** The limit that the option gives, in bytes; or why it cannot be meant. */
export function machineLimit(values: ReadonlyMap<string, readonly string[]>): number | string {
  const given = values.get(MACHINE_LIMIT.name)?.[0];
  if (given === undefined) return LARGEST;
  const bytes = bytesOf(given);
  if (bytes >= 1 && bytes <= MOST) return bytes;
  return `${MACHINE_LIMIT.name} ${given} is no size up to 10MB; write a number with its unit, such as 500kB or 2MB.`;
}

/** What a machine file may be of `largest` bytes. */
export const machineFiles = (largest: number): Pick<ReadLimits, 'largest' | 'raise'> => ({
  largest,
  raise: MACHINE_LIMIT.name,
});

/** The same world, in which a file that is read at once has so many bytes at most where nothing else is said. */
export const readingUpTo = (io: Io, largest: number): Io => ({
  ...io,
  readFile: (path, limits = machineFiles(largest)) => io.readFile(path, limits),
});
