import { type CodeAction, CodeActionKind, type Diagnostic } from 'vscode-languageserver';
import { unknownLanguage } from '../rules/unknownLanguage.ts';
import { carried, describes, namingVocabulary } from '../service/otherLanguage.ts';
import type { Edit } from '../text/edit.ts';
import type { Span } from '../text/span.ts';
import { toEditOf } from './convert.ts';
import { DRAFT_PLACEHOLDERS_COMMAND } from './messages.ts';
import type { RequestContext } from './requestContext.ts';
import type { CheckedDocument } from './session.ts';
import { decoded, folderOf, foldersAbove, nameOf } from './uri.ts';
import type { WorkspaceText } from './workspace.ts';

/** Vocabulary files that are tried on a text. */
const MOST_TRIED = 30;

/**
 * What can be done about a text in an unknown placeholder language, at one of its tags.
 * @param among The diagnostics that were asked about: each action belongs to the one that tells of the language.
 */
export async function toLanguageActions(
  context: RequestContext,
  { document, analysis, choice }: CheckedDocument,
  at: Span,
  among: readonly Diagnostic[],
): Promise<CodeAction[]> {
  const here = analysis?.contact?.foreign.tags.some(({ span }) => span.start <= at.end && span.end >= at.start);
  if (!analysis || !here) return [];
  const { abilities, machines, workspace, draftsPlaceholders } = context;
  const diagnostics = among.filter(({ code }) => code === unknownLanguage.id);
  const base = { kind: CodeActionKind.QuickFix, ...(diagnostics.length > 0 ? { diagnostics } : {}) };
  const title = 'Draft a vocabulary from this text';
  const draft: CodeAction = {
    ...base,
    title,
    isPreferred: true,
    command: { title, command: DRAFT_PLACEHOLDERS_COMMAND },
  };
  const actions = draftsPlaceholders ? [draft] : [];
  const file = choice?.file ?? null;
  const text = document.getText();
  const change = (title: string, target: WorkspaceText, edits: readonly Edit[]): CodeAction => ({
    ...base,
    title,
    edit: toEditOf(target, edits, abilities),
  });
  const folders = [...foldersAbove(document.uri), ...(file ? foldersAbove(file.uri) : [])];
  const lists = await Promise.all([
    ...[...new Set(folders)].map((folder) => machines.vocabulariesIn(folder)),
    ...[...workspace.roots].map((root) => machines.vocabulariesBelow(root)),
  ]);
  for (const uri of [...new Set(lists.flat())].slice(0, MOST_TRIED)) {
    const read = await machines.readVocabulary(uri);
    const other = read.file && machines.vocabulary(file, read);
    if (!other || !describes(other, text)) continue;
    // Only a machine file can say which vocabulary its texts are written by.
    if (file) {
      const target = workspace.textOf(file.uri, file.text);
      const path = relativePath(folderOf(file.uri) ?? '', uri);
      const naming = path === null ? null : namingVocabulary(target.document.getText(), path);
      if (naming) actions.push(change(`Use ${nameOf(uri)} for ${file.name}`, target, [naming]));
    }
    const edits = carried(text, other, analysis.vocabulary);
    const own = choice?.names.uri ? nameOf(choice.names.uri) : 'Bookend';
    const whose = file ? `the vocabulary of ${file.name} has them` : `${own} has them`;
    if (edits)
      actions.push(change(`Write these placeholders as ${whose}`, workspace.textOf(document.uri, text), edits));
  }
  return actions;
}

/** A file's path from a folder, with / between; null where they are on two hosts. */
function relativePath(folder: string, uri: string): string | null {
  const [from, to] = [decoded(folder).split('/'), decoded(uri).split('/')];
  let same = 0;
  while (same < from.length && same < to.length - 1 && from[same] === to[same]) same++;
  if (same < 3) return null;
  const up = from.length - same;
  return `${up === 0 ? './' : '../'.repeat(up)}${to.slice(same).join('/')}`;
}
