import { type CodeAction, CodeActionKind } from 'vscode-languageserver';
import { statingFact } from '../service/statingFact.ts';
import { toEditOf } from './convert.ts';
import { SET_SEVERITY, type SetSeverity } from './messages.ts';
import type { RequestContext } from './requestContext.ts';
import type { CheckedDocument } from './session.ts';

/** How a rule counts, written where it holds for more than one text: the settings, or the machine file. */
export function toSettingActions(
  context: RequestContext,
  { document, choice }: CheckedDocument,
  rules: readonly string[],
): CodeAction[] {
  const { abilities, workspace, setsSeverity } = context;
  const settings = rules.flatMap((rule): CodeAction[] => {
    const given: SetSeverity = { uri: document.uri, rule };
    const title = `Set how ${rule} counts in this folder…`;
    const command = { title, command: SET_SEVERITY, arguments: [given] };
    return setsSeverity ? [{ title, kind: CodeActionKind.QuickFix, command }] : [];
  });
  const file = choice?.file;
  if (!file) return settings;
  const target = workspace.textOf(file.uri, file.text);
  const own = rules.flatMap((rule): CodeAction[] => {
    const edits = statingFact(target.document.getText(), ['rules', rule], 'off');
    if (edits.length === 0) return [];
    const edit = toEditOf(target, edits, abilities);
    return [{ title: `Switch ${rule} off for ${file.name} (machine file)`, kind: CodeActionKind.QuickFix, edit }];
  });
  return [...settings, ...own];
}
