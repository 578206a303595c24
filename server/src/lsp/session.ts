import type { TextDocument } from 'vscode-languageserver-textdocument';
import { tooLarge } from '../files/read.ts';
import type { Finding } from '../rules/rule.ts';
import type { NotFollowed } from '../service/notFollowed.ts';
import { severitiesOf, weighed } from '../service/severity.ts';
import { vocabularyNote } from '../service/vocabularyFile.ts';
import { type Role, roleOfName } from '../syntax/role.ts';
import type { Pieces } from '../text/pieces.ts';
import type { Asked } from './asked.ts';
import { type Chooser, type MachineChoice, missingMachine } from './choice.ts';
import { type Documents, decidesOthers, isMachineDocument, isVocabularyDocument } from './documents.ts';
import type { Analysis, Engine } from './engine.ts';
import type { OpenedMachine } from './machines.ts';
import type { MachineItem, CheckState as MachineState, Status } from './messages.ts';
import { makeNotFollowed, sameList } from './notFollowed.ts';
import type { Runner, Task } from './runner.ts';
import { RAISE_LARGEST_MACHINE_FILE, type Settings, type SettingsStore } from './settings.ts';
import { canonical, folderOf, nameOf, schemeOf, shown } from './uri.ts';

/** One document as checked last. The object stays the same for as long as nothing that it depends on changes. */
export interface CheckedDocument {
  readonly document: TextDocument;
  readonly version: number;
  readonly settings: Settings;
  /** null for machine and vocabulary files. */
  readonly choice: MachineChoice | null;
  /** Something in a machine file that only other files show. */
  readonly extra: Finding | null;
  /** Of a vocabulary file: what open sequences have of its language that cannot be followed. */
  readonly notFollowed: readonly NotFollowed[];
  /** null for machine and vocabulary files, and for texts that are too large. */
  readonly analysis: Analysis | null;
  readonly findings: readonly Finding[];
  /** The findings as they are told: with the severities of the machine file and the settings, without what is off. */
  readonly told: readonly Finding[];
}

/** What a session knows of the open documents. */
export interface Session {
  readonly engine: Engine;
  /** null where the document is not open (any more). Of the same state of a text only one check runs, for all who wait. */
  check(uri: string, asked: Asked): Promise<CheckedDocument | null>;
  status(uri: string, asked: Asked): Promise<Status | null>;
  chooseRole(uri: string, role: Role | null): void;
  forget(uri: string): void;
}

/** A session as one request sees it. */
export interface OwnSession extends Pick<Session, 'engine'> {
  check(uri: string): Promise<CheckedDocument | null>;
  status(uri: string): Promise<Status | null>;
}

export interface SessionParts {
  readonly engine: Engine;
  readonly runner: Runner;
  readonly documents: Documents;
  readonly settings: SettingsStore;
  readonly chooser: Chooser;
  readonly roles: Readonly<Record<string, Role>>;
  /** A text has grown past the size limit, or is below it again. */
  readonly sizeChanged: (uri: string) => void;
  /** What sequences have of a vocabulary's language that cannot be followed is something else now; its canonical URI. */
  readonly notFollowedChanged: (uri: string) => void;
}

/** Checks documents and remembers the results by version, machine, role and settings. */
export function makeSession(parts: SessionParts): Session {
  const { engine, runner, documents, settings, chooser, roles, sizeChanged, notFollowedChanged } = parts;
  const running = new Map<string, Running>();
  const results = new Map<string, CheckedDocument>();
  const untold = makeNotFollowed(engine, results, notFollowedChanged);
  const chosenRoles = new Map(Object.entries(roles).map(([uri, role]) => [canonical(uri), role]));

  const roleOf = (uri: string): Role => chosenRoles.get(canonical(uri)) ?? defaultRole(uri);

  /** All that is said belongs to the version at the beginning; null where the text has changed before it was said. */
  const checkNow = function* (base: State): Pieces<CheckedDocument | null> {
    const { document, version, settings: held, choice, extra, notFollowed } = base;
    const { uri } = document;
    const role = roleOf(uri);
    const { whole, analysis: kept, hadAnalysis } = stillTrue(results.get(uri), base, role);
    if (whole) return whole;
    const toldBefore = untold.by(results.get(uri));
    // The last analysis goes before the next is made: of a long program two at a time are a burden.
    results.delete(uri);
    const text = document.getText();
    let analysis: Analysis | null = null;
    let findings: readonly Finding[] = [];
    if (!choice) {
      findings = [...findingsOfFile(engine, document, text, held, notFollowed), ...(extra ? [extra] : [])];
    } else if (text.length <= held.largestText) {
      const isCurrent = () => documents.get(uri) === document && document.version === version;
      const again = () => engine.analyze(text, role, choice.file?.machine ?? null, choice.names.vocabulary);
      analysis = kept ?? (yield* whileTrue(isCurrent, again()));
      if (!analysis) return null;
      const missing = missingMachine(choice, text);
      const unnamed = choice.names.fault === null ? null : vocabularyNote(text, choice.names.fault);
      const notes = [missing, unnamed].filter((note) => note !== null);
      findings = notes.length > 0 ? [...notes, ...analysis.findings] : analysis.findings;
    }
    const told = weighed(findings, severitiesOf(choice?.file?.machine?.rules, held.rules));
    const checked: CheckedDocument = { ...base, analysis, findings, told };
    results.set(uri, checked);
    untold.tell(toldBefore, untold.by(checked));
    if (hadAnalysis !== null && hadAnalysis !== (checked.analysis !== null)) sizeChanged(uri);
    return checked;
  };

  /** One check for all who ask for the same. */
  const join = (state: State, asked: Asked): Promise<CheckedDocument | null> => {
    const { uri } = state.document;
    const role = roleOf(uri);
    const now = running.get(uri);
    if (now && !now.task.isOver() && now.role === role && isSame(now.state, state)) return now.task.for(asked);
    const task = runner.start(checkNow(state));
    running.set(uri, { state, role, task });
    return task.for(asked);
  };

  const check = async (uri: string, asked: Asked): Promise<CheckedDocument | null> => {
    for (;;) {
      const document = documents.get(uri);
      if (!document) return null;
      const held = await settings.of(uri);
      const choice = decidesOthers(document) ? null : await chooser.of(uri, held);
      const extra = isMachineDocument(document) ? await chooser.ofMachine(uri, document.getText()) : null;
      // It may have been closed, or closed and opened again, meanwhile.
      if (documents.get(uri) !== document) return null;
      const notFollowed = isVocabularyDocument(document) ? untold.to(uri) : [];
      const state = { document, version: document.version, settings: held, choice, extra, notFollowed };
      const checked = await join(state, asked);
      if (checked) return checked;
      // Whoever does not mind an edit gets what is true of the new text.
    }
  };

  const item = (file: OpenedMachine): MachineItem => machineItem(engine, file);

  const status = async (uri: string, asked: Asked): Promise<Status | null> => {
    const document = documents.get(uri);
    if (!document || decidesOthers(document)) return null;
    const held = await settings.of(uri);
    const choice = await chooser.of(uri, held);
    const known = await chooser.known(uri);
    const isTooLarge = document.getText().length > held.largestText;
    const state: MachineState = isTooLarge ? 'too large' : choice.state;
    return {
      state,
      role: roleOf(uri),
      current: choice.file ? { ...item(choice.file), reason: choice.reason } : null,
      reason: isTooLarge
        ? tooLargeText(uri, document.getText().length, held.largestText)
        : [choice.reason, ...(choice.note === null ? [] : [choice.note])].join(' '),
      picked: choice.picked,
      known: known.map(item),
      verdict: (await check(uri, asked))?.analysis?.verdict ?? null,
    };
  };

  return {
    engine,
    check,
    status,
    chooseRole(uri, role) {
      if (role) chosenRoles.set(canonical(uri), role);
      else chosenRoles.delete(canonical(uri));
    },
    forget(uri) {
      const told = untold.by(results.get(uri));
      results.delete(uri);
      untold.tell(told, null);
      running.delete(uri);
    },
  };
}

/** What of the last result still holds. Only what does is kept hold of. */
function stillTrue(last: CheckedDocument | undefined, now: State, role: Role) {
  if (!last) return { whole: null, analysis: null, hadAnalysis: null };
  const sameAnalysis =
    last.version === now.version &&
    last.document === now.document &&
    last.choice?.file === now.choice?.file &&
    last.choice?.names.vocabulary === now.choice?.names.vocabulary &&
    (last.analysis === null || last.analysis.role === role);
  const same =
    sameAnalysis &&
    last.settings === now.settings &&
    last.choice?.state === now.choice?.state &&
    last.choice?.reason === now.choice?.reason &&
    last.choice?.note === now.choice?.note &&
    last.choice?.names.fault === now.choice?.names.fault &&
    last.extra?.message === now.extra?.message &&
    sameList(last.notFollowed, now.notFollowed);
  return {
    whole: same ? last : null,
    analysis: sameAnalysis ? last.analysis : null,
    hadAnalysis: last.analysis !== null,
  };
}

/** What is wrong in a machine or vocabulary file. */
function findingsOfFile(
  engine: Engine,
  document: TextDocument,
  text: string,
  held: Settings,
  notFollowed: readonly NotFollowed[],
): readonly Finding[] {
  const names = isVocabularyDocument(document);
  const long = tooLong(text.length, held, names);
  if (long) return [long];
  return names ? engine.checkVocabularyFile(text, notFollowed) : engine.checkMachineFile(text);
}

/** What a check begins with. */
type State = Omit<CheckedDocument, 'analysis' | 'findings' | 'told'>;

interface Running {
  readonly state: State;
  readonly role: Role;
  readonly task: Task<CheckedDocument | null>;
}

const isSame = (a: State, b: State): boolean =>
  a.document === b.document &&
  a.version === b.version &&
  a.settings === b.settings &&
  a.choice === b.choice &&
  a.extra?.message === b.extra?.message &&
  sameList(a.notFollowed, b.notFollowed);

/** The work, left off with null once `holds` does not hold any more. */
function* whileTrue<T>(holds: () => boolean, work: Pieces<T>): Pieces<T | null> {
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
    yield;
    if (holds()) continue;
    work.return(undefined as T);
    return null;
  }
}

/** A machine file as pickers show it. */
export const machineItem = (engine: Pick<Engine, 'bedSize'>, file: OpenedMachine): MachineItem => ({
  uri: file.uri,
  name: file.name,
  bed: file.machine?.bed ? engine.bedSize(file.machine.bed) : '',
  folder: nameOf(folderOf(file.uri) ?? ''),
});

/** What the name says. A text without a name yet is most likely a sequence that somebody begins to write. */
function defaultRole(uri: string): Role {
  const named = roleOfName(nameOf(uri));
  return named === 'program' && schemeOf(uri) === 'untitled' ? 'start' : named;
}

/** The finding in a machine or vocabulary file that is too large to be read; null where it is not. */
function tooLong(length: number, { largestMachineFile }: Settings, names: boolean): Finding | null {
  if (length <= largestMachineFile) return null;
  const why = tooLarge(length, { largest: largestMachineFile, raise: RAISE_LARGEST_MACHINE_FILE });
  const rule = names ? 'vocabulary-file' : 'machine-file';
  const message = `This file is not read: ${why}.`;
  return { rule, severity: 'error', span: { start: 0, end: 1 }, message, when: null };
}

const MEGABYTE = 1_000_000;
const tooLargeText = (uri: string, length: number, largest: number): string =>
  `${shown(uri)} has ${(length / MEGABYTE).toFixed(1)} MB, more than the ${(largest / MEGABYTE).toFixed(1)} MB of the setting bookend.largestFile, so it is not checked while you type. The command “Check This Job…” checks all of it.`;
