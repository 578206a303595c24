import { COMMANDS, COMMON, type CommandRow } from './commandTable.ts';
import type { OptionRow } from './optionRow.ts';
import { wrapped } from './plainPage.ts';

const CAUTION = 'The checks replace neither the machine’s manual nor watching the first run.';

/** What `bookend --help` prints: every command in a line. */
export function overview(): string {
  const widest = Math.max(...COMMANDS.map(({ name }) => name.length));
  const rows = COMMANDS.map(({ name, purpose }) =>
    wrapped(purpose, `       ${name.padEnd(widest)}  `, ' '.repeat(widest + 9)),
  );
  return page([
    ['NAME', 'bookend - check what an extrusion printer will be told to do'],
    ['SYNOPSIS', ['bookend COMMAND [options] [FILE...]', 'bookend COMMAND --help']],
    ['COMMANDS', { rows }],
    ['OPTIONS', { rows: COMMON.map(optionText) }],
    [
      'EXIT STATUS',
      {
        rows: [
          exitText(0, 'Done; no error was found.'),
          exitText(1, 'Done; an error was found.'),
          exitText(2, 'Something could not be read, checked, written or filled in.'),
          exitText(130, 'Ended with Ctrl+C. Nothing half written is left behind.'),
        ],
      },
    ],
    ['CAUTION', CAUTION],
  ]);
}

/** What `bookend COMMAND --help` prints. */
export function commandHelp(command: CommandRow): string {
  const { name, synopsis, purpose, about, options, exit, examples } = command;
  return page([
    ['NAME', `bookend ${name} - ${purpose}`],
    ['SYNOPSIS', synopsis.map((one) => `bookend ${name} ${one}`)],
    ['DESCRIPTION', about.join('\n\n')],
    ['OPTIONS', { rows: [...options, ...COMMON].map(optionText) }],
    ['EXIT STATUS', { rows: exit.flatMap((meaning, code) => (meaning === null ? [] : [exitText(code, meaning)])) }],
    ['EXAMPLES', { rows: examples.map(([typed, does]) => `       ${typed}\n${indented(does, 11)}`) }],
    ...(name === 'check' || name === 'extract' ? [['CAUTION', CAUTION] as const] : []),
  ]);
}

type Part = readonly [title: string, body: string | readonly string[] | { readonly rows: readonly string[] }];

function page(parts: readonly Part[]): string {
  const text = parts.map(([title, body]) => `${title}\n${bodyText(body)}`);
  return `${text.join('\n\n')}\n`;
}

function bodyText(body: Part[1]): string {
  if (typeof body === 'string')
    return body
      .split('\n\n')
      .map((one) => indented(one, 7))
      .join('\n\n');
  if ('rows' in body) return body.rows.join('\n');
  return body.map((one) => `       ${one}`).join('\n');
}

const indented = (text: string, by: number): string => wrapped(text, ' '.repeat(by), ' '.repeat(by));

const optionText = ({ name, value, help }: OptionRow): string =>
  `       ${name}${value === null ? '' : ` ${value}`}\n${indented(help, 11)}`;

const exitText = (code: number, meaning: string): string =>
  wrapped(meaning, `       ${String(code).padEnd(3)} `, ' '.repeat(11));
