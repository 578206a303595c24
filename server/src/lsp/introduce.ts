import {
  type Connection,
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  DocumentFormattingRequest,
  DocumentRangeFormattingRequest,
  type InitializeParams,
  type InitializeResult,
  TextDocumentSyncKind,
  WatchKind,
} from 'vscode-languageserver';
import type { ClientAbilities } from './abilities.ts';
import { FEATURES } from './features.ts';

const LANGUAGES = ['bookend', 'bookend-machine', 'bookend-placeholders'];

/** URIs of the workspace folders at the start. */
export function rootsOf({ workspaceFolders, rootUri }: InitializeParams): string[] {
  if (workspaceFolders) return workspaceFolders.map(({ uri }) => uri);
  return rootUri ? [rootUri] : [];
}

/** What the server tells the client of itself. */
export function describeServer(abilities: ClientAbilities): InitializeResult {
  return {
    capabilities: {
      positionEncoding: 'utf-16',
      textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: true },
      ...Object.assign({}, ...FEATURES.map(({ offer }) => offer?.(abilities))),
      ...(abilities.folders ? { workspace: { workspaceFolders: { supported: true, changeNotifications: true } } } : {}),
    },
    serverInfo: { name: 'Bookend' },
  };
}

/**
 * Asks the client to report changed settings, machine and vocabulary files, and sequences that are deleted, and offers
 * formatting.
 */
export async function registerForChanges(connection: Connection, abilities: ClientAbilities): Promise<void> {
  if (abilities.registerSettings) {
    await connection.client.register(DidChangeConfigurationNotification.type, { section: 'bookend' });
  }
  if (abilities.registerFiles) {
    const watchers = [
      { globPattern: '**/*.machine.json' },
      { globPattern: '**/*.placeholders.json' },
      { globPattern: '**/*.{gcode,gco,g}', kind: WatchKind.Delete },
    ];
    await connection.client.register(DidChangeWatchedFilesNotification.type, { watchers });
  }
  if (abilities.registerFormatting) {
    // Where machine and vocabulary files are plain JSON to the editor, it has a formatter: of two a person would choose.
    const documentSelector = LANGUAGES.map((language) => ({ language }));
    await connection.client.register(DocumentFormattingRequest.type, { documentSelector });
    await connection.client.register(DocumentRangeFormattingRequest.type, { documentSelector });
  }
}
