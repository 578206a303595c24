import { ROLES, type Role } from '../syntax/role.ts';

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

type Answer = FillRequest | { readonly do: 'help' } | { readonly do: 'refuse'; readonly message: string };

const refuse = (message: string): Answer => ({ do: 'refuse', message });
const NAME = /^[A-Za-z_$][\w$]*(\[\d*\])?(\.[A-Za-z_$][\w$]*(\[\d*\])?)*$/;

/** Reads the arguments behind `fill`. */
export function readFillArguments(args: readonly string[]): Answer {
  const files: string[] = [];
  const set: { name: string; value: string }[] = [];
  const values = new Map<string, string>();
  let usual = false;
  for (let i = 0; i < args.length; i++) {
    const arg = args[i] ?? '';
    if (arg === '--') {
      files.push(...args.slice(i + 1));
      break;
    }
    if (arg === '--help' || arg === '-h') return { do: 'help' };
    if (arg === '--usual') {
      usual = true;
      continue;
    }
    if (!arg.startsWith('-') || arg === '-') {
      files.push(arg);
      continue;
    }
    const equals = arg.indexOf('=');
    const option = equals < 0 ? arg : arg.slice(0, equals);
    if (!['--job', '--set', '--machine', '--role'].includes(option))
      return refuse(`fill has no option ${option}; see --help.`);
    const value = equals < 0 ? args[++i] : arg.slice(equals + 1);
    if (value === undefined || value === '') return refuse(`${option} needs a value; see --help.`);
    if (option === '--set') {
      const at = value.indexOf('=');
      const name = value.slice(0, Math.max(0, at));
      if (at <= 0 || !NAME.test(name))
        return refuse(`--set ${value} is not of the form name=value, such as --set heat.bed.first=60.`);
      set.push({ name, value: value.slice(at + 1) });
    } else if (values.has(option)) return refuse(`${option} is given twice.`);
    else values.set(option, value);
  }
  const [file, ...others] = files;
  if (file === undefined) return refuse('no file given; use "bookend fill --job JOB.json FILE".');
  if (others.length > 0) return refuse(`fill takes one file, since one job runs it; ${others[0]} is a second one.`);
  const role = ROLES.find((one) => one === values.get('--role')) ?? null;
  if (values.has('--role') && role === null)
    return refuse(`no role "${values.get('--role')}"; it is one of ${ROLES.join(', ')}.`);
  return {
    do: 'fill',
    file,
    job: values.get('--job') ?? null,
    set,
    usual,
    machine: values.get('--machine') ?? null,
    role,
  };
}
