import {
  type CompletionParams,
  CompletionRequest,
  CompletionTriggerKind,
  type DocumentFormattingParams,
  DocumentFormattingRequest,
  type DocumentRangeFormattingParams,
  DocumentRangeFormattingRequest,
  DocumentSymbolRequest,
  FoldingRangeRequest,
  type HoverParams,
  HoverRequest,
  type SelectionRangeParams,
  SelectionRangeRequest,
} from 'vscode-languageserver';
import { jsonSchemas } from '../service/jsonSchema.ts';
import type { ClientAbilities } from './abilities.ts';
import { flatSymbols } from './convert.ts';
import { type Documents, decidesOthers, isVocabularyDocument } from './documents.ts';
import type { Feature } from './features.ts';
import type { JsonFile, JsonFiles, Schemas } from './jsonFiles.ts';
import type { RequestContext } from './requestContext.ts';
import { isRecord, type SettingsStore } from './settings.ts';

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

type Answer = (files: JsonFiles, file: JsonFile, params: never, abilities: ClientAbilities) => unknown;

/** The requests that machine and vocabulary files have answers of their own to. */
const ANSWERS: ReadonlyMap<string, Answer> = new Map<string, Answer>([
  [
    CompletionRequest.method,
    (files, file, { position }: CompletionParams, { snippets }) => files.complete(file, position, snippets),
  ],
  [HoverRequest.method, (files, file, { position }: HoverParams) => files.hover(file, position)],
  [
    DocumentSymbolRequest.method,
    (files, file, _params, { nestedSymbols }) =>
      nestedSymbols ? files.symbols(file) : flatSymbols(file.document.uri, files.symbols(file)),
  ],
  [FoldingRangeRequest.method, (files, file) => files.folding(file)],
  [
    SelectionRangeRequest.method,
    (files, file, { positions }: SelectionRangeParams) => files.selection(file, positions),
  ],
  [
    DocumentFormattingRequest.method,
    (files, file, { options }: DocumentFormattingParams) => files.format(file, options),
  ],
  [
    DocumentRangeFormattingRequest.method,
    (files, file, { options, range }: DocumentRangeFormattingParams) => files.format(file, options, range),
  ],
]);

/** Signs after which completion is asked for in these files only: in a sequence nothing begins there. */
export const JSON_TRIGGERS: readonly string[] = ['"', ':'];

/** The same row, which answers about machine and vocabulary files as well. */
export function withJsonFiles(row: Feature): Feature {
  const answer = ANSWERS.get(row.method);
  if (!answer) return row;
  return {
    ...row,
    async answer(context: RequestContext, params: unknown) {
      const uri = (params as { readonly textDocument: { readonly uri: string } }).textDocument.uri;
      const file = await context.json.file(uri);
      if (!file) return isForJson(params) ? row.empty : row.answer(context, params);
      return (await answer(await context.json.files(), file, params as never, context.abilities)) ?? row.empty;
    },
  };
}

function isForJson(params: unknown): boolean {
  const { context } = params as { readonly context?: unknown };
  if (!isRecord(context) || context.triggerKind !== CompletionTriggerKind.TriggerCharacter) return false;
  return JSON_TRIGGERS.includes(String(context.triggerCharacter));
}
