import { LIMITS, type PackageLimits } from '../packages/package.ts';
import type { OptionRow } from './optionRow.ts';

const SIZE = '--largest-entry';
const RATIO = '--highest-ratio';
const ENTRIES = '--most-entries';
const MEMBERS = '--most-members';

/** Options for what a package may ask for, named as the editor's settings are. */
export const PACKAGE_LIMITS: readonly OptionRow[] = [
  {
    name: SIZE,
    value: 'SIZE',
    help: 'Largest program that is taken out of a package, when unpacked: a number with kB, MB, GB or TB, such as 500MB. Without it 8GB. Unpacking stops there.',
  },
  {
    name: RATIO,
    value: 'N',
    help: `How many times larger than packed an entry of a package may become. Without it ${LIMITS.ratio}. Programs stay far below 50; a file made to fill a disk does not.`,
  },
  {
    name: ENTRIES,
    value: 'N',
    help: `Most entries that a package may have to be opened. Without it ${LIMITS.entries}.`,
  },
  {
    name: MEMBERS,
    value: 'N',
    help: `Most members (parts that are packed one by one) of a gzip file. Default: ${LIMITS.members}. Reading stops there.`,
  },
];

const RAISE: PackageLimits['raise'] = { entries: ENTRIES, size: SIZE, ratio: RATIO, members: MEMBERS };

/** The limits that the options give, or why one of them cannot be meant. */
export function packageLimits(values: ReadonlyMap<string, readonly string[]>): PackageLimits | string {
  const given = (option: string): string | null => values.get(option)?.[0] ?? null;
  const [size, ratio, entries, members] = [given(SIZE), given(RATIO), given(ENTRIES), given(MEMBERS)];
  const limits = {
    ...LIMITS,
    size: size === null ? LIMITS.size : bytesOf(size),
    ratio: ratio === null ? LIMITS.ratio : Number(ratio),
    entries: entries === null ? LIMITS.entries : Number(entries),
    members: members === null ? LIMITS.members : Number(members),
    raise: RAISE,
  };
  if (!(limits.size >= 1)) return `${SIZE} ${size} is no size; write a number with its unit, such as 500MB or 8GB.`;
  if (ratio !== null && !(DECIMAL.test(ratio) && limits.ratio >= 1))
    return `${RATIO} ${ratio} is no ratio; write a number of 1 or more, such as ${LIMITS.ratio}.`;
  if (entries !== null && !isCount(entries))
    return `${ENTRIES} ${entries} is no number of entries; write a whole number of 1 or more, such as ${LIMITS.entries}.`;
  if (members !== null && !isCount(members))
    return `${MEMBERS} ${members} is not a number of members; write a whole number of 1 or more, such as ${LIMITS.members}.`;
  return limits;
}

const isCount = (written: string): boolean => /^\d{1,9}$/.test(written) && Number(written) >= 1;
const DECIMAL = /^\d{1,9}(\.\d+)?$/;
/** A unit is asked for: the editor's setting counts GB, and a bare number could be either. */
const WITH_UNIT = /^(\d{1,9}(?:\.\d+)?) *([kmgt])b$/i;
const POWERS = ['k', 'm', 'g', 't'];

/** Of "8GB", "1.5 mb": bytes, decimal, as disks are sold. NaN where it is no size. */
export function bytesOf(written: string): number {
  const [, number, unit = ''] = WITH_UNIT.exec(written) ?? [];
  return number === undefined ? Number.NaN : Number(number) * 1000 ** (POWERS.indexOf(unit.toLowerCase()) + 1);
}
