import { catalogFor } from '../commands/catalog.ts';
import { normalCode } from '../commands/named.ts';
import { writtenCode } from '../commands/record.ts';
import type { Machine } from '../machine/machine.ts';
import { readMachine } from '../machineFile/load.ts';
import { RULES } from '../rules/all.ts';
import { bySubject } from '../rules/subjects.ts';
import { commandPage } from '../service/commandPage.ts';
import { capital } from '../service/phrase.ts';
import { families } from '../service/reference.ts';
import { rulePage } from '../service/rulePage.ts';
import { decode } from '../text/decode.ts';
import { nearest } from '../text/nearest.ts';
import type { ExplainRequest } from './arguments.ts';
import { cannot, type ExitCode, type Io } from './io.ts';
import { plain } from './plain.ts';
import { plainPage } from './plainPage.ts';

/** Prints the reference page of a rule or a command, or what there is to ask for. 2 where nothing has that name. */
export async function explain({ name, machine: file }: ExplainRequest, io: Io): Promise<ExitCode> {
  let machine: Machine | null = null;
  if (file !== null) {
    const bytes = await io.readFile(io.resolve(file));
    if ('reason' in bytes) return cannot(io, `machine file ${file}`, bytes.reason, 'read');
    machine = readMachine(decode(bytes).text).machine;
    if (!machine) return cannot(io, `machine file ${file}`, 'it holds no machine', 'use');
  }
  const page = name === null ? overview(machine) : pageOf(name, machine);
  if (page !== null) {
    io.write(page);
    return 0;
  }
  const near = likely(name ?? '', machine);
  const hint = near.length > 0 ? ` Did you mean ${near.join(' or ')}?` : ' "bookend explain" lists what there is.';
  io.writeError(`bookend: no rule, command or family of commands is called "${plain(name ?? '')}".${hint}\n`);
  return 2;
}

function pageOf(name: string, machine: Machine | null): string | null {
  const rule = RULES.find(({ id }) => id === name.toLowerCase());
  if (rule) return plainPage(rulePage(rule));
  const code = normalCode(name.trim());
  const catalog = catalogFor(machine);
  // `T0` is the command T with its number.
  const record = catalog.find(code) ?? (/^T\d+$/.test(code) ? catalog.find('T') : null);
  if (record) return plainPage(commandPage(record, machine?.controller ?? null));
  const family = families().find((one) => one.family === name.toLowerCase());
  if (!family) return null;
  return plainPage(
    `# ${capital(family.family)}\n\n${table(family.codes.map((one) => [one, catalog.find(one)?.title ?? '']))}`,
  );
}

/** Every rule by subject, every family of commands, and the machine's own commands. */
function overview(machine: Machine | null): string {
  const rules = bySubject(RULES).map(
    (subject) =>
      `## ${subject.title}\n\n${table(subject.rules.map(({ id, severity, title }) => [id, severity, title]))}`,
  );
  const all = families().map(({ family, codes }) => [family, codes.join(' ')]);
  const known = catalogFor(machine);
  const own = (machine?.commands ?? []).map(({ name, meaning }) => [
    writtenCode(known.find(normalCode(name)), normalCode(name)),
    meaning,
  ]);
  return plainPage(
    [
      '# Rules',
      ...rules,
      '# Commands',
      table(all),
      ...(machine && own.length > 0 ? [`# Commands of ${marked(machine.name)}`, table(own)] : []),
      '"bookend explain NAME" tells more about a rule, a command or a family of commands.',
    ].join('\n\n'),
  );
}

const table = (rows: readonly (readonly string[])[]): string =>
  rows.map((row) => `| ${row.map(marked).join(' | ')} |`).join('\n');

/** Text of the user's, on one row, that must not act as Markdown. */
const marked = (text: string): string => text.replace(/\s+/g, ' ').replace(/[\\|`*[\]<&]/g, '\\$&');

/** What may have been meant, rules first. */
function likely(name: string, machine: Machine | null): readonly string[] {
  const rules = nearest(
    name,
    RULES.map(({ id }) => id),
  );
  const named = families().map((f): string => f.family);
  const found = [
    ...rules,
    ...catalogFor(machine).suggest(normalCode(name)),
    ...nearest(name, named),
    // "extrusion" for "extrusion and retraction".
    ...named.filter((one) => one.split(' ').includes(name.toLowerCase())),
  ];
  return [...new Set(found)].slice(0, 3);
}
