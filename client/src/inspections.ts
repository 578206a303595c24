import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  CHECK_JOB,
  type EntryChoice,
  type InspectionAnswer,
  type InspectionProgress,
  type InspectParams,
  JOB_PROGRESS,
} from '../../server/src/lsp/inspectionMessages.ts';
import { roleOfName } from '../../server/src/syntax/role.ts';
import { progressText } from './inspectionProgress.ts';
import { showReports } from './inspectionReports.ts';
import { machineRows, pickMachine } from './machineRows.ts';
import { chooseEntry } from './packageEntries.ts';
import { ROLE_NAMES } from './status.ts';

/** "Check this job…" of the explorer's menu and of the palette. */
export interface InspectionDoing extends vscode.Disposable {
  /** The given files, one after the other; without any that of the active tab, else the one that the person chooses. */
  check(one?: vscode.Uri, all?: readonly vscode.Uri[]): Promise<void>;
}

/** One request: the file, which of its entries, and where that is written. */
interface Ask {
  readonly uri: vscode.Uri;
  readonly entry?: EntryChoice;
  readonly target?: vscode.Uri;
  /** The machine file that was chosen; null for none. */
  readonly machine?: string | null;
}

export function checkJobs(client: BaseLanguageClient): InspectionDoing {
  const reports = showReports();
  const running = new Map<number, (progress: InspectionProgress) => void>();
  let last = 0;
  const listener = client.onNotification(JOB_PROGRESS, (progress: InspectionProgress) =>
    running.get(progress.token)?.(progress),
  );

  /** Asks the server, and shows how far it is; the person may stop it. */
  const ask = async ({ uri, entry, target, machine }: Ask): Promise<InspectionAnswer> => {
    const asUri = (one: vscode.Uri): string => client.code2ProtocolConverter.asUri(one);
    const token = ++last;
    const params: InspectParams = {
      uri: asUri(uri),
      token,
      ...(entry ? { entry } : {}),
      ...(target ? { target: asUri(target) } : {}),
      ...(machine === undefined ? {} : { machine }),
    };
    const title = `Bookend checks ${entry ? `“${entry.name}” of ` : ''}${nameOf(uri)}`;
    const options = { location: vscode.ProgressLocation.Notification, title, cancellable: true };
    return vscode.window.withProgress(options, async (bar, cancel) => {
      const start = performance.now();
      let shown = 0;
      running.set(token, ({ done, total }) => {
        if (done === 0) return;
        const percent = total ? (100 * done) / total : 0;
        bar.report({ message: progressText(done, total, performance.now() - start), increment: percent - shown });
        shown = percent;
      });
      try {
        return await client.sendRequest<InspectionAnswer>(CHECK_JOB, params, cancel);
      } catch (error) {
        if (cancel.isCancellationRequested) return { kind: 'cancelled' };
        return { kind: 'failed', message: error instanceof Error ? error.message : String(error) };
      } finally {
        running.delete(token);
      }
    });
  };

  const run = async (asked: Ask): Promise<void> => tell(asked, await ask(asked));

  const tell = async (asked: Ask, answer: InspectionAnswer): Promise<void> => {
    switch (answer.kind) {
      case 'cancelled':
        return;
      case 'failed':
        await vscode.window.showErrorMessage(`${nameOf(asked.uri)}: ${answer.message}`);
        return;
      case 'package': {
        const chosen = await chooseEntry(asked.uri, answer.what, answer.entries);
        if (chosen) await run({ ...asked, ...chosen });
        return;
      }
      case 'machine': {
        const chosen = await pickMachine(machineRows(answer.known), answer.reason);
        if (chosen) await run({ ...asked, machine: chosen.machine ?? null });
        return;
      }
      case 'report':
        await reports.show(asked.uri, asked.entry?.name ?? null, asked.target ?? null, answer);
        // Not awaited: the next check need not wait until somebody closes it.
        if (answer.written !== null && asked.target) tellWritten(asked.target, answer.errors);
    }
  };

  return {
    async check(one, all) {
      const given = all && all.length > 0 ? all : one ? [one] : await chooseFile();
      for (const uri of given) {
        if (roleOfName(nameOf(uri)) === 'program') await run({ uri });
        else await showSequence(uri);
      }
    },
    dispose: () => vscode.Disposable.from(listener, reports).dispose(),
  };
}

/** A sequence is checked as it stands in the editor. */
async function showSequence(uri: vscode.Uri): Promise<void> {
  await vscode.window.showTextDocument(uri);
  const what = ROLE_NAMES[roleOfName(nameOf(uri))];
  await vscode.window.showInformationMessage(
    `${nameOf(uri)} is named as ${what.startsWith('e') ? 'an' : 'a'} ${what}, not as a finished job. It is checked for every job while it is open: see its marks and the status bar.`,
  );
}

function tellWritten(target: vscode.Uri, errors: number): void {
  const place = vscode.workspace.asRelativePath(target);
  if (errors === 0) vscode.window.showInformationMessage(`Taken out: ${place}.`);
  else
    vscode.window.showWarningMessage(
      `Taken out: ${place}. The check found ${errors} error${errors === 1 ? '' : 's'}: read the report before it goes to the machine.`,
    );
}

/** The file of the active tab, whatever shows it; else the person is asked. */
async function chooseFile(): Promise<readonly vscode.Uri[]> {
  const input = vscode.window.tabGroups.activeTabGroup.activeTab?.input;
  const shown = input instanceof vscode.TabInputText || input instanceof vscode.TabInputCustom ? input.uri : null;
  if (shown && !(await isVirtual(shown))) return [shown];
  const options = { canSelectMany: true, title: 'Which job is checked?', openLabel: 'Check' };
  return (await vscode.window.showOpenDialog(options)) ?? [];
}

/** Whether something is shown that lies nowhere: a report, an unsaved text. */
async function isVirtual(uri: vscode.Uri): Promise<boolean> {
  return vscode.workspace.fs.stat(uri).then(
    () => false,
    () => true,
  );
}

export const nameOf = ({ path }: vscode.Uri): string => path.slice(path.lastIndexOf('/') + 1);
