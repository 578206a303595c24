import type { Connection } from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import { toDiagnostics } from './convert.ts';
import type { Guard } from './guard.ts';
import { pauseFor, type Schedule } from './schedule.ts';
import type { Checked, Session } from './session.ts';

/** Sends findings to clients that do not ask for them. For all others every call does nothing. */
export interface Publisher {
  /** The text, or something that its findings depend on, has changed. */
  edited(document: TextDocument): void;
  /** The document is closed or deleted: its findings disappear. */
  closed(uri: string): void;
}

export const NO_PUBLISHER: Publisher = { edited: () => {}, closed: () => {} };

/** Publishes once per edit: later edits replace earlier ones, and a result for an old version is dropped. */
export function makePublisher(
  connection: Connection,
  session: Session,
  schedule: Schedule,
  guard: Guard,
  docs: string | null,
): Publisher {
  /** What was sent last, and not the whole result that it came from, which would keep an analysis alive. */
  const published = new Map<string, Pick<Checked, 'findings' | 'settings'>>();

  const publish = async (document: TextDocument): Promise<void> => {
    const { uri, version } = document;
    const checked = await session.check(uri);
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
      const run = guard('publishing findings', undefined, () => publish(document));
      schedule.soon(document.uri, pauseFor(document.getText().length), () => run(undefined));
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
