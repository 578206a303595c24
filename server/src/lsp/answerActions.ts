import { type CodeAction, CodeActionKind, type Diagnostic } from 'vscode-languageserver';
import { HABITS } from '../machine/habits.ts';
import { unstatedHabit } from '../rules/unstatedHabit.ts';
import { statingFact } from '../service/statingFact.ts';
import type { Span } from '../text/span.ts';
import { toEditOf } from './convert.ts';
import type { RequestContext } from './requestContext.ts';
import type { CheckedDocument } from './session.ts';

/** The answers to a question about the controller at this place, each written into the machine file. */
export function toAnswerActions(
  { abilities, workspace }: RequestContext,
  { analysis, choice }: CheckedDocument,
  at: Span,
  among: readonly Diagnostic[],
): CodeAction[] {
  const file = choice?.file;
  const asked = (analysis?.findings ?? []).filter(
    ({ rule, span }) => rule === unstatedHabit.id && span.start <= at.end && span.end >= at.start,
  );
  if (!file || asked.length === 0) return [];
  const target = workspace.textOf(file.uri, file.text);
  const diagnostics = among.filter(({ code }) => code === unstatedHabit.id);
  return HABITS.filter(({ key }) => asked.some(({ about }) => about === key)).flatMap(({ key, title, answers }) =>
    answers.flatMap(({ value, short }): CodeAction[] => {
      const edits = statingFact(target.document.getText(), ['controller', key], value);
      if (edits.length === 0) return [];
      return [
        {
          title: `${title} on ${file.name}: ${short}`,
          kind: CodeActionKind.QuickFix,
          edit: toEditOf(target, edits, abilities),
          ...(diagnostics.length > 0 ? { diagnostics } : {}),
        },
      ];
    }),
  );
}
