import { type Connection, TextDocuments } from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { isMachineName, isVocabularyName } from '../service/machineSearch.ts';
import { canonical, nameOf } from './uri.ts';

/** The documents that are open in the client's editors, kept up to date by incremental sync. */
export interface Documents {
  get(uri: string): TextDocument | undefined;
  all(): readonly TextDocument[];
  /** The text of the document with this canonical URI; undefined where it is not open. */
  text(uri: string): string | undefined;
}

/** What the session does when documents come, change and go. */
export interface DocumentEvents {
  opened(document: TextDocument): void;
  /** Also called once behind `opened`. */
  changed(document: TextDocument): void;
  saved(document: TextDocument): void;
  closed(document: TextDocument): void;
}

/** Starts to follow the client's documents. `TextDocument` ends rows at LF, CRLF and lone CR, as the protocol does. */
export function followDocuments(connection: Connection, events: DocumentEvents): Documents {
  const documents = new TextDocuments(TextDocument);
  const uris = new Map<string, string>();
  documents.onDidOpen(({ document }) => {
    uris.set(canonical(document.uri), document.uri);
    events.opened(document);
  });
  documents.onDidChangeContent(({ document }) => events.changed(document));
  documents.onDidSave(({ document }) => events.saved(document));
  documents.onDidClose(({ document }) => {
    uris.delete(canonical(document.uri));
    events.closed(document);
  });
  documents.listen(connection);
  return {
    get: (uri) => documents.get(uri),
    all: () => documents.all(),
    text: (uri) => documents.get(uris.get(uri) ?? uri)?.getText(),
  };
}

/** Whether a document is a vocabulary file. */
export const isVocabularyDocument = (document: TextDocument): boolean =>
  document.languageId === 'bookend-placeholders' || isVocabularyName(nameOf(document.uri));

/** Whether other documents are checked by what stands in this one. */
export const decidesOthers = (document: TextDocument): boolean =>
  isMachineDocument(document) || isVocabularyDocument(document);

/** Whether a document is a machine file: by its language, or by its name in editors that know no such language. */
export const isMachineDocument = (document: TextDocument): boolean =>
  document.languageId === 'bookend-machine' || isMachineName(nameOf(document.uri));
