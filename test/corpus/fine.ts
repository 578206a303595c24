import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Machine } from '../../server/src/machine/machine.ts';
import { type MachineProblem, readMachine } from '../../server/src/machineFile/load.ts';
import { chooseMachine, chooseVocabulary } from '../../server/src/machineFile/resolve.ts';
import type { Vocabulary } from '../../server/src/placeholders/vocabulary.ts';
import type { Severity } from '../../server/src/rules/rule.ts';
import { analyze } from '../../server/src/service/analyze.ts';
import { isMachineName, isVocabularyName } from '../../server/src/service/machineSearch.ts';
import { type Role, roleOfName } from '../../server/src/syntax/role.ts';
import { lineIndex } from '../../server/src/text/lines.ts';
import type { VocabularyFile } from '../../server/src/vocabulary/file.ts';
import { readVocabulary } from '../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../server/src/vocabulary/vocabulary.ts';

/** A correct sequence of the corpus, and what it is checked with: found as the editor finds it. */
export interface Fine {
  /** Its path below `fine/`: `plover-203/anna.start.gcode`. */
  readonly name: string;
  readonly text: string;
  readonly role: Role;
  /** Null in a folder of sequences that nobody wrote a machine file for. */
  readonly machine: Machine | null;
  readonly vocabulary: Vocabulary;
}

/** What is told of a sequence. */
export interface Told {
  readonly name: string;
  /** The first is 1. */
  readonly line: number;
  readonly severity: Severity;
  readonly rule: string;
  readonly message: string;
}

interface Candidate {
  readonly path: string;
  readonly machine: Machine | null;
}

/** The corpus: its sequences, and what is told of its machine and vocabulary files. */
export interface Corpus {
  /** In the order of their names. */
  readonly sequences: readonly Fine[];
  readonly files: readonly Told[];
}

/**
 * Reads all below `fine/`.
 * @param fine Path of that folder.
 * @throws Where it is not clear what a sequence is checked with: such a corpus would say nothing.
 */
export function readFine(fine: string): Corpus {
  const folders = readdirSync(fine, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => readFolder(fine, entry.name));
  const byName = (a: { readonly name: string }, b: { readonly name: string }): number => (a.name < b.name ? -1 : 1);
  return {
    sequences: folders.flatMap(({ sequences }) => sequences).sort(byName),
    files: folders.flatMap(({ files }) => files).sort(byName),
  };
}

function readFolder(fine: string, folder: string): Corpus {
  const names = readdirSync(join(fine, folder)).sort();
  const text = (name: string): string => readFileSync(join(fine, folder, name), 'utf8');
  const files: Told[] = [];
  const machines: Candidate[] = names.filter(isMachineName).map((name) => {
    const path = `${folder}/${name}`;
    const { machine, problems } = readMachine(text(name));
    files.push(...toldOfFile(path, text(name), 'machine-file', problems));
    return { path, machine };
  });
  const vocabularies = new Map<string, VocabularyFile | null>();
  for (const name of names.filter(isVocabularyName)) {
    const path = `${folder}/${name}`;
    const { vocabulary, problems } = readVocabulary(text(name));
    files.push(...toldOfFile(path, text(name), 'vocabulary-file', problems));
    vocabularies.set(path, vocabulary);
  }
  const sequences = names
    .filter((name) => /\.(gcode|gco|g)$/i.test(name))
    .map((name) => {
      const path = `${folder}/${name}`;
      const role = roleOfName(name);
      if (role === 'program') throw new Error(`${path}: a sequence is named *.start.gcode, *.end.gcode and so on`);
      const machine = machineOf(path, machines);
      const words = vocabularyOf(path, machine, [...vocabularies.keys()]);
      const vocabulary = vocabularyFor(machine?.machine ?? null, words === null ? null : vocabularies.get(words));
      return { name: path, text: text(name), role, machine: machine?.machine ?? null, vocabulary };
    });
  return { sequences, files };
}

function toldOfFile(name: string, text: string, rule: string, problems: readonly MachineProblem[]): Told[] {
  const { position } = lineIndex(text);
  return problems.map(({ span, severity, message }) => ({
    name,
    line: position(span.start).line + 1,
    severity,
    rule,
    message,
  }));
}

function machineOf(path: string, candidates: readonly Candidate[]): Candidate | null {
  const choice = chooseMachine({ pick: null, sequencePath: path, candidates, defaultMachine: null });
  if (choice.among.length > 0) throw new Error(`${path}: more than one machine could be meant`);
  return candidates.find((one) => one.path === choice.path) ?? null;
}

function vocabularyOf(path: string, machine: Candidate | null, candidates: readonly string[]): string | null {
  const named = machine?.machine?.placeholders ?? null;
  const choice = chooseVocabulary({ machinePath: machine?.path ?? null, named, textPath: path, candidates });
  if (choice.among.length > 0 || (choice.path !== null && !candidates.includes(choice.path)))
    throw new Error(`${path}: it is not clear which vocabulary file is meant, or there is none at ${choice.path}`);
  return choice.path;
}

/** What is said of a sequence. */
export interface Said {
  /** In the order of its lines; nothing that settings could change is taken out. */
  readonly told: readonly Told[];
  /** The rules that stayed undecided, one for each place. */
  readonly undecided: readonly string[];
}

export function saidOf({ name, text, role, machine, vocabulary }: Fine): Said {
  const { position } = lineIndex(text);
  const { findings, open } = analyze(text, role, machine, vocabulary);
  const told = findings.map(({ span, severity, rule, message }) => ({
    name,
    line: position(span.start).line + 1,
    severity,
    rule,
    message,
  }));
  return { told, undecided: open.map(({ rule }) => rule) };
}

/** Whether a correct text must not be told this: errors and warnings say that something is wrong. */
export const isLoud = ({ severity }: Told): boolean => severity === 'error' || severity === 'warning';

/** One line of `told.txt`: `plover-203/anna.start.gcode:12 warning off-bed`. */
export const rowOf = ({ name, line, severity, rule }: Told): string => `${name}:${line} ${severity} ${rule}`;
