import { type CodeAction, CodeActionKind } from 'vscode-languageserver';
import { normalCode } from '../commands/named.ts';
import { declareCommands } from '../service/declareCommands.ts';
import { type DraftedCommand, unknownNamed } from '../service/draftCommands.ts';
import type { Span } from '../text/span.ts';
import { toEditOf } from './convert.ts';
import type { RequestContext } from './requestContext.ts';
import type { CheckedDocument } from './session.ts';

/** Declares the unknown named command at the place, or all of the text, in the machine file; meanings are to be filled in. */
export function toDeclareActions(
  { abilities, workspace }: RequestContext,
  { analysis, choice }: CheckedDocument,
  at: Span,
): CodeAction[] {
  const file = choice?.file;
  const here = analysis?.commands.find(
    ({ node, record }) => !record && node.named && node.codeSpan.start <= at.end && node.codeSpan.end >= at.start,
  );
  if (!file || !analysis || !here) return [];
  const target = workspace.textOf(file.uri, file.text);
  const declare = (title: string, commands: readonly DraftedCommand[]): CodeAction[] => {
    const change = declareCommands(target.document.getText(), commands);
    if (!change) return [];
    return [{ title, kind: CodeActionKind.QuickFix, edit: toEditOf(target, [change], abilities) }];
  };
  const all = unknownNamed(analysis, analysis.vocabulary);
  const one = all.filter(({ name }) => normalCode(name) === here.code);
  const rest =
    all.length > 1 && one.length > 0
      ? declare(`Declare all ${all.length} unknown named commands of this text in the machine file`, all)
      : [];
  return [...declare(`Declare ${one[0]?.name} in the machine file of ${file.name}, to be filled in`, one), ...rest];
}
