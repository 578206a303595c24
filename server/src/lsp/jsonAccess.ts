import { jsonSchemas } from '../service/jsonSchema.ts';
import { type Documents, decidesOthers, isVocabularyDocument } from './documents.ts';
import type { JsonFile, JsonFiles, Schemas } from './jsonFiles.ts';
import type { SettingsStore } from './settings.ts';

/** Brings the part of the server that knows JSON; it may be asked again where that failed. */
export type LoadJson = () => Promise<{ readonly makeJsonFiles: (schemas: Schemas) => JsonFiles }>;

/** What the session's requests about machine and vocabulary files need. */
export interface JsonAccess {
  /** The open machine or vocabulary file of this URI; null: it is none, or too large to be read. */
  file(uri: string): Promise<JsonFile | null>;
  /** Loaded at the first call. */
  files(): Promise<JsonFiles>;
}

export function makeJsonAccess(load: LoadJson, documents: Documents, settings: SettingsStore): JsonAccess {
  let loaded: JsonFiles | null = null;
  return {
    async file(uri) {
      const { largestMachineFile } = await settings.of(uri);
      const document = documents.get(uri);
      if (!document || !decidesOthers(document) || document.getText().length > largestMachineFile) return null;
      return { document, kind: isVocabularyDocument(document) ? 'vocabulary' : 'machine' };
    },
    async files() {
      loaded ??= (await load()).makeJsonFiles(jsonSchemas());
      return loaded;
    },
  };
}

/** Signs after which completion is asked for in these files only: in a sequence nothing begins there. */
export const JSON_TRIGGERS: readonly string[] = ['"', ':'];
