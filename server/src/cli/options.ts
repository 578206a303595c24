import { didYouMean } from '../rules/say.ts';
import { nearest } from '../text/nearest.ts';
import { COMMON, type CommandRow } from './commandTable.ts';
import type { OptionRow } from './optionRow.ts';

/** The arguments of one command, sorted. */
export type Sorted =
  | { readonly kind: 'help' }
  | { readonly kind: 'version' }
  | { readonly kind: 'refused'; readonly message: string }
  | {
      readonly kind: 'sorted';
      readonly files: readonly string[];
      readonly flags: ReadonlySet<string>;
      /** By option, in the order given. */
      readonly values: ReadonlyMap<string, readonly string[]>;
    };

/** Sorts what stands behind a command's name. Options may stand anywhere before `--`; `--name=value` works too. */
export function sortArguments(command: CommandRow, args: readonly string[]): Sorted {
  const refused = (message: string): Sorted => ({ kind: 'refused', message });
  const see = `see "bookend ${command.name} --help".`;
  const known: readonly OptionRow[] = [...command.options, ...COMMON];
  const files: string[] = [];
  const flags = new Set<string>();
  const values = new Map<string, string[]>();
  for (let i = 0; i < args.length; i++) {
    const arg = args[i] ?? '';
    if (arg === '--') {
      files.push(...args.slice(i + 1));
      break;
    }
    if (arg === '--help' || arg === '-h') return { kind: 'help' };
    if (arg === '--version') return { kind: 'version' };
    if (!arg.startsWith('-') || arg === '-') {
      files.push(arg);
      continue;
    }
    const equals = arg.indexOf('=');
    const written = equals < 0 ? arg : arg.slice(0, equals);
    const option = known.find(({ name }) => name === written);
    if (!option) {
      const near = nearest(
        written.slice(2),
        known.map(({ name }) => name.slice(2)),
      );
      const meant = didYouMean(near.map((one) => `--${one}`));
      return refused(`${command.name} has no option ${written}.${meant} See "bookend ${command.name} --help".`);
    }
    if (option.value === null) {
      if (equals >= 0) return refused(`${written} takes no value; ${see}`);
      flags.add(option.name);
      continue;
    }
    const value = equals < 0 ? args[++i] : arg.slice(equals + 1);
    if (value === undefined || value === '') return refused(`${option.name} needs a value; ${see}`);
    const given = values.get(option.name);
    if (given && !option.many) return refused(`${option.name} is given twice.`);
    values.set(option.name, [...(given ?? []), value]);
  }
  return { kind: 'sorted', files, flags, values };
}
