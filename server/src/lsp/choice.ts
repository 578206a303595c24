import { isLate } from '../files/read.ts';
import { chooseMachine } from '../machineFile/resolve.ts';
import type { Finding } from '../rules/rule.ts';
import { listedOutside } from '../service/machineFile.ts';
import { type FilesFound, readFound, someOf } from '../service/machineSearch.ts';
import { misfit, misfitFinding, missingVocabulary } from '../service/vocabularyFile.ts';
import { type Documents, isMachineDocument } from './documents.ts';
import type { MachineStore, OpenedMachine } from './machines.ts';
import type { CheckState } from './messages.ts';
import type { Settings } from './settings.ts';
import type { Trust } from './trust.ts';
import { canonical, decoded, folderOf, foldersAbove, fromPath, inFolder, isInside, nameOf, shown } from './uri.ts';
import { type VocabularyChoice, vocabularyOf } from './vocabularies.ts';

/** Which machine one document is checked against, and why. */
export interface MachineChoice {
  readonly file: OpenedMachine | null;
  readonly state: Exclude<CheckState, 'too large'>;
  /** Why, in a sentence. */
  readonly reason: string;
  readonly picked: boolean;
  /** The file that should decide and cannot be used: for `unreadable`. */
  readonly missing: string | null;
  /** What else is to be known of the machine files around it, in whole sentences; null where nothing is. */
  readonly note: string | null;
  readonly names: VocabularyChoice;
}

/** A choice of machine, before that of the vocabulary. */
type UnnamedChoice = Omit<MachineChoice, 'names'>;

/** Chooses machines for documents and remembers the choices until something changes. */
export interface Chooser {
  of(uri: string, settings: Settings): Promise<MachineChoice>;
  /** What is wrong with the files that a machine file names; null where nothing is. */
  ofMachine(uri: string, text: string): Promise<Finding | null>;
  /** The machine files that the picker offers for a document, by name. */
  known(uri: string): Promise<readonly OpenedMachine[]>;
  /** null: no machine; undefined: forget the pick. */
  pick(uri: string, machine: string | null | undefined): void;
  /** Some machine file, pick or setting may have changed. */
  changed(): void;
  forget(uri: string): void;
}

/** `roots`: URIs of the workspace folders; read anew at each choice. */
export function makeChooser(
  machines: MachineStore,
  documents: Documents,
  roots: ReadonlySet<string>,
  remembered: Readonly<Record<string, string | null>>,
  trust: Trust,
): Chooser {
  const picks = new Map(Object.entries(remembered).map(([uri, machine]) => [canonical(uri), machine]));
  const choices = new Map<string, { readonly settings: Settings; readonly choice: Promise<MachineChoice> }>();

  const known = async (uri: string): Promise<FilesFound<OpenedMachine>> => {
    const lists = await Promise.all([
      ...foldersAbove(uri).map((folder) => machines.directlyIn(folder)),
      ...[...roots].map((root) => machines.below(root)),
    ]);
    const open = documents.all().filter(isMachineDocument);
    const uris = new Set([...open.map((document) => canonical(document.uri)), ...lists.flat()]);
    return readFound([...uris], machines.read, ({ fault }) => isLate(fault));
  };

  const choose = async (uri: string, settings: Settings): Promise<MachineChoice> => {
    const choice = await chooseFile(uri, settings);
    const place = placeOf(uri, homeOf(uri, roots));
    return { ...choice, names: await vocabularyOf(machines, uri, place, choice.file) };
  };

  const chooseFile = async (uri: string, { defaultMachine }: Settings): Promise<UnnamedChoice> => {
    const pick = picks.get(canonical(uri));
    if (pick === null) return nothing('no machine', 'No machine, as picked here: machine checks are off.', true);
    const { files, left } = await known(uri);
    const byPath = new Map(files.map((file) => [decoded(file.uri), file]));
    const home = homeOf(uri, roots);
    const picked = pick === undefined ? null : canonical(pick);
    const usual = defaultMachine === '' ? null : fromPath(home ?? 'file:///', defaultMachine);
    const choice = chooseMachine({
      pick: picked && decoded(picked),
      sequencePath: placeOf(uri, home),
      candidates: [...byPath].map(([path, { machine }]) => ({ path, machine })),
      defaultMachine: usual && decoded(usual),
    });
    if (choice.path === null) {
      if (choice.reason === 'none')
        return { ...nothing('no machine', 'No machine file was found: machine checks are off.'), note: left };
      const among = choice.among.flatMap((path) => byPath.get(path) ?? []);
      const names = someOf(among.map(({ name }) => name));
      const reason = `More than one machine could be meant (${names}): choose one. Machine checks are off.`;
      const unread = among.flatMap(({ uri, fault }) =>
        fault === null ? [] : [`${shown(uri)} cannot be read: ${fault}.`],
      );
      const note = [...unread.slice(0, 3), ...(left === null ? [] : [left])].join(' ');
      return { ...nothing('several', reason), note: note === '' ? null : note };
    }
    // A pick or default may lie where nothing was looked for.
    const file = byPath.get(choice.path) ?? (await machines.read(picked ?? usual ?? '', null));
    const why = { picked: picked !== null, missing: null, note: picked === null ? left : null };
    if (file.machine) return { file, state: 'checked', reason: REASONS[choice.reason], ...why };
    const fault = file.fault === null ? 'holds no machine' : `cannot be read: ${file.fault}`;
    const reason = `The machine file ${shown(file.uri)} ${fault}${file.fault === null ? ': machine' : '. Machine'} checks are off.`;
    return { file, state: 'unreadable', reason, ...why, missing: file.uri };
  };

  return {
    of(uri, settings) {
      const before = choices.get(uri);
      if (before?.settings === settings) return before.choice;
      const choice = choose(uri, settings);
      choices.set(uri, { settings, choice });
      // A failure is answered by the caller's guard, and the next one tries again.
      choice.catch(() => choices.delete(uri));
      return choice;
    },
    async ofMachine(uri, text) {
      const file = await machines.read(uri);
      const within = trust.within(uri);
      const isFar = (path: string): boolean => {
        const place = fromPath(folderOf(uri) ?? uri, path);
        return !within?.some((folder) => isInside(place, folder));
      };
      const far = within && file.machine ? listedOutside(text, isFar) : null;
      if (!file.machine?.placeholders) return far;
      const { fault, uri: names } = await vocabularyOf(machines, uri, null, file);
      if (fault !== null) return missingVocabulary(text, fault);
      const read = names === null ? null : await machines.readVocabulary(names, file.uri);
      const wrong = read?.file ? misfit(file.machine, read.file) : null;
      return wrong === null ? far : misfitFinding(text, wrong);
    },
    async known(uri) {
      const { files } = await known(uri);
      return [...files].sort((a, b) => a.name.localeCompare(b.name) || a.uri.localeCompare(b.uri));
    },
    pick(uri, machine) {
      if (machine === undefined) picks.delete(canonical(uri));
      else picks.set(canonical(uri), machine);
      choices.clear();
    },
    changed: () => choices.clear(),
    forget: (uri) => void choices.delete(uri),
  };
}

const REASONS = {
  picked: 'Picked here.',
  listed: 'Its machine file lists this sequence.',
  nearest: 'It is the only machine file in this folder or the nearest one above.',
  default: 'It is the default machine of the settings.',
  several: '',
  none: '',
} as const;

const nothing = (state: MachineChoice['state'], reason: string, picked = false): UnnamedChoice => ({
  file: null,
  state,
  reason,
  picked,
  missing: null,
  note: null,
});

/** The workspace folder of a document; its own folder where it lies in none; null where it has no place at all. */
function homeOf(uri: string, roots: ReadonlySet<string>): string | null {
  const around = [...roots].filter((root) => isInside(uri, root)).sort((a, b) => b.length - a.length);
  return around[0] ?? folderOf(uri) ?? (roots.size === 1 ? [...roots][0] : null) ?? null;
}

/** Where a document lies. One that was never saved counts as lying in the workspace's only folder. */
function placeOf(uri: string, home: string | null): string | null {
  if (folderOf(uri) !== null) return decoded(canonical(uri));
  return home && decoded(inFolder(home, nameOf(uri)));
}

/**
 * The finding in a text whose machine file is missing or holds no machine, or that may belong to one that was not looked
 * at; null where nothing is missing.
 */
export function missingMachine({ missing, reason, note }: MachineChoice, text: string): Finding | null {
  if (missing === null && note === null) return null;
  const end = /^[^\r\n]*/.exec(text)?.[0].length ?? 0;
  const parts = missing === null ? [] : [reason, 'Put the file right, or choose another machine.'];
  const message = [...parts, ...(note === null ? [] : [note])].join(' ');
  return { rule: 'machine-file', severity: 'warning', span: { start: 0, end }, message, when: null };
}
