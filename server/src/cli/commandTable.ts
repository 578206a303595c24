import { MATERIALS } from '../program/totals.ts';
import { ROLES } from '../syntax/role.ts';
import { RULE_LEVELS } from './levels.ts';
import { MACHINE_LIMIT } from './machineLimit.ts';
import type { OptionRow } from './optionRow.ts';
import { PACKAGE_LIMITS } from './packageLimits.ts';

/** A command as its arguments are read and its help page is written: the only place that lists them. */
export interface CommandRow {
  readonly name: string;
  /** Behind "bookend NAME", one per way of calling it. */
  readonly synopsis: readonly string[];
  /** One line, in lower case. */
  readonly purpose: string;
  readonly about: readonly string[];
  readonly options: readonly OptionRow[];
  /** Meaning of exit codes 0, 1 and 2; null where a code does not occur. */
  readonly exit: readonly [string, string | null, string];
  /** What is typed, and what it does. */
  readonly examples: readonly (readonly [string, string])[];
}

const MACHINE: OptionRow = {
  name: '--machine',
  value: 'FILE',
  help: 'Check against this machine file. Without it the machine is found as in the editor: a machine file that lists the sequence, else the only one in its folder or the nearest folder above.',
};
const ROLE: OptionRow = {
  name: '--role',
  value: 'ROLE',
  help: `${ROLES.slice(0, -1).join(', ')} or ${ROLES.at(-1)}. Without it the file’s name says which.`,
};
const FORCE: OptionRow = { name: '--force', value: null, help: 'Write over a file that is there already.' };
const ENTRY: OptionRow = {
  name: '--entry',
  value: 'NAME',
  help: 'Which program of the package, by its name as "bookend list" prints it. Needed where there is more than one.',
};

/** Options that every command has. */
export const COMMON: readonly OptionRow[] = [
  {
    name: '--no-color',
    value: null,
    help: 'No colours. They are also left out where the output is no terminal, and where NO_COLOR is set.',
  },
  { name: '--help', value: null, help: 'Print this page.' },
  { name: '--version', value: null, help: 'Print the version.' },
];

const CHECK: CommandRow = {
  name: 'check',
  synopsis: ['[options] FILE|FOLDER|PATTERN|-...', '--fix [--dry-run] [options] FILE...'],
  purpose: 'tell what is wrong in sequences, programs, packages and machine files',
  about: [
    'Checks sequences (*.start.gcode, *.end.gcode, ...), finished programs, packages with programs in them, machine files (*.machine.json) and vocabulary files (*.placeholders.json). Whether a file is a package, a text or neither is seen from its bytes, never from its name.',
    'Of a folder all that lies in it and below is checked: files named as above, and packages with a program in them. Hidden folders are left out. A pattern may hold *, ?, [abc], {a,b} and ** for any folders; a file of that very name comes first. "-" is standard input, given once.',
    'Programs up to 300 kB are checked in one piece, as in the editor. Longer ones are streamed: memory stays the same whatever their size, and of each rule the first findings are told with their places, then how many there are. Several long programs are checked at the same time, on all cores; what is printed stands in the order in which they were named.',
  ],
  options: [
    MACHINE,
    MACHINE_LIMIT,
    ROLE,
    { name: '--name', value: 'NAME', help: 'Name of what comes from standard input: it is shown, and gives the role.' },
    {
      name: '--format',
      value: 'FORMAT',
      help: 'text (the default) for people; json, sarif (SARIF 2.1.0) or junit for programs.',
    },
    {
      name: '--severity',
      value: 'LEVEL',
      help: `Least severity that is told: ${RULE_LEVELS.join(', ')}. Errors are always told, so the exit code stays as it is.`,
    },
    {
      name: '--max-findings',
      value: 'N',
      help: 'Tell at most N findings in all, and how many are left out. The exit code stays as it is.',
    },
    {
      name: '--quiet',
      value: null,
      help: 'Print findings and nothing else: no notes, no closing count, no progress. Nothing at all where nothing is found.',
    },
    {
      name: '--fix',
      value: null,
      help: 'Make the fixes that leave no choice, and no others. The findings that are printed are those that remain. Encoding and ends of line stay as they are.',
    },
    {
      name: '--dry-run',
      value: null,
      help: 'With --fix: write nothing, print a unified diff, which patch -p0 applies.',
    },
    ...PACKAGE_LIMITS,
  ],
  exit: [
    'No error was found. Warnings and weaker findings do not count.',
    'An error was found, or remains after --fix.',
    'Something could not be checked or written; everything else was.',
  ],
  examples: [
    ['bookend check cold.start.gcode', 'One sequence, on the machine beside it.'],
    ['bookend check jobs "spare/**/*.gcode"', 'A folder and a pattern.'],
    ['bookend check --format sarif . > found.sarif', 'A report for another program.'],
    ['bookend check --role start - < cold.txt', 'Standard input.'],
  ],
};

const LIST: CommandRow = {
  name: 'list',
  synopsis: ['[options] PACKAGE'],
  purpose: 'tell what a package holds',
  about: [
    'Prints the entries of a zip or gzip package: size, packed size, date, what each is, and its name. Programs are marked with an arrow. What an entry is, is seen from its bytes. Nothing is written.',
  ],
  options: [{ name: '--format', value: 'FORMAT', help: 'text (the default) or json.' }, ...PACKAGE_LIMITS],
  exit: ['The package was listed.', null, 'It could not be read, or is no package.'],
  examples: [['bookend list tray.zip', 'What is in it?']],
};

const EXTRACT: CommandRow = {
  name: 'extract',
  synopsis: ['[options] PACKAGE'],
  purpose: 'take a program out of a package, checked while it is written',
  about: [
    'Writes the program of a package as a plain file, and checks it on the way. The file has its name only when it is whole: until then it is written under another, which is removed if anything goes wrong. Size and checksum that the package gives are verified, and a checksum file that lies beside the program in the package or beside the package on disk (.md5, .sha1, .sha256, .sha512).',
    'Without --out the file is written into the folder that the command runs in, under the last part of the name that it has in the package. Nothing is written over unless --force is given. A plain text under the name of a package is taken as the program itself.',
  ],
  options: [
    ENTRY,
    { name: '--out', value: 'FILE', help: 'Where to: a file, or a folder that is there.' },
    FORCE,
    MACHINE,
    MACHINE_LIMIT,
    { name: '--quiet', value: null, help: 'Print findings only.' },
    ...PACKAGE_LIMITS,
  ],
  exit: [
    'Written, and no error was found in it.',
    'Written, and an error was found in it.',
    'Nothing was written, or it was and could not be checked.',
  ],
  examples: [
    ['bookend extract tray.zip', 'The only program in it, into this folder.'],
    ['bookend extract --entry batches/two.gcode --out /media/stick tray.zip', 'One of several, onto the stick.'],
  ],
};

const SUMMARY: CommandRow = {
  name: 'summary',
  synopsis: ['[options] FILE'],
  purpose: 'tell what a program or a sequence does, in numbers',
  about: [
    'Prints size, extents of travel and of extrusion, layers, heights, time, filament and its mass, hottest set points, tools, and where the start and the end of a program lie. Findings are counted, not printed. What is not known is left out. "-" is standard input.',
  ],
  options: [
    MACHINE,
    MACHINE_LIMIT,
    ROLE,
    ENTRY,
    { name: '--name', value: 'NAME', help: 'Name of what comes from standard input.' },
    {
      name: '--material',
      value: 'NAME',
      help: `What the filament is, for its mass: ${MATERIALS.slice(0, -1).join(', ')} or ${MATERIALS.at(-1)}. Without it the mass of the usual ones is told.`,
    },
    { name: '--format', value: 'FORMAT', help: 'text (the default) or json.' },
    ...PACKAGE_LIMITS,
  ],
  exit: ['Printed.', null, 'The file could not be read.'],
  examples: [['bookend summary bracket.gcode', 'How long, how high, how much?']],
};

const EXPLAIN: CommandRow = {
  name: 'explain',
  synopsis: ['[--machine FILE] [RULE|COMMAND|FAMILY]'],
  purpose: 'tell what a rule finds and why, or what a command does',
  about: ['Prints the reference page of a rule, a command or a family of commands. Alone it lists them all.'],
  options: [
    { name: '--machine', value: 'FILE', help: 'Tell it for this machine, with its own commands.' },
    MACHINE_LIMIT,
  ],
  exit: ['Printed.', null, 'Nothing has that name.'],
  examples: [
    ['bookend explain not-awaited', 'A rule.'],
    ['bookend explain M109', 'A command.'],
  ],
};

const FILL: CommandRow = {
  name: 'fill',
  synopsis: ['[options] FILE'],
  purpose: 'print a sequence as a job would run it',
  about: [
    'Fills in the placeholders and prints the sequence, byte for byte. Where a value is missing nothing is printed.',
  ],
  options: [
    { name: '--job', value: 'FILE', help: 'The job’s values, a JSON object; names nested or dotted.' },
    { name: '--set', value: 'NAME=VALUE', many: true, help: 'One value, over those of the job file. May be repeated.' },
    { name: '--usual', value: null, help: 'Usual values for whatever the job does not give.' },
    MACHINE,
    MACHINE_LIMIT,
    ROLE,
  ],
  exit: ['Printed.', null, 'It could not be filled in; standard error says where and why.'],
  examples: [['bookend fill --usual --set part.top=40 cold.start.gcode', 'Usual values, but for one.']],
};

const DRAFT_PLACEHOLDERS: CommandRow = {
  name: 'draft-placeholders',
  synopsis: ['[options] FILE…'],
  purpose: 'print a vocabulary file to begin with',
  about: [
    'Infers from one or several sequences in one placeholder language how its tags, sections and expressions are written, and which names it has. Each line says what it was inferred from; what no sequence shows is asked, with one line for each answer. Several sequences show more than one.',
  ],
  options: [MACHINE, MACHINE_LIMIT, ROLE],
  exit: ['Printed.', null, 'A file could not be read.'],
  examples: [
    ['bookend draft-placeholders cold.start.gcode > own.placeholders.json', 'A first draft.'],
    ['bookend draft-placeholders cold.start.gcode cold.end.gcode', 'From two sequences.'],
  ],
};

const DRAFT_COMMANDS: CommandRow = {
  name: 'draft-commands',
  synopsis: ['[options] FILE'],
  purpose: 'print the named commands that a machine file lacks',
  about: [
    'Prints the "commands" part of a machine file: the named commands of a sequence that its machine file does not know, and what is to be filled in.',
  ],
  options: [MACHINE, MACHINE_LIMIT, ROLE],
  exit: ['Printed.', null, 'The file could not be read.'],
  examples: [['bookend draft-commands cold.start.gcode', 'What is missing?']],
};

/** All commands, in the order of the overview. */
export const COMMANDS: readonly CommandRow[] = [
  CHECK,
  LIST,
  EXTRACT,
  SUMMARY,
  EXPLAIN,
  FILL,
  DRAFT_PLACEHOLDERS,
  DRAFT_COMMANDS,
];
