import { readMachine } from '../machineFile/load.ts';
import { type Analysis, analyze } from '../service/analyze.ts';
import { fixesOf } from '../service/fixes.ts';
import { checkMachineFile } from '../service/machineFile.ts';
import { type NotFollowed, notFollowedFindings, notFollowedIn } from '../service/notFollowed.ts';
import { weighed } from '../service/severity.ts';
import {
  checkVocabularyFile,
  misfit,
  misfitFinding,
  missingVocabulary,
  vocabularyNote,
} from '../service/vocabularyFile.ts';
import type { Role } from '../syntax/role.ts';
import { lineIndex } from '../text/lines.ts';
import type { FoundMachine } from './machines.ts';
import type { Whole } from './report.ts';

/** What is said of any text that is neither a sequence nor a program. */
const plainFile = (path: string, text: string): Whole => ({
  path,
  entry: null,
  text,
  lines: lineIndex(text),
  role: null,
  machine: null,
  findings: [],
  undecided: [],
  trace: null,
  verdict: null,
  note: null,
  fixes: () => [],
  fixWork: 0,
  fixed: null,
});

/** Of a machine file that could not be read: why. */
export const unreadReport = (path: string, reason: string): Whole => ({
  ...plainFile(path, ''),
  findings: [
    {
      rule: 'machine-file',
      severity: 'error',
      span: { start: 0, end: 0 },
      message: `This machine file cannot be read: ${reason}.`,
      when: null,
    },
  ],
});

export const vocabularyReport = (path: string, text: string, notFollowed: readonly NotFollowed[] = []): Whole => ({
  ...plainFile(path, text),
  findings: checkVocabularyFile(text, notFollowed),
});

/** Of a vocabulary file only what sequences have of its language that Bookend cannot follow. */
export const notFollowedReport = (path: string, text: string, notFollowed: readonly NotFollowed[]): Whole => ({
  ...plainFile(path, text),
  findings: notFollowedFindings(text, notFollowed),
});

/** `fault` and `names`: the vocabulary file that it names, or why that is not used. */
export function machineReport(
  path: string,
  text: string,
  { fault, names }: Pick<FoundMachine, 'fault' | 'names'>,
): Whole {
  const read = readMachine(text).machine;
  const wrong = read && names ? misfit(read, names.file) : null;
  const notes = [
    fault === null ? null : missingVocabulary(text, fault),
    wrong === null ? null : misfitFinding(text, wrong),
  ];
  const findings = [...checkMachineFile(text), ...notes.filter((note) => note !== null)];
  return { ...plainFile(path, text), machine: read?.name ?? null, findings };
}

/** With the severities that the machine file chooses; a rule that is off there says nothing. */
export function analyzed(text: string, role: Role, { machine, vocabulary }: FoundMachine): Analysis {
  const analysis = analyze(text, role, machine, vocabulary);
  if (!machine || machine.rules.size === 0) return analysis;
  return {
    ...analysis,
    findings: weighed(analysis.findings, machine.rules),
    open: analysis.open.filter(({ rule }) => machine.rules.get(rule) !== 'off'),
  };
}

/** A sequence or a program that is checked in one piece. */
export function textReport(path: string, entry: string | null, text: string, role: Role, context: FoundMachine): Whole {
  const { machine, fault, note } = context;
  const analysis = analyzed(text, role, context);
  const { findings, open, trace, verdict } = analysis;
  return {
    ...plainFile(path, text),
    entry,
    role,
    machine: machine?.name ?? null,
    findings: fault === null ? findings : [vocabularyNote(text, fault), ...findings],
    undecided: open,
    trace,
    verdict,
    note,
    notFollowed: notFollowedIn(analysis),
    fixes: (finding) => fixesOf(analysis, finding),
    fixWork: 1 + analysis.commands.length + analysis.tree.tags.length,
  };
}
