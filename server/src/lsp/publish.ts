import type { Connection } from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import { type Asking, Ended, Urgency } from './asked.ts';
import { toDiagnostics } from './convert.ts';
import { pauseFor, type Schedule } from './schedule.ts';
import type { CheckedDocument, Session } from './session.ts';

/** Sends findings to clients that do not ask for them. For all others every call does nothing. */
export interface Publisher {
  /** The text, or something that its findings depend on, has changed. */
  edited(document: TextDocument): void;
  /** The document is closed or deleted: its findings disappear. */
  closed(uri: string): void;
}

export const NO_PUBLISHER: Publisher = { edited: () => {}, closed: () => {} };

export interface PublisherParts {
  readonly connection: Connection;
  readonly session: Session;
  readonly schedule: Schedule;
  readonly asking: Asking;
  readonly begin: Asking['begin'];
  /** Where the reference pages are; null: nowhere. */
  readonly docs: string | null;
}

/** Publishes once per edit: later edits replace earlier ones, and a result for an old version is dropped. */
export function makePublisher({ connection, session, schedule, asking, begin, docs }: PublisherParts): Publisher {
  /** What was sent last, and not the whole result that it came from, which would keep an analysis alive. */
  const published = new Map<string, Pick<CheckedDocument, 'findings' | 'settings'>>();

  /** null where an edit came before the answer. */
  const checkedOnce = async (uri: string): Promise<CheckedDocument | null> => {
    const asked = begin(Urgency.Typing, uri);
    try {
      return await session.check(uri, asked);
    } catch (error) {
      if (error instanceof Ended) return null;
      throw error;
    } finally {
      asking.done(asked);
    }
  };

  const publish = async (document: TextDocument): Promise<void> => {
    const { uri, version } = document;
    const checked = await checkedOnce(uri);
    // Closed meanwhile, or edited: then the edit has been scheduled by itself.
    if (!checked || checked.document !== document || checked.version !== version) return;
    const last = published.get(uri);
    const { findings, settings } = checked;
    if (document.version !== version || (last?.findings === findings && last.settings === settings)) return;
    published.set(uri, { findings, settings });
    const diagnostics = toDiagnostics(document, checked.told, docs);
    await connection.sendDiagnostics({ uri, version, diagnostics });
  };

  return {
    edited(document) {
      schedule.soon(document.uri, pauseFor(document.getText().length), () => publish(document));
    },
    closed(uri) {
      schedule.cancel(uri);
      published.delete(uri);
      connection.sendDiagnostics({ uri, diagnostics: [] }).catch(() => {
        // The client is gone, and its findings with it.
      });
    },
  };
}
