import type { NewFile } from '../files/newFile.ts';
import { checkProgram } from '../program/checkProgram.ts';
import type { ExtractRequest } from './arguments.ts';
import { chooser, hasError } from './choose.ts';
import { type ChosenProgram, chooseProgram } from './chosenProgram.ts';
import { cannot, type ExitCode, type Io, type OpenFile, type Refusal } from './io.ts';
import { makeFinder } from './machines.ts';
import { reasonOf, withFile } from './opened.ts';
import { grouped, plain, plural } from './plain.ts';
import { programTold, withExcerpts } from './programText.ts';
import { counting, progressOf } from './progress.ts';
import type { FileReport } from './report.ts';
import { countText, toText } from './text.ts';

/** Takes a program out of a package, and checks it while it is written. */
export async function extractFile(request: ExtractRequest, io: Io): Promise<ExitCode> {
  const { file, machine } = request;
  const pick = machine === null ? null : io.resolve(machine);
  if (pick !== null) {
    const bytes = await io.readFile(pick);
    if ('reason' in bytes) return cannot(io, `machine file ${machine}`, bytes.reason, 'read');
  }
  const looked = await io.look(io.resolve(file));
  const progress = progressOf(io, 'reason' in looked ? null : looked.size, request.quiet);
  const made = await withFile(counting(io, progress.read), io.resolve(file), (open) =>
    takeOut(open, request, pick, io),
  );
  progress.clear();
  if ('reason' in made) return cannot(io, `a program from ${file}`, made.reason, 'take');
  const { told, note } = made;
  const chosen = chooser('hint', null)(told);
  io.write(toText(chosen, { color: io.color && request.color, quiet: request.quiet }));
  if (!request.quiet) io.write(`${countText([told], 0)}${note}\n`);
  return hasError(told) ? 1 : 0;
}

interface Made {
  readonly told: FileReport;
  readonly note: string;
}

async function takeOut(open: OpenFile, request: ExtractRequest, pick: string | null, io: Io): Promise<Made | Refusal> {
  const program = await chooseProgram(open, request.file, request.entry, request.limits, io);
  if ('reason' in program) return program;
  const target = await placeOf(request, program, io);
  const found = await makeFinder(io).find(target, pick);
  const shown = plain(io.shorten(target));
  if (!request.force && !('reason' in (await io.look(target))))
    return {
      reason: `${shown} is there already. Give another name with --out, or write over it with --force. Nothing was written`,
    };
  const file = await io.create(target, { overwrite: request.force, from: io.resolve(request.file) });
  if ('reason' in file) return { reason: `${shown} cannot be written: ${file.reason}` };
  const check = checkProgram(found.machine, found.vocabulary);
  const fault = await copy(program.bytes, file, (piece) => check.push(piece));
  const changed = fault ?? (await open.changed());
  if (changed !== null) {
    await file.drop();
    return { reason: `${changed.replace(/\.$/, '')}. Nothing was written` };
  }
  const refused = await file.keep();
  if (refused !== null) return { reason: `${shown} cannot be written: ${refused}. Nothing was written` };
  const report = check.end();
  const written = programTold(io.shorten(target), null, report, found);
  const again = await withFile(io, target, (file) => withExcerpts(written, file));
  const told = 'reason' in again ? written : again;
  const sum = program.sum === null ? '' : `, as ${plain(program.sum)} says`;
  const caution = program.caution === null ? '' : `\nNote: ${plain(program.caution)}`;
  const note = `Written: ${shown}, ${plural(report.bytes, 'byte', 'bytes')}, ${grouped(report.lines)} lines${sum}.${caution}`;
  return { told, note };
}

/** Writes all pieces. What went wrong, as a reason; null where nothing did. */
async function copy(
  bytes: ChosenProgram['bytes'],
  file: NewFile,
  also: (piece: Uint8Array) => void,
): Promise<string | null> {
  try {
    for await (const piece of bytes) {
      // The disk works while the piece is checked.
      const written = file.write(piece);
      written.catch(() => {}); // told where it is awaited
      also(piece);
      await written;
    }
    return null;
  } catch (error) {
    return reasonOf(error);
  }
}

async function placeOf({ out }: ExtractRequest, { name }: ChosenProgram, io: Io): Promise<string> {
  if (out === null) return io.resolve(name);
  const place = io.resolve(out);
  const looked = await io.look(place);
  const isFolder = !('reason' in looked) && looked.kind === 'folder';
  return isFolder || /[\\/]$/.test(out) ? io.resolve(place, name) : place;
}
