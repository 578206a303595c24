import { readPart } from '../check/part.ts';
import { type Data, isGroup } from '../placeholders/data.ts';
import { firstContact } from '../placeholders/firstContact.ts';
import { languageFor } from '../placeholders/languageFor.ts';
import type { Expressions } from '../placeholders/tags.ts';
import { type Name, tagStyleOf, type Vocabulary } from '../placeholders/vocabulary.ts';
import { seen } from '../rules/unknownLanguage.ts';
import { budgetOf, prepare } from '../service/analyze.ts';
import { fillIn, flat } from '../service/fillIn.ts';
import { unknownNames, unknownNameText } from '../service/jobNames.ts';
import { roleOfName } from '../syntax/role.ts';
import { decode } from '../text/decode.ts';
import { encode } from '../text/encode.ts';
import { lineIndex } from '../text/lines.ts';
import type { FillRequest } from './fillArguments.ts';
import type { Io } from './io.ts';
import { makeFinder } from './machines.ts';
import { SEQUENCES, SPLIT } from './opened.ts';

/**
 * Prints a sequence as a job would run it: these bytes and no others on standard output. Where something cannot be
 * filled in, nothing is printed there, and all that is wrong goes to standard error with its place.
 * Exit code 0, or 2 where it could not be filled in.
 */
export async function fillFile(request: FillRequest, io: Io): Promise<0 | 2> {
  const fail = (message: string): 2 => {
    io.writeError(`bookend: ${message}\n`);
    return 2;
  };
  const place = io.resolve(request.file);
  const bytes = await io.readFile(place, SEQUENCES);
  if ('reason' in bytes) return fail(`cannot read ${request.file}: ${bytes.reason}.`);
  const pick = request.machine === null ? null : io.resolve(request.machine);
  const { machine, vocabulary, note, fault } = await makeFinder(io).find(place, pick);
  if (pick !== null && !machine) return fail(`cannot use the machine file ${request.machine}: ${note ?? 'unreadable'}`);
  if (fault !== null) return fail(fault);

  const given = await readJob(request, vocabulary, io);
  if (typeof given === 'string') return fail(given);
  const decoded = decode(bytes);
  const role = request.role ?? roleOfName(io.name(place));
  const unread = role === 'program' ? null : notRead(decoded.text, vocabulary);
  if (unread !== null)
    return fail(
      `cannot fill in ${request.file}: it has ${unread}, which its vocabulary does not describe. Draft one from it with bookend draft-placeholders ${request.file}, and name it in the machine file.`,
    );
  const prepared = prepare(
    decoded.text,
    role,
    machine,
    tagStyleOf(vocabulary),
    budgetOf(role),
    languageFor(vocabulary),
  );
  const part = readPart(prepared.tree, budgetOf(role));
  if (part) return fail(`cannot fill in ${request.file}: it has ${part.has}. ${SPLIT}`);
  const wrong = wrongNames(request, given, vocabulary, prepared.expressions);
  for (const message of wrong) io.writeError(`bookend: ${message}\n`);
  if (wrong.length > 0) return fail('nothing was filled in: see above.');
  const { text, problems } = fillIn(prepared, vocabulary, given, request.usual);
  if (problems.length > 0) {
    const lines = lineIndex(decoded.text);
    for (const { span, message } of problems) {
      const { line, character } = lines.position(span.start);
      io.writeError(`${request.file}:${line + 1}:${character + 1}: ${message}\n`);
    }
    const missing = [...new Set(problems.flatMap(({ name }) => name ?? []))];
    if (!machine && note !== null && missing.some((name) => vocabulary.names.get(name)?.fromMachine))
      io.writeError(`bookend: ${note}\n`);
    return fail(
      missing.length > 0
        ? `nothing was filled in: the job gives no value for ${missing.join(', ')}. Give them in the job file or with --set, or take usual values with --usual.`
        : 'nothing was filled in: see above.',
    );
  }
  io.writeBytes(encode(text, decoded));
  return 0;
}

/** What the text has of a placeholder language with delimiters that are not the vocabulary's; null: nothing. */
function notRead(text: string, vocabulary: Vocabulary): string | null {
  const contact = firstContact(text, vocabulary);
  const own = new Set(tagStyleOf(vocabulary).pairs.map(({ open }) => open));
  return contact?.foreign.pairs.some(([open]) => !own.has(open)) ? seen(contact) : null;
}

/** What is said of names that the job gives and nothing reads. */
function wrongNames(
  { set, job }: FillRequest,
  given: Readonly<Record<string, Data>>,
  vocabulary: Vocabulary,
  expressions: Expressions,
): string[] {
  const asked = new Set(set.map(({ name }) => name));
  return unknownNames(new Map(Object.entries(given)), vocabulary, expressions).map((one) =>
    unknownNameText(one, asked.has(one.name) || job === null ? '--set' : `the job ${job}`),
  );
}

/** The job's values by dotted name, those of --set on top; why there are none, in a sentence, where that is so. */
async function readJob(request: FillRequest, vocabulary: Vocabulary, io: Io): Promise<Record<string, Data> | string> {
  let values = new Map<string, Data>();
  if (request.job !== null) {
    const bytes = await io.readFile(io.resolve(request.job), SEQUENCES);
    if ('reason' in bytes) return `cannot read the job ${request.job}: ${bytes.reason}.`;
    let data: Data;
    try {
      data = JSON.parse(decode(bytes).text);
    } catch (error) {
      return `the job ${request.job} is no JSON: ${error instanceof Error ? error.message : String(error)}.`;
    }
    if (!isGroup(data))
      return `the job ${request.job} holds no names: it must be an object in { }, names nested or dotted.`;
    values = flat(data);
  }
  for (const { name, value } of request.set) values.set(name, readValue(value, vocabulary.names.get(name)));
  for (const [name, value] of values) {
    const fault = faultOf(value, vocabulary.names.get(name));
    if (fault !== null) return `the value of ${name} is ${JSON.stringify(value)?.slice(0, 60)}, ${fault}`;
  }
  return Object.fromEntries(values);
}

/** What a value on the command line is: as the name's kind wants it, else JSON where it reads as such, else text. */
function readValue(value: string, name: Name | undefined): Data {
  if (name?.kind === 'text') return value;
  try {
    return JSON.parse(value);
  } catch {
    return value;
  }
}

/** Why a value does not fit its name's kind, as the rest of a sentence; null where it does. */
function faultOf(value: Data, name: Name | undefined): string | null {
  if (!name || value === null) return null;
  switch (name.kind) {
    case 'text':
      return typeof value === 'string' ? null : 'and it is a text: put it in double quotes.';
    case 'flag':
      return typeof value === 'boolean' ? null : 'and it is true or false.';
    case 'list':
      return Array.isArray(value) || (typeof value === 'number' && value >= 0 && Number.isInteger(value))
        ? null
        : 'and it is a list in [ ], or how many elements it has.';
    default:
      return typeof value === 'number' ? null : `and it is a ${name.kind}: give a number, with a point and no unit.`;
  }
}
