import { type Listed, listPackage, type PackageEntry } from '../packages/package.ts';
import type { ListRequest } from './arguments.ts';
import { cannot, type ExitCode, type Io } from './io.ts';
import { withFile } from './opened.ts';
import { grouped, plain, plural } from './plain.ts';

/** Prints what a package holds. */
export async function listFile({ file, limits, format }: ListRequest, io: Io): Promise<ExitCode> {
  const listed = await withFile(io, io.resolve(file), (open) => listPackage(open, io.inflate, limits));
  if ('reason' in listed) return cannot(io, file, listed.reason, 'list');
  if (!listed.ok) return cannot(io, file, listed.message, 'list');
  io.write(format === 'json' ? listJson(file, listed) : listText(file, listed));
  return 0;
}

type Package = Listed & { readonly ok: true };

function listJson(path: string, { what, entries }: Package): string {
  const rows = entries.map((entry) => ({
    name: entry.name,
    what: entry.what,
    program: entry.program,
    size: entry.size,
    packed: entry.packed,
    date: entry.date,
    problem: entry.problem,
    caution: entry.caution,
  }));
  return `${JSON.stringify({ version: 1, path, what, entries: rows }, null, 2)}\n`;
}

function listText(path: string, { what, entries, programs }: Package): string {
  const head = `${plain(path)}: ${what}, ${plural(entries.length, 'entry', 'entries')}, ${plural(programs.length, 'program', 'programs')}.\n`;
  return `${head}\n${entriesTable(entries)}`;
}

/** Deflate packs no further (zlib's technical notes): a gzip file that is said to hold more is cut short, or long. */
const MOST = 1032;

const sizeOf = ({ size, packed, place }: PackageEntry): string =>
  place.packing === 'gzip' && size > packed * MOST ? '?' : grouped(size);

/** Size, packed size, date, what it is, name: names are last, since they may be long. */
export function entriesTable(entries: readonly PackageEntry[]): string {
  const rows = entries.map((entry) => [
    entry.program ? '->' : '',
    sizeOf(entry),
    grouped(entry.packed),
    (entry.date ?? '').replace('T', ' ').slice(0, 16),
    plain(entry.what),
    plain(entry.name) || '(no name)',
  ]);
  const all = [['', 'size', 'packed', 'date', 'what', 'name'], ...rows];
  const widths = [0, 1, 2, 3, 4].map((i) => Math.max(...all.map((row) => row[i]?.length ?? 0)));
  const notes = entries.map(({ problem, caution }) => problem ?? caution);
  return all
    .map((row, at) => {
      const cells = row.map((cell, i) =>
        i === 1 || i === 2 ? cell.padStart(widths[i] ?? 0) : cell.padEnd(widths[i] ?? 0),
      );
      const note = at > 0 ? notes[at - 1] : null;
      return `${cells.join('  ').trimEnd()}\n${note ? `      ${plain(note)}\n` : ''}`;
    })
    .join('');
}
