import { type CodeAction, CodeActionKind, type CodeActionParams } from 'vscode-languageserver';
import { analyzedNow } from './analyzed.ts';
import { toAnswerActions } from './answerActions.ts';
import { toCodeAction } from './convert.ts';
import { toDeclareActions } from './declareActions.ts';
import { toDraftActions } from './draft.ts';
import { toLanguageActions } from './languageActions.ts';
import type { RequestContext } from './requestContext.ts';
import type { CheckedDocument } from './session.ts';
import { isRecord } from './settings.ts';
import { toSettingActions } from './severityActions.ts';

/** The kind under which an editor asks for everything that may be fixed unseen, on saving too. */
export const FIX_ALL = `${CodeActionKind.SourceFixAll}.bookend`;

/** What can be done at a range, or with the whole text where that is asked for. */
export async function codeActions(
  context: RequestContext,
  { textDocument, range, context: asked }: CodeActionParams,
): Promise<CodeAction[]> {
  const { session, abilities, showsFilledIn } = context;
  const asks = (kind: string): boolean => asked.only?.some((one) => within(kind, one)) ?? false;
  const here = asked.only === undefined || asks(CodeActionKind.QuickFix);
  if (!abilities.actions || (!here && !asks(FIX_ALL))) return [];
  const file = here ? await context.json.file(textDocument.uri) : null;
  if (file) {
    const at = { start: file.document.offsetAt(range.start), end: file.document.offsetAt(range.end) };
    return file.kind === 'vocabulary' ? toDraftActions(context, file.document, at) : [];
  }
  const checked = await analyzedNow(session, textDocument.uri);
  if (!checked) return [];
  const { document, analysis, told } = checked;
  const all: CodeAction[] = [];
  if (here) {
    const at = { start: document.offsetAt(range.start), end: document.offsetAt(range.end) };
    const offered = await context.work(session.engine.actions(analysis, at, told));
    const found = offered
      .filter(({ show }) => show === null || showsFilledIn)
      .map((action) => ({ action, made: toCodeAction(document, action, asked.diagnostics, abilities) }));
    // Editors keep this order among actions of one diagnostic: what mends it stands before what silences it.
    all.push(...(await toLanguageActions(context, checked, at, asked.diagnostics)));
    all.push(...toAnswerActions(context, checked, at, asked.diagnostics), ...found.map(({ made }) => made));
    const rules = [...new Set(found.map(({ action }) => action.finding.rule))];
    if (rules.includes('unknown-command')) all.push(...toDeclareActions(context, checked, at));
    // One fix of a rule is offered anyway.
    for (const rule of rules) all.push(...(await wholeFix(context, checked, rule, 2)));
    all.push(...toSettingActions(context, checked, rules));
  }
  if (asks(FIX_ALL)) all.push(...(await wholeFix(context, checked, null, 1)));
  return all;
}

/** `source.fixAll.bookend` is within `source.fixAll`, `source` and ''. */
const within = (kind: string, wanted: string): boolean =>
  wanted === '' || kind === wanted || kind.startsWith(`${wanted}.`);

/** What is needed to make the edit of a whole fix when it is chosen. */
interface LateEdit {
  readonly uri: string;
  /** null: of all rules. */
  readonly rule: string | null;
}

/**
 * Fixes of one rule, or (null) of all, in one edit. The edit costs several checks of the text, so it is made when the
 * action is chosen, where the client can ask for it then. Offered are fixes of which each may be made unseen; that
 * none of them goes well with the rest of the text is rare, and once it has been seen it is not offered again.
 */
async function wholeFix(
  { fixes, abilities, work }: RequestContext,
  checked: CheckedDocument,
  rule: string | null,
  least: number,
): Promise<CodeAction[]> {
  if ((await work(fixes.count(checked, rule))) < least) return [];
  const action: CodeAction =
    rule === null
      ? { title: 'Fix all that may be fixed without looking', kind: FIX_ALL }
      : { title: `Fix all of ${rule}`, kind: CodeActionKind.QuickFix };
  const data: LateEdit = { uri: checked.document.uri, rule };
  if (abilities.lateEdits) return [{ ...action, data }];
  const edit = await work(fixes.edit(checked, rule));
  return edit ? [{ ...action, edit }] : [];
}

/**
 * Makes the edit of a chosen action. It goes by the text as it is now, which may have changed since the action was
 * offered: what the action promises does not hang on a place, and the edit is for this version.
 */
export async function resolveCodeAction(
  { session, fixes, tell, work }: RequestContext,
  action: CodeAction,
): Promise<CodeAction> {
  const asked: unknown = action.data;
  if (action.edit || !isRecord(asked) || typeof asked.uri !== 'string') return action;
  const rule = typeof asked.rule === 'string' ? asked.rule : null;
  const checked = await session.check(asked.uri);
  if (!checked) return action;
  const edit = await work(fixes.edit(checked, rule));
  if (edit) return { ...action, edit };
  // On saving nobody has chosen anything, so nobody is told.
  if (rule !== null)
    tell(`Nothing was changed: no fix of ${rule} is left that can be made without adding another finding.`);
  return action;
}
