import { ROLES, type Role } from '../syntax/role.ts';
import { type FillRequest, readFillArguments } from './fillArguments.ts';

/** What the person asked for. */
export type Request =
  | { readonly do: 'help' }
  | { readonly do: 'version' }
  | { readonly do: 'refuse'; readonly message: string }
  | {
      readonly do: 'check';
      readonly files: readonly string[];
      /** Path of a machine file; null: found as in the editor. */
      readonly machine: string | null;
      /** null: as the file's name says. */
      readonly role: Role | null;
      readonly format: 'text' | 'json';
      /** false: no colours, even on a terminal. */
      readonly color: boolean;
    }
  | {
      readonly do: 'draft';
      readonly file: string;
      /** Path of a machine file; null: found as for a check. */
      readonly machine: string | null;
      readonly role: Role | null;
    }
  | FillRequest;

export const HELP = `Usage: bookend check [options] FILE...
       bookend fill [--job JOB.json] [--set NAME=VALUE]... [--usual] FILE
       bookend draft-placeholders [--machine FILE] [--role ROLE] FILE

Checks start and end sequences (*.start.gcode, *.end.gcode, ...), whole programs
(*.gcode), machine files (*.machine.json) and vocabulary files
(*.placeholders.json). draft-placeholders prints a vocabulary file to begin with,
made from the placeholders of a sequence. fill prints a sequence as a job would
run it, byte for byte.

Options
  --machine FILE        Check against this machine file. Without it the machine is
                        found as in the editor: a machine file that lists the
                        sequence, else the only one in its folder or the nearest
                        folder above.
  --role ROLE           ${ROLES.join(', ')}.
                        Without it the file's name says which.
  --format text|json    text (the default) for people, json for programs.
  --no-color            No colours. They are also left out where the output is no
                        terminal, and where NO_COLOR is set.
  --job FILE            fill: the job's values, a JSON object; names nested or dotted.
  --set NAME=VALUE      fill: one value, over those of the job file.
  --usual               fill: usual values for whatever the job does not give.
  --version             Print the version.
  --help                Print this.

Exit code: 0 no error found, 1 some error found, 2 something could not be checked
or filled in.

The checks replace neither the machine's manual nor watching the first run.
`;

const refuse = (message: string): Request => ({ do: 'refuse', message });

const TAKES_VALUE = ['--machine', '--role', '--format'] as const;

/** Reads the arguments behind the program's name. Options may stand anywhere before `--`; `--name=value` works too. */
export function readArguments(args: readonly string[]): Request {
  const [command, ...rest] = args;
  if (command === '--help' || command === '-h' || command === 'help') return { do: 'help' };
  if (command === '--version') return { do: 'version' };
  if (command === undefined) return refuse('no command given; use "bookend check FILE", or --help.');
  if (command === 'fill') return readFillArguments(rest);
  if (command !== 'check' && command !== 'draft-placeholders')
    return refuse(`no command "${command}"; there are check, fill and draft-placeholders. See --help.`);

  const files: string[] = [];
  const values: Partial<Record<(typeof TAKES_VALUE)[number], string>> = {};
  let color = true;
  for (let i = 0; i < rest.length; i++) {
    const arg = rest[i] ?? '';
    if (arg === '--') {
      files.push(...rest.slice(i + 1));
      break;
    }
    if (arg === '--help' || arg === '-h') return { do: 'help' };
    if (arg === '--version') return { do: 'version' };
    if (arg === '--no-color') {
      color = false;
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

  if (files.length === 0) return refuse(`no file given; use "bookend ${command} FILE".`);
  const role = values['--role'] === undefined ? null : ROLES.find((one) => one === values['--role']);
  if (role === undefined) return refuse(`no role "${values['--role']}"; it is one of ${ROLES.join(', ')}.`);
  if (command === 'draft-placeholders') {
    const [file = '', ...others] = files;
    if (others.length > 0)
      return refuse('draft-placeholders takes one file: a vocabulary is drafted from one sequence.');
    if (values['--format'] !== undefined) return refuse('draft-placeholders has no --format; see --help.');
    return { do: 'draft', file, machine: values['--machine'] ?? null, role };
  }
  const format = values['--format'] ?? 'text';
  if (format !== 'text' && format !== 'json') return refuse(`no format "${format}"; it is text or json.`);
  return { do: 'check', files, machine: values['--machine'] ?? null, role, format, color };
}
