import { type CodeAction, CodeActionKind, type Diagnostic } from 'vscode-languageserver';
import { HABITS } from '../machine/habits.ts';
import { unstatedHabit } from '../rules/unstatedHabit.ts';
import { statingFact } from '../service/statingFact.ts';
import type { Span } from '../text/span.ts';
import { toEdit, toRange } from './convert.ts';
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
  const { document, version } = workspace.textOf(file.uri, file.text);
  const diagnostics = among.filter(({ code }) => code === unstatedHabit.id);
  return HABITS.filter(({ key }) => asked.some(({ about }) => about === key)).flatMap(({ key, title, answers }) =>
    answers.flatMap(({ value, short }): CodeAction[] => {
      const edits = statingFact(document.getText(), ['controller', key], value);
      if (edits.length === 0) return [];
      const changes = edits.map(({ span, text }) => ({ range: toRange(document, span), newText: text }));
      return [
        {
          title: `${title} on ${file.name}: ${short}`,
          kind: CodeActionKind.QuickFix,
          edit: toEdit([{ document: { uri: document.uri, version }, edits: changes }], abilities, null),
          ...(diagnostics.length > 0 ? { diagnostics } : {}),
        },
      ];
    }),
  );
}
