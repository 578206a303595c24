import { type CodeAction, CodeActionKind, type TextEdit } from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import { draftActions } from '../drafting/answers.ts';
import type { DraftSource } from '../drafting/evidence.ts';
import { roleOfName } from '../syntax/role.ts';
import type { Span } from '../text/span.ts';
import { analyzedNow } from './analyzed.ts';
import { toEdit, toRange } from './convert.ts';
import type { RequestContext } from './requestContext.ts';
import { canonical, folderOf, nameOf } from './uri.ts';

/** Sequences beside the open one that are looked at. */
const MOST_BESIDE = 20;

/** A vocabulary drafted from an open sequence and those in its folder that are written in the same language; null: there is none. */
export async function draftPlaceholders(context: RequestContext, uri: string): Promise<string | null> {
  const { session, workspace, work } = context;
  const found = await analyzedNow(session, uri);
  if (!found) return null;
  const { tree, role, machine } = found.analysis;
  const first: DraftSource = { name: nameOf(uri), text: tree.text, role };
  const [own, folder] = [canonical(uri), folderOf(uri)];
  const beside = (await workspace.sequences(uri, work))
    .filter(({ document }) => folderOf(document.uri) === folder && canonical(document.uri) !== own)
    .map(({ document }): DraftSource => {
      const name = nameOf(document.uri);
      return { name, text: document.getText(), role: roleOfName(name) };
    })
    .filter((one) => one.role !== 'program')
    .slice(0, MOST_BESIDE);
  const sources = await work(session.engine.alike(first, beside));
  return (await work(session.engine.draftVocabulary(sources, machine))).text;
}

/** What can be done at a place of a draft: confirm a guess, keep an answer. */
export function toDraftActions(
  { abilities }: Pick<RequestContext, 'abilities'>,
  document: TextDocument,
  at: Span,
): CodeAction[] {
  return draftActions(document.getText(), at).map(({ title, is, edits }): CodeAction => {
    const changes = edits.map((edit): TextEdit => ({ range: toRange(document, edit.span), newText: edit.text }));
    const edit = toEdit(
      [{ document: { uri: document.uri, version: document.version }, edits: changes }],
      abilities,
      null,
    );
    return { title, kind: CodeActionKind.QuickFix, edit, ...(is === 'confirm' ? { isPreferred: true } : {}) };
  });
}
