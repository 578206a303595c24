import { readPart } from '../check/part.ts';
import { draftVocabulary } from '../drafting/draft.ts';
import { languageFor } from '../placeholders/languageFor.ts';
import { tagStyleOf } from '../placeholders/vocabulary.ts';
import { budgetOf, prepare } from '../service/analyze.ts';
import { commandsText, unknownNamed } from '../service/draftCommands.ts';
import { roleOfName } from '../syntax/role.ts';
import { decode } from '../text/decode.ts';
import { type DraftRequest, readArguments } from './arguments.ts';
import { checkFiles } from './check.ts';
import { explain } from './explain.ts';
import { extractFile } from './extract.ts';
import { fillFile } from './fill.ts';
import { commandHelp, overview } from './help.ts';
import { cannot, type ExitCode, type Io } from './io.ts';
import { listFile } from './list.ts';
import { readingUpTo } from './machineLimit.ts';
import { makeFinder } from './machines.ts';
import { SEQUENCES, SPLIT } from './opened.ts';
import { summaryFile } from './summary.ts';

/** Runs one command. `args`: what stands behind the program's name. */
export async function run(args: readonly string[], world: Io): Promise<ExitCode> {
  const request = readArguments(args);
  const io = 'largestMachineFile' in request ? readingUpTo(world, request.largestMachineFile) : world;
  switch (request.do) {
    case 'help':
      io.write(request.command ? commandHelp(request.command) : overview());
      return 0;
    case 'version':
      io.write(`${io.version}\n`);
      return 0;
    case 'refuse':
      io.writeError(`bookend: ${request.message}\n`);
      return 2;
    case 'check':
      return checkFiles(request, io);
    case 'list':
      return listFile(request, io);
    case 'extract':
      return extractFile(request, io);
    case 'summary':
      return summaryFile(request, io);
    case 'draft':
      return draft(request, io);
    case 'fill':
      return fillFile(request, io);
    case 'explain':
      return explain(request, io);
  }
}

/** Prints a vocabulary file to begin with, or the named commands that a machine file lacks, made from one sequence. */
async function draft(request: DraftRequest, io: Io): Promise<ExitCode> {
  const file = io.resolve(request.file);
  const bytes = await io.readFile(file, SEQUENCES);
  if ('reason' in bytes) return cannot(io, request.file, bytes.reason, 'read');
  const pick = request.machine === null ? null : io.resolve(request.machine);
  const { machine, vocabulary } = await makeFinder(io).find(file, pick);
  if (pick !== null && !machine) return cannot(io, `machine file ${request.machine}`, 'it cannot be used', 'read');
  const { text } = decode(bytes);
  const role = request.role ?? roleOfName(io.name(file));
  if (request.what === 'placeholders') {
    io.write(draftVocabulary([{ name: '', text, role }], machine).text);
    return 0;
  }
  const prepared = prepare(text, role, machine, tagStyleOf(vocabulary), budgetOf(role), languageFor(vocabulary));
  const part = readPart(prepared.tree, budgetOf(role));
  if (part)
    io.writeError(
      `bookend: ${request.file} was read ${part.upTo ?? 'not even up to line 2'}, because it has ${part.has}. Commands in the rest of it are missing in what is printed. ${SPLIT}\n`,
    );
  io.write(commandsText(unknownNamed(prepared, vocabulary)));
  return 0;
}
