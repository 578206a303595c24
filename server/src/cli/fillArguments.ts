import type { Role } from '../syntax/role.ts';
import type { Sorted } from './options.ts';

/** What `bookend fill` was asked for. */
export interface FillRequest {
  readonly do: 'fill';
  readonly file: string;
  /** Path of the job's JSON; null where all values come from `set`, the machine and `usual`. */
  readonly job: string | null;
  /** name=value, in the order given. */
  readonly set: readonly { readonly name: string; readonly value: string }[];
  /** Usual values for what is missing. */
  readonly usual: boolean;
  readonly machine: string | null;
  readonly role: Role | null;
}

/** A name as some placeholder language may have it: with spaces, hyphens, a digit first. Whether there is such a name is seen later. */
const NAME = /^[^\s=[\].]([^=[\]]*[^\s=[\].])?(\[\d*\](\.[^=[\]]*[^\s=[\].])?)*$/u;

/** What stands behind `fill`, or why it cannot be meant. */
export function fillRequest(
  file: string,
  { flags, values }: Sorted & { kind: 'sorted' },
  role: Role | null,
): FillRequest | { readonly do: 'refuse'; readonly message: string } {
  const set: { name: string; value: string }[] = [];
  for (const one of values.get('--set') ?? []) {
    const at = one.indexOf('=');
    const name = one.slice(0, Math.max(0, at));
    if (at <= 0 || !NAME.test(name))
      return {
        do: 'refuse',
        message: `--set ${one} is not of the form name=value, such as --set heat.bed.first=60.`,
      };
    set.push({ name, value: one.slice(at + 1) });
  }
  return {
    do: 'fill',
    file,
    job: values.get('--job')?.[0] ?? null,
    set,
    usual: flags.has('--usual'),
    machine: values.get('--machine')?.[0] ?? null,
    role,
  };
}
