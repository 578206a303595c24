import { readArguments } from './arguments.ts';
import { checkFiles } from './check.ts';
import { draftCommands, draftPlaceholders } from './draft.ts';
import { explain } from './explain.ts';
import { extractFile } from './extract.ts';
import { fillFile } from './fill.ts';
import { commandHelp, overview } from './help.ts';
import type { ExitCode, Io } from './io.ts';
import { listFile } from './list.ts';
import { readingUpTo } from './machineLimit.ts';
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
      return request.what === 'placeholders' ? draftPlaceholders(request, io) : draftCommands(request, io);
    case 'fill':
      return fillFile(request, io);
    case 'explain':
      return explain(request, io);
  }
}
