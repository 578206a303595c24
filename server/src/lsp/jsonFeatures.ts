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
import type { ClientAbilities } from './abilities.ts';
import { flatSymbols } from './convert.ts';
import type { Feature } from './feature.ts';
import { JSON_TRIGGERS } from './jsonAccess.ts';
import type { JsonFile, JsonFiles } from './jsonFiles.ts';
import type { RequestContext } from './requestContext.ts';
import { isRecord } from './settings.ts';

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
