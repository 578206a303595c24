import { chooseVocabulary } from '../machineFile/resolve.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import { someOf } from '../service/machineSearch.ts';
import type { MachineStore, OpenedMachine } from './machines.ts';
import { decoded, foldersAbove, fromPath, nameOf, shown } from './uri.ts';

/** The vocabulary that one text is checked by. */
export interface VocabularyChoice {
  readonly vocabulary: Vocabulary;
  /** Canonical URI of its file; null for the built-in one. */
  readonly uri: string | null;
  /** Why the file that should decide is not used, in a sentence; null where all is well. */
  readonly fault: string | null;
}

/** Chooses the vocabulary file for a text on its machine, as machine files are chosen. */
export async function vocabularyOf(
  store: MachineStore,
  uri: string,
  textPath: string | null,
  machine: OpenedMachine | null,
): Promise<VocabularyChoice> {
  const named = machine?.machine?.placeholders ?? null;
  const lists =
    named === null ? await Promise.all(foldersAbove(uri).map((folder) => store.vocabulariesIn(folder))) : [];
  const candidates = new Map(lists.flat().map((one) => [decoded(one), one]));
  const choice = chooseVocabulary({
    machinePath: machine && decoded(machine.uri),
    named,
    textPath,
    candidates: [...candidates.keys()],
  });
  const usual = (fault: string | null): VocabularyChoice => ({
    vocabulary: store.vocabulary(machine, null),
    uri: null,
    fault,
  });
  if (choice.among.length > 0)
    return usual(
      `More than one vocabulary file could be meant (${someOf(choice.among.map(nameOf))}): name one in the machine file as “placeholders”.`,
    );
  if (choice.path === null) return usual(null);
  const place = candidates.get(choice.path) ?? fromPath('file:///', choice.path);
  const read = await store.readVocabulary(place, choice.named && machine ? machine.uri : place);
  if (read.file) return { vocabulary: store.vocabulary(machine, read), uri: read.uri, fault: null };
  return usual(
    `The vocabulary file ${shown(place)}${choice.named ? ', which the machine file names,' : ''} ${read.fault === null ? 'holds no vocabulary' : `cannot be read: ${read.fault}`}.`,
  );
}
