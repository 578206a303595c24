import { readMachine } from '../machine/load.ts';
import { analyze } from '../service/analyze.ts';
import { draftVocabulary } from '../service/draftVocabulary.ts';
import { checkMachineFile } from '../service/machineFile.ts';
import { isMachineName, isVocabularyName } from '../service/machineSearch.ts';
import { weighed } from '../service/severity.ts';
import {
  checkVocabularyFile,
  misfit,
  misfitFinding,
  missingVocabulary,
  vocabularyNote,
} from '../service/vocabularyFile.ts';
import { type Role, roleOfName } from '../syntax/role.ts';
import { decode } from '../text/decode.ts';
import { lineIndex } from '../text/lines.ts';
import { HELP, type Request, readArguments } from './arguments.ts';
import { fillFile } from './fill.ts';
import type { Io } from './io.ts';
import { toJson } from './json.ts';
import { type Found, makeFinder } from './machines.ts';
import type { FileReport } from './report.ts';
import { toText } from './text.ts';

/** 0: no error found. 1: some error found. 2: something could not be checked. */
export type ExitCode = 0 | 1 | 2;

/** Runs one command. `args`: what stands behind the program's name. */
export async function run(args: readonly string[], io: Io): Promise<ExitCode> {
  const request = readArguments(args);
  switch (request.do) {
    case 'help':
      io.write(HELP);
      return 0;
    case 'version':
      io.write(`${io.version}\n`);
      return 0;
    case 'refuse':
      io.writeError(`bookend: ${request.message}\n`);
      return 2;
    case 'check':
      return checkFiles(request, io);
    case 'draft':
      return draft(request, io);
    case 'fill':
      return fillFile(request, io);
  }
}

/** Prints a vocabulary file to begin with, made from one sequence. */
async function draft(request: Extract<Request, { do: 'draft' }>, io: Io): Promise<ExitCode> {
  const file = io.resolve(request.file);
  const bytes = await io.readFile(file);
  if ('reason' in bytes) return cannot(io, request.file, bytes.reason, 'read');
  const pick = request.machine === null ? null : io.resolve(request.machine);
  const { machine } = await makeFinder(io).find(file, pick);
  if (pick !== null && !machine) return cannot(io, `machine file ${request.machine}`, 'it cannot be used', 'read');
  io.write(draftVocabulary(decode(bytes).text, request.role ?? roleOfName(io.name(file)), machine).text);
  return 0;
}

type CheckRequest = Extract<Request, { do: 'check' }>;

async function checkFiles(request: CheckRequest, io: Io): Promise<ExitCode> {
  const pick = request.machine === null ? null : io.resolve(request.machine);
  if (pick !== null) {
    const bytes = await io.readFile(pick);
    // Without it every answer would be about another machine than the one that was asked for.
    if ('reason' in bytes) return cannot(io, `machine file ${request.machine}`, bytes.reason);
  }
  const finder = makeFinder(io);
  const reports: FileReport[] = [];
  const asked = new Set<string>();
  const used = new Map<string, FileReport>();
  let unread = false;
  for (const path of request.files) {
    const absolute = io.resolve(path);
    const bytes = await io.readFile(absolute);
    if ('reason' in bytes) {
      cannot(io, path, bytes.reason);
      unread = true;
      continue;
    }
    const { text } = decode(bytes);
    if (isMachineName(io.name(absolute))) {
      asked.add(absolute);
      reports.push(machineReport(path, text, await finder.namesOf(absolute, text)));
      continue;
    }
    if (isVocabularyName(io.name(absolute))) {
      asked.add(absolute);
      reports.push(vocabularyReport(path, text));
      continue;
    }
    const found = await finder.find(absolute, pick);
    if (found.path !== null) used.set(found.path, machineReport(io.shorten(found.path), found.text, found));
    if (found.names) used.set(found.names.path, vocabularyReport(io.shorten(found.names.path), found.names.text));
    reports.push(sequenceReport(path, text, request.role ?? roleOfName(io.name(absolute)), found));
  }
  // A machine file that is wrong in places gives wrong answers: its findings are told even where nobody asked for it.
  for (const [path, report] of used) {
    if (!asked.has(path) && report.findings.length > 0) reports.push(report);
  }
  if (request.format === 'json') io.write(toJson(reports));
  else if (reports.length > 0) io.write(toText(reports, io.color && request.color));
  if (unread) return 2;
  return reports.some(({ findings }) => findings.some(({ severity }) => severity === 'error')) ? 1 : 0;
}

function cannot(io: Io, what: string, reason: string, doing = 'check'): ExitCode {
  io.writeError(`bookend: cannot ${doing} ${what}: ${reason}.\n`);
  return 2;
}

function vocabularyReport(path: string, text: string): FileReport {
  const findings = checkVocabularyFile(text);
  const lines = lineIndex(text);
  return {
    path,
    text,
    lines,
    role: null,
    machine: null,
    findings,
    undecided: [],
    trace: null,
    verdict: null,
    note: null,
  };
}

/** `fault` and `names`: the vocabulary file that it names, or why that is not used. */
function machineReport(path: string, text: string, { fault, names }: Pick<Found, 'fault' | 'names'>): FileReport {
  const read = readMachine(text).machine;
  const wrong = read && names ? misfit(read, names.file) : null;
  const notes = [
    fault === null ? null : missingVocabulary(text, fault),
    wrong === null ? null : misfitFinding(text, wrong),
  ];
  const findings = [...checkMachineFile(text), ...notes.filter((note) => note !== null)];
  const machine = read?.name ?? null;
  const lines = lineIndex(text);
  return { path, text, lines, role: null, machine, findings, undecided: [], trace: null, verdict: null, note: null };
}

function sequenceReport(
  path: string,
  text: string,
  role: Role,
  { machine, vocabulary, fault, note }: Found,
): FileReport {
  const { findings: found, open, trace, verdict } = analyze(text, role, machine, vocabulary);
  const all = fault === null ? found : [vocabularyNote(text, fault), ...found];
  const findings = machine ? weighed(all, machine.rules) : all;
  const lines = lineIndex(text);
  return { path, text, lines, role, machine: machine?.name ?? null, findings, undecided: open, trace, verdict, note };
}
