import { readPart } from '../check/part.ts';
import { draftVocabulary } from '../drafting/draft.ts';
import type { DraftSource } from '../drafting/evidence.ts';
import type { Machine } from '../machine/machine.ts';
import { languageFor } from '../placeholders/languageFor.ts';
import { tagStyleOf, type Vocabulary } from '../placeholders/vocabulary.ts';
import { budgetOf, prepare } from '../service/analyze.ts';
import { commandsText, unknownNamed } from '../service/draftCommands.ts';
import { type Role, roleOfName } from '../syntax/role.ts';
import { decode } from '../text/decode.ts';
import type { DraftRequest } from './arguments.ts';
import { cannot, type ExitCode, type Io } from './io.ts';
import { makeFinder } from './machines.ts';
import { SEQUENCES, SPLIT } from './opened.ts';

/** A sequence as it was read, with the machine and the vocabulary that it belongs to. */
interface Opened {
  readonly text: string;
  readonly role: Role;
  readonly machine: Machine | null;
  readonly vocabulary: Vocabulary;
}

/** Reads one of the files; says why it cannot be, and then gives null. */
async function open(name: string, request: DraftRequest, io: Io): Promise<Opened | null> {
  const file = io.resolve(name);
  const bytes = await io.readFile(file, SEQUENCES);
  if ('reason' in bytes) {
    cannot(io, name, bytes.reason, 'read');
    return null;
  }
  const pick = request.machine === null ? null : io.resolve(request.machine);
  const { machine, vocabulary } = await makeFinder(io).find(file, pick);
  if (pick !== null && !machine) {
    cannot(io, `machine file ${request.machine}`, 'it cannot be used', 'read');
    return null;
  }
  return { text: decode(bytes).text, role: request.role ?? roleOfName(io.name(file)), machine, vocabulary };
}

/** Prints a vocabulary file to begin with, made from one or several sequences. */
export async function draftPlaceholders(request: DraftRequest, io: Io): Promise<ExitCode> {
  const sources: DraftSource[] = [];
  let machine: Machine | null = null;
  for (const name of new Set(request.files)) {
    const opened = await open(name, request, io);
    if (!opened) return 2;
    machine ??= opened.machine;
    sources.push({ name, text: opened.text, role: opened.role });
  }
  io.write(draftVocabulary(sources, machine).text);
  return 0;
}

/** Prints the named commands that the machine file of a sequence lacks. */
export async function draftCommands(request: DraftRequest, io: Io): Promise<ExitCode> {
  const [name] = request.files;
  const opened = await open(name, request, io);
  if (!opened) return 2;
  const { text, role, machine, vocabulary } = opened;
  const prepared = prepare(text, role, machine, tagStyleOf(vocabulary), budgetOf(role), languageFor(vocabulary));
  const part = readPart(prepared.tree, budgetOf(role));
  if (part)
    io.writeError(
      `bookend: ${name} was read ${part.upTo ?? 'not even up to line 2'}, because it has ${part.has}. Commands in the rest of it are missing in what is printed. ${SPLIT}\n`,
    );
  io.write(commandsText(unknownNamed(prepared, vocabulary)));
  return 0;
}
