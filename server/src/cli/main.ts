import { readMachine } from '../machine/load.ts';
import { vocabularyFor } from '../machine/vocabulary.ts';
import { analyze } from '../service/analyze.ts';
import { checkMachineFile } from '../service/machineFile.ts';
import { isMachineName } from '../service/machineSearch.ts';
import { type Role, roleOfName } from '../syntax/role.ts';
import { decode } from '../text/decode.ts';
import { lineIndex } from '../text/lines.ts';
import { HELP, type Request, readArguments } from './arguments.ts';
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
  }
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
  const used = new Map<string, string>();
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
      reports.push(machineReport(path, text));
      continue;
    }
    const found = await finder.find(absolute, pick);
    if (found.path !== null) used.set(found.path, found.text);
    reports.push(sequenceReport(path, text, request.role ?? roleOfName(io.name(absolute)), found));
  }
  // A machine file that is wrong in places gives wrong answers: its findings are told even where nobody asked for it.
  for (const [path, text] of used) {
    const report = machineReport(io.shorten(path), text);
    if (!asked.has(path) && report.findings.length > 0) reports.push(report);
  }
  if (request.format === 'json') io.write(toJson(reports));
  else if (reports.length > 0) io.write(toText(reports, io.color && request.color));
  if (unread) return 2;
  return reports.some(({ findings }) => findings.some(({ severity }) => severity === 'error')) ? 1 : 0;
}

function cannot(io: Io, what: string, reason: string): ExitCode {
  io.writeError(`bookend: cannot check ${what}: ${reason}.\n`);
  return 2;
}

function machineReport(path: string, text: string): FileReport {
  const machine = readMachine(text).machine?.name ?? null;
  const findings = checkMachineFile(text);
  const lines = lineIndex(text);
  return { path, text, lines, role: null, machine, findings, undecided: [], trace: null, note: null };
}

function sequenceReport(path: string, text: string, role: Role, { machine, note }: Found): FileReport {
  const { findings, open, trace } = analyze(text, role, machine, vocabularyFor(machine));
  const lines = lineIndex(text);
  return { path, text, lines, role, machine: machine?.name ?? null, findings, undecided: open, trace, note };
}
