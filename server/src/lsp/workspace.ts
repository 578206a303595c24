import { TextDocument } from 'vscode-languageserver-textdocument';
import { type Folders, filesBelow } from '../service/machineSearch.ts';
import { type NamedText, readingNamedText } from '../service/uses.ts';
import { roleOfName } from '../syntax/role.ts';
import type { Chooser, MachineChoice } from './choice.ts';
import { type Documents, decidesOthers } from './documents.ts';
import type { Files } from './files.ts';
import type { Work } from './runner.ts';
import { RAISE_LARGEST_TEXT, type SettingsStore } from './settings.ts';
import type { Trust } from './trust.ts';
import { canonical, folderOf, fromPath, inFolder, nameOf } from './uri.ts';

/** A text of the workspace: open in an editor, or as it is on disk. */
export interface WorkspaceText {
  readonly document: TextDocument;
  /** null: not open. */
  readonly version: number | null;
}

/** A sequence with the names in it. */
export interface WorkspaceSequence extends WorkspaceText {
  readonly names: NamedText;
  readonly choice: MachineChoice;
}

/** What a request about names may look at beyond its own document. */
export interface Workspace {
  /** URIs of the workspace folders, as they are now. */
  readonly roots: ReadonlySet<string>;
  /** Every sequence that can be found: open ones, those of the workspace folders, those that machine files list. */
  sequences(near: string, work: Work): Promise<readonly WorkspaceSequence[]>;
  /** A file that has been read, as its editor has it where it is open. */
  textOf(uri: string, text: string): WorkspaceText;
}

export interface WorkspaceParts {
  readonly documents: Documents;
  readonly files: Files;
  readonly chooser: Chooser;
  readonly settings: SettingsStore;
  readonly trust: Trust;
  /** URIs of the workspace folders; read anew at each request. */
  readonly roots: ReadonlySet<string>;
}

/** More sequences than these are not looked through. */
const MOST = 1000;

export function makeWorkspace({ documents, files, chooser, settings, trust, roots }: WorkspaceParts): Workspace {
  const folders: Folders = { list: (folder) => files.list(folder), join: inFolder };

  /** Where sequences may be, each with the file that names it, or itself where it was found. */
  const places = async (near: string): Promise<{ readonly uri: string; readonly from: string }[]> => {
    const home = folderOf(near);
    const found = await Promise.all([...roots].map((root) => filesBelow(folders, canonical(root), isSequenceName)));
    const beside = home === null ? [] : await folders.list(home);
    const listed = (await chooser.known(near)).flatMap(({ uri, machine }) =>
      [...(machine?.sequences.values() ?? [])]
        .flat()
        .map((path) => ({ uri: canonical(fromPath(folderOf(uri) ?? uri, path)), from: uri })),
    );
    const here = beside.filter((e) => !e.folder && isSequenceName(e.name)).map((e) => inFolder(home ?? '', e.name));
    const own = (one: string) => ({ uri: canonical(one), from: canonical(one) });
    const all = [...here.map(own), ...listed, ...found.flat().map(own)];
    // Of a file that was found and is named as well, the first way counts.
    return [...new Map(all.toReversed().map((place) => [place.uri, place])).values()].toReversed().slice(0, MOST);
  };

  const textOf = (uri: string, text: string): WorkspaceText => {
    const open = documents.all().find((document) => canonical(document.uri) === canonical(uri));
    if (open) return { document: open, version: open.version };
    return { document: TextDocument.create(uri, '', 0, text), version: null };
  };

  const read = async (uri: string, from: string, work: Work): Promise<WorkspaceSequence | null> => {
    const held = await settings.of(uri);
    const open = documents.text(canonical(uri));
    const limits = { largest: held.largestText, raise: RAISE_LARGEST_TEXT, within: trust.within(from) };
    const got = open === undefined ? await files.read(uri, limits) : { text: open };
    if ('reason' in got) return null;
    const onDisk = got.text;
    const choice = await chooser.of(uri, held);
    const text = textOf(uri, onDisk);
    const content = text.document.getText();
    if (content.length > held.largestText) return null;
    const machine = choice.file?.machine ?? null;
    const role = roleOfName(nameOf(uri));
    const names = await work(readingNamedText(content, role, machine, choice.names.vocabulary));
    // The text and its names belong to one version.
    if (text.version !== null && text.document.version !== text.version) return read(uri, from, work);
    // Only open documents are forgotten when they close.
    if (text.version === null) {
      chooser.forget(uri);
      settings.forget(uri);
    }
    return { ...text, names, choice };
  };

  return {
    roots,
    textOf,
    async sequences(near, work) {
      const open = documents.all().filter((document) => !decidesOthers(document));
      const known = new Set(open.map(({ uri }) => canonical(uri)));
      const others = (await places(near)).filter(({ uri }) => !known.has(uri));
      const all: WorkspaceSequence[] = [];
      // One by one: a workspace may hold many, and a server has other things to answer meanwhile.
      for (const { uri, from } of [...open.map(({ uri }) => ({ uri, from: uri })), ...others]) {
        const sequence = await read(uri, from, work);
        if (sequence) all.push(sequence);
      }
      return all;
    },
  };
}

/** Whether a file of this name is a sequence: its name states a role. */
const isSequenceName = (name: string): boolean => roleOfName(name) !== 'program';
