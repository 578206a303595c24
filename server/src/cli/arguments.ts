import type { PackageLimits } from '../packages/package.ts';
import { MATERIALS } from '../program/totals.ts';
import type { Severity } from '../rules/rule.ts';
import { didYouMean } from '../rules/say.ts';
import { ROLES, type Role } from '../syntax/role.ts';
import { nearest } from '../text/nearest.ts';
import { COMMANDS, type CommandRow } from './commandTable.ts';
import { type FillRequest, fillRequest } from './fillArguments.ts';
import { RULE_LEVELS } from './levels.ts';
import { machineLimit } from './machineLimit.ts';
import { type Sorted, sortArguments } from './options.ts';
import { packageLimits } from './packageLimits.ts';

/** What the person asked for. */
export type Request =
  | { readonly do: 'help' /** null: of all commands. */; readonly command: CommandRow | null }
  | { readonly do: 'version' }
  | { readonly do: 'refuse'; readonly message: string }
  | CheckRequest
  | ListRequest
  | ExtractRequest
  | SummaryRequest
  | ExplainRequest
  | DraftRequest
  | (FillRequest & ReadingLimits);

/** What every command that reads a machine file is told. */
export interface ReadingLimits {
  /** Bytes of a machine or vocabulary file that are read at most. */
  readonly largestMachineFile: number;
}

export interface CheckRequest extends ReadingLimits {
  readonly do: 'check';
  /** Files, folders, patterns, or `-`. */
  readonly files: readonly string[];
  /** Path of a machine file; null: found as in the editor. */
  readonly machine: string | null;
  /** null: as the file's name says. */
  readonly role: Role | null;
  /** Of standard input; null: it has none. */
  readonly name: string | null;
  readonly format: 'text' | 'json' | 'sarif' | 'junit';
  /** The least severity that is told. */
  readonly severity: Severity;
  /** How many findings are told in all; null: all. */
  readonly most: number | null;
  /** Findings and nothing else. */
  readonly quiet: boolean;
  /** false: no colours, even on a terminal. */
  readonly color: boolean;
  /** Mend what needs no person to look at it; in a dry run only show how. null: do not. */
  readonly fix: 'write' | 'dry run' | null;
  /** What a package may ask for. */
  readonly limits: PackageLimits;
}

export interface ListRequest {
  readonly do: 'list';
  readonly file: string;
  readonly limits: PackageLimits;
  readonly format: 'text' | 'json';
}

export interface ExtractRequest extends ReadingLimits {
  readonly do: 'extract';
  readonly file: string;
  readonly limits: PackageLimits;
  /** null: the only program. */
  readonly entry: string | null;
  /** A file or a folder; null: the folder that the command runs in. */
  readonly out: string | null;
  /** Write over what is there. */
  readonly force: boolean;
  readonly machine: string | null;
  readonly quiet: boolean;
  readonly color: boolean;
}

export interface SummaryRequest extends ReadingLimits {
  readonly do: 'summary';
  readonly file: string;
  readonly limits: PackageLimits;
  readonly entry: string | null;
  readonly machine: string | null;
  readonly role: Role | null;
  readonly name: string | null;
  /** One of `MATERIALS`; undefined: it was not named. */
  readonly material: string | undefined;
  readonly format: 'text' | 'json';
}

export interface ExplainRequest extends ReadingLimits {
  readonly do: 'explain';
  /** A rule's id, a command's code, a family of commands; null: tell what there is. */
  readonly name: string | null;
  /** Path of the machine file whose commands and controller are meant; null: any machine. */
  readonly machine: string | null;
}

export interface DraftRequest extends ReadingLimits {
  readonly do: 'draft';
  /** A vocabulary file, or named commands for a machine file. */
  readonly what: 'placeholders' | 'commands';
  /** Of commands one, of placeholders one or several. */
  readonly files: readonly [string, ...string[]];
  /** Path of a machine file; null: found as for a check. */
  readonly machine: string | null;
  readonly role: Role | null;
}

const refuse = (message: string): Request => ({ do: 'refuse', message });

/** Reads the arguments behind the program's name. */
export function readArguments(args: readonly string[]): Request {
  const [first, ...rest] = args;
  if (first === undefined) return refuse('no command given; use "bookend check FILE", or --help.');
  if (first === '--version') return { do: 'version' };
  if (first === '--help' || first === '-h' || first === 'help') {
    const named = first === 'help' ? rest[0] : undefined;
    if (named === undefined) return { do: 'help', command: null };
    return commandNamed(named, (command) => ({ do: 'help', command }));
  }
  return commandNamed(first, (command) => {
    const sorted = sortArguments(command, rest);
    if (sorted.kind === 'help') return { do: 'help', command };
    if (sorted.kind === 'version') return { do: 'version' };
    if (sorted.kind === 'refused') return refuse(sorted.message);
    return requestOf(command.name, sorted);
  });
}

function commandNamed(name: string, then: (command: CommandRow) => Request): Request {
  const command = COMMANDS.find((one) => one.name === name);
  if (command) return then(command);
  const names = COMMANDS.map((one) => one.name);
  const meant = didYouMean(nearest(name, names));
  return refuse(
    `no command "${name}".${meant} There are ${names.slice(0, -1).join(', ')} and ${names.at(-1)}; see --help.`,
  );
}

function requestOf(command: string, sorted: Sorted & { kind: 'sorted' }): Request {
  const { files, flags } = sorted;
  const value = (option: string): string | null => sorted.values.get(option)?.[0] ?? null;
  const machine = value('--machine');
  const largestMachineFile = machineLimit(sorted.values);
  if (typeof largestMachineFile === 'string') return refuse(largestMachineFile);
  const [file = '', ...others] = files;
  if (command === 'explain') {
    if (others.length > 0) return refuse('explain takes one name: a rule, a command or a family of commands.');
    return { do: 'explain', name: files[0] ?? null, machine, largestMachineFile };
  }
  if (files.length === 0) return refuse(`no file given; use "bookend ${command} FILE".`);
  if (others.length > 0 && command !== 'check' && command !== 'draft-placeholders')
    return refuse(`${command} takes one file; ${others[0]} is a second one.`);
  const role = roleOf(value('--role'));
  if (role === undefined) return refuse(`no role "${value('--role')}"; it is one of ${ROLES.join(', ')}.`);
  const limits = packageLimits(sorted.values);
  if (typeof limits === 'string') return refuse(limits);
  const color = !flags.has('--no-color');
  const quiet = flags.has('--quiet');
  const format = value('--format') ?? 'text';
  const entry = value('--entry');
  const name = value('--name');
  switch (command) {
    case 'fill': {
      const fill = fillRequest(file, sorted, role);
      return fill.do === 'refuse' ? fill : { ...fill, largestMachineFile };
    }
    case 'draft-commands':
      return { do: 'draft', what: 'commands', files: [file], machine, role, largestMachineFile };
    case 'draft-placeholders':
      return { do: 'draft', what: 'placeholders', files: [file, ...others], machine, role, largestMachineFile };
    case 'extract':
      return {
        ...{ do: 'extract', file, limits, entry, out: value('--out'), force: flags.has('--force') },
        ...{ machine, quiet, color, largestMachineFile },
      };
    case 'list':
    case 'summary':
      if (format !== 'text' && format !== 'json') return refuse(`no format "${format}"; it is text or json.`);
      if (command === 'list') return { do: 'list', file, limits, format };
      return summaryRequest(value('--material'), {
        file,
        limits,
        entry,
        machine,
        role,
        name,
        format,
        largestMachineFile,
      });
    default:
      return checkRequest(sorted, { machine, role, name, quiet, color, format, limits, largestMachineFile });
  }
}

function summaryRequest(material: string | null, rest: Omit<SummaryRequest, 'do' | 'material'>): Request {
  const known = MATERIALS.find((one) => one === material?.toUpperCase());
  if (material !== null && known === undefined)
    return refuse(`no density is known for the material "${material}"; known are ${MATERIALS.join(', ')}.`);
  return { do: 'summary', ...rest, material: known };
}

/** undefined: there is no such role. */
const roleOf = (written: string | null): Role | null | undefined =>
  written === null ? null : ROLES.find((one) => one === written);

function checkRequest(
  { files, flags, values }: Sorted & { kind: 'sorted' },
  rest: Pick<CheckRequest, 'machine' | 'role' | 'name' | 'quiet' | 'color' | 'limits' | 'largestMachineFile'> & {
    readonly format: string;
  },
): Request {
  const { format } = rest;
  if (format !== 'text' && format !== 'json' && format !== 'sarif' && format !== 'junit')
    return refuse(`no format "${format}"; it is text, json, sarif or junit.`);
  const dry = flags.has('--dry-run');
  if (dry && !flags.has('--fix')) return refuse('--dry-run goes with --fix; a check without it writes nothing.');
  if (dry && format !== 'text') return refuse(`--dry-run prints a diff, so it has no --format ${format}.`);
  const fix = dry ? 'dry run' : flags.has('--fix') ? 'write' : null;
  const inputs = files.filter((one) => one === '-').length;
  if (inputs > 1) return refuse('standard input can be read once, so "-" is given once.');
  if (inputs > 0 && fix !== null) return refuse('standard input cannot be fixed: name a file.');
  if (inputs === 0 && rest.name !== null) return refuse('--name names standard input: give "-" as the file.');
  const level = values.get('--severity')?.[0] ?? 'hint';
  const severity = RULE_LEVELS.find((one) => one === level);
  if (!severity) return refuse(`no severity "${level}"; it is one of ${RULE_LEVELS.join(', ')}.`);
  const limit = values.get('--max-findings')?.[0] ?? null;
  if (limit !== null && !/^\d{1,9}$/.test(limit)) return refuse(`--max-findings ${limit} is no whole number.`);
  const most = limit === null ? null : Number(limit);
  return { do: 'check', files, ...rest, format, severity, most, fix };
}
