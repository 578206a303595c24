import { readMachine } from '../machine/load.ts';
import { type Analysis, analyze } from '../service/analyze.ts';
import { fixesOf } from '../service/fixes.ts';
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
import type { CheckRequest } from './arguments.ts';
import { fixFile } from './fix.ts';
import { cannot, type ExitCode, type Io } from './io.ts';
import { toJson } from './json.ts';
import { type Found, makeFinder } from './machines.ts';
import type { FileReport } from './report.ts';
import { toText } from './text.ts';

/**
 * Checks files and prints what was found. With `fix`, mends first what needs no person to look at it, or prints as a
 * diff what it would change.
 */
export async function checkFiles(request: CheckRequest, io: Io): Promise<ExitCode> {
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
  let failed = false;
  for (const path of request.files) {
    const absolute = io.resolve(path);
    const bytes = await io.readFile(absolute);
    if ('reason' in bytes) {
      cannot(io, path, bytes.reason);
      failed = true;
      continue;
    }
    const decoded = decode(bytes);
    const { text } = decoded;
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
    const role = request.role ?? roleOfName(io.name(absolute));
    if (request.fix === null) {
      reports.push(sequenceReport(path, text, role, found));
      continue;
    }
    const again = (other: string): Analysis => analyzed(other, role, found);
    const result = await fixFile({ path, absolute, bytes, decoded }, again, request.fix, io);
    if (result.failed) failed = true;
    reports.push({ ...sequenceReport(path, result.text, role, found), fixed: result.fixed });
  }
  // A machine file that is wrong in places gives wrong answers: its findings are told even where nobody asked for it.
  for (const [path, report] of used) {
    if (!asked.has(path) && report.findings.length > 0) reports.push(report);
  }
  print(reports, request, io);
  if (failed) return 2;
  return reports.some(({ findings }) => findings.some(({ severity }) => severity === 'error')) ? 1 : 0;
}

function print(reports: readonly FileReport[], request: CheckRequest, io: Io): void {
  // The output of a dry run is a diff and nothing else, so that `patch` can read it.
  if (request.fix === 'dry run') {
    const count = reports.reduce((sum, { fixed }) => sum + (fixed?.length ?? 0), 0);
    io.writeError(`${count} ${count === 1 ? 'finding' : 'findings'} would be fixed; nothing was written.\n`);
  } else if (request.format === 'json') io.write(toJson(reports));
  else if (reports.length > 0) io.write(toText(reports, io.color && request.color));
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
    fixes: () => [],
    fixed: null,
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
  return {
    path,
    text,
    lines,
    role: null,
    machine,
    findings,
    undecided: [],
    trace: null,
    verdict: null,
    note: null,
    fixes: () => [],
    fixed: null,
  };
}

/** With the severities that the machine file chooses; a rule that is off there says nothing. */
function analyzed(text: string, role: Role, { machine, vocabulary }: Found): Analysis {
  const analysis = analyze(text, role, machine, vocabulary);
  if (!machine || machine.rules.size === 0) return analysis;
  return {
    ...analysis,
    findings: weighed(analysis.findings, machine.rules),
    open: analysis.open.filter(({ rule }) => machine.rules.get(rule) !== 'off'),
  };
}

function sequenceReport(path: string, text: string, role: Role, context: Found): FileReport {
  const { machine, fault, note } = context;
  const analysis = analyzed(text, role, context);
  const { findings: found, open, trace, verdict } = analysis;
  return {
    path,
    text,
    lines: lineIndex(text),
    role,
    machine: machine?.name ?? null,
    findings: fault === null ? found : [vocabularyNote(text, fault), ...found],
    undecided: open,
    trace,
    verdict,
    note,
    fixes: (finding) => fixesOf(analysis, finding),
    fixed: null,
  };
}
