import { ROLES, type Role } from '../syntax/role.ts';
import { type FillRequest, readFillArguments } from './fillArguments.ts';

/** What the person asked for. */
export type Request =
  | { readonly do: 'help' }
  | { readonly do: 'version' }
  | { readonly do: 'refuse'; readonly message: string }
  | CheckRequest
  | ExplainRequest
  | {
      readonly do: 'draft';
      /** Placeholder names for a vocabulary file, or named commands for a machine file. */
      readonly what: 'placeholders' | 'commands';
      readonly file: string;
      /** Path of a machine file; null: found as for a check. */
      readonly machine: string | null;
      readonly role: Role | null;
    }
  | FillRequest;

export interface CheckRequest {
  readonly do: 'check';
  readonly files: readonly string[];
  /** Path of a machine file; null: found as in the editor. */
  readonly machine: string | null;
  /** null: as the file's name says. */
  readonly role: Role | null;
  readonly format: 'text' | 'json';
  /** false: no colours, even on a terminal. */
  readonly color: boolean;
  /** Mend what needs no person to look at it; in a dry run only show how. null: do not. */
  readonly fix: 'write' | 'dry run' | null;
}

export interface ExplainRequest {
  readonly do: 'explain';
  /** A rule's id, a command's code, a family of commands; null: tell what there is. */
  readonly name: string | null;
  /** Path of the machine file whose commands and controller are meant; null: any machine. */
  readonly machine: string | null;
}

export const HELP = `Usage: bookend check [options] FILE...
       bookend check --fix [--dry-run] [options] FILE...
       bookend explain [--machine FILE] [RULE|COMMAND|FAMILY]
       bookend fill [--job JOB.json] [--set NAME=VALUE]... [--usual] FILE
       bookend draft-placeholders [--machine FILE] [--role ROLE] FILE
       bookend draft-commands [--machine FILE] FILE

check checks start and end sequences (*.start.gcode, *.end.gcode, ...), whole
programs (*.gcode), machine files (*.machine.json) and vocabulary files
(*.placeholders.json). With --fix it changes what needs no person to look at it,
and says what; the findings that it prints are those that remain. explain tells
what a rule finds and why, or what a command does; alone it lists them all.
draft-placeholders prints a vocabulary file to begin with, made from the
placeholders of a sequence; draft-commands prints the "commands" part of a
machine file, with the named commands of a sequence that its machine file does
not know and what is to be filled in. fill prints a sequence as a job would run
it, byte for byte.

Options
  --machine FILE        Check against this machine file. Without it the machine
                        is found as in the editor: a machine file that lists the
                        sequence, else the only one in its folder or the nearest
                        folder above.
  --role ROLE           ${ROLES.join(', ')}.
                        Without it the file's name says which.
  --fix                 check: make the fixes that leave no choice, and no
                        others. Encoding and ends of line stay as they are.
  --dry-run             with --fix: write nothing, print a unified diff, which
                        patch -p0 applies.
  --format text|json    text (the default) for people, json for programs.
  --no-color            No colours. They are also left out where the output is
                        no terminal, and where NO_COLOR is set.
  --job FILE            fill: the job's values, a JSON object; names nested or
                        dotted.
  --set NAME=VALUE      fill: one value, over those of the job file.
  --usual               fill: usual values for whatever the job does not give.
  --version             Print the version.
  --help                Print this.

Exit code: 0 no error found, 1 some error found, 2 something could not be
checked, written or filled in.

The checks replace neither the machine's manual nor watching the first run.
`;

const refuse = (message: string): Request => ({ do: 'refuse', message });

const TAKES_VALUE = ['--machine', '--role', '--format'] as const;
const DRAFTS: readonly string[] = ['draft-placeholders', 'draft-commands'];
const FLAGS: readonly string[] = ['--no-color', '--fix', '--dry-run'];

/** Reads the arguments behind the program's name. Options may stand anywhere before `--`; `--name=value` works too. */
export function readArguments(args: readonly string[]): Request {
  const [command, ...rest] = args;
  if (command === '--help' || command === '-h' || command === 'help') return { do: 'help' };
  if (command === '--version') return { do: 'version' };
  if (command === undefined) return refuse('no command given; use "bookend check FILE", or --help.');
  if (command === 'fill') return readFillArguments(rest);
  if (command !== 'check' && command !== 'explain' && !DRAFTS.includes(command))
    return refuse(
      `no command "${command}"; there are check, explain, fill, draft-placeholders and draft-commands. See --help.`,
    );

  const files: string[] = [];
  const values: Partial<Record<(typeof TAKES_VALUE)[number], string>> = {};
  const flags = new Set<string>();
  for (let i = 0; i < rest.length; i++) {
    const arg = rest[i] ?? '';
    if (arg === '--') {
      files.push(...rest.slice(i + 1));
      break;
    }
    if (arg === '--help' || arg === '-h') return { do: 'help' };
    if (arg === '--version') return { do: 'version' };
    if (FLAGS.includes(arg)) {
      flags.add(arg);
      continue;
    }
    if (!arg.startsWith('-') || arg === '-') {
      files.push(arg);
      continue;
    }
    const equals = arg.indexOf('=');
    const written = equals < 0 ? arg : arg.slice(0, equals);
    const name = TAKES_VALUE.find((one) => one === written);
    if (!name) return refuse(`no option ${written}; see --help.`);
    const value = equals < 0 ? rest[++i] : arg.slice(equals + 1);
    if (value === undefined || value === '') return refuse(`${name} needs a value; see --help.`);
    values[name] = value;
  }

  const machine = values['--machine'] ?? null;
  if (command !== 'check') {
    const [foreign] = [...flags].filter((flag) => flag !== '--no-color');
    const option = foreign ?? (values['--format'] === undefined ? undefined : '--format');
    if (option) return refuse(`${command} has no ${option}; see --help.`);
  }
  if (command === 'explain') {
    if (values['--role'] !== undefined) return refuse('explain has no --role; see --help.');
    if (files.length > 1) return refuse('explain takes one name: a rule, a command or a family of commands.');
    return { do: 'explain', name: files[0] ?? null, machine };
  }
  if (files.length === 0) return refuse(`no file given; use "bookend ${command} FILE".`);
  const role = values['--role'] === undefined ? null : ROLES.find((one) => one === values['--role']);
  if (role === undefined) return refuse(`no role "${values['--role']}"; it is one of ${ROLES.join(', ')}.`);
  if (command !== 'check') {
    const [file = '', ...others] = files;
    if (others.length > 0) return refuse(`${command} takes one file: it drafts from one sequence.`);
    const what = command === 'draft-commands' ? 'commands' : 'placeholders';
    return { do: 'draft', what, file, machine, role };
  }
  const format = values['--format'] ?? 'text';
  if (format !== 'text' && format !== 'json') return refuse(`no format "${format}"; it is text or json.`);
  const dry = flags.has('--dry-run');
  if (dry && !flags.has('--fix')) return refuse('--dry-run goes with --fix; a check without it writes nothing.');
  if (dry && format === 'json') return refuse('--dry-run prints a diff, so it has no --format json.');
  const fix = dry ? 'dry run' : flags.has('--fix') ? 'write' : null;
  return { do: 'check', files, machine, role, format, color: !flags.has('--no-color'), fix };
}
