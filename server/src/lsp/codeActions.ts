import { type CodeAction, CodeActionKind, type CodeActionParams } from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import { severitiesOf, weighed } from '../service/severity.ts';
import { changeBetween } from '../text/edit.ts';
import { toCodeAction, toEdit, toRange } from './convert.ts';
import { toDeclareActions } from './declareActions.ts';
import type { Analysis } from './engine.ts';
import type { Context } from './features.ts';
import type { Checked } from './session.ts';
import { toSettingActions } from './severityActions.ts';

/** The kind under which an editor asks for everything that may be fixed unseen, on saving too. */
export const FIX_ALL = `${CodeActionKind.SourceFixAll}.bookend`;

/** Longer texts are not fixed as a whole from the editor's menu: each fix means checking it again. UTF-16 code units. */
const LONGEST = 200_000;

/** What can be done at a range, or with the whole text where that is asked for. */
export async function codeActions(
  context: Context,
  { textDocument, range, context: asked }: CodeActionParams,
): Promise<CodeAction[]> {
  const { session, abilities, showsFilledIn } = context;
  const asks = (kind: string): boolean => asked.only?.some((one) => within(kind, one)) ?? false;
  const here = asked.only === undefined || asks(CodeActionKind.QuickFix);
  if (!abilities.actions || (!here && !asks(FIX_ALL))) return [];
  const checked = await session.check(textDocument.uri);
  if (!checked?.analysis) return [];
  const { document, analysis, told } = checked;
  const all: CodeAction[] = [];
  if (here) {
    const at = { start: document.offsetAt(range.start), end: document.offsetAt(range.end) };
    const found = session.engine
      .actions(analysis, at, told)
      .filter(({ show }) => show === null || showsFilledIn)
      .map((action) => ({ action, made: toCodeAction(document, action, asked.diagnostics, abilities) }));
    all.push(...found.map(({ made }) => made));
    const rules = [...new Set(found.map(({ action }) => action.finding.rule))];
    if (rules.includes('unknown-command')) all.push(...toDeclareActions(context, checked, at));
    all.push(...fixesOfRules(context, checked, rules), ...toSettingActions(context, checked, rules));
  }
  if (asks(FIX_ALL)) {
    const edit = fixed(context, checked, undefined);
    if (edit) all.push({ title: 'Fix all that may be fixed without looking', kind: FIX_ALL, edit });
  }
  return all;
}

/** `source.fixAll.bookend` is within `source.fixAll`, `source` and ''. */
const within = (kind: string, wanted: string): boolean =>
  wanted === '' || kind === wanted || kind.startsWith(`${wanted}.`);

/** "Fix all of this rule", where that is more than the one fix that is offered anyway. */
function fixesOfRules(context: Context, checked: Checked, rules: readonly string[]): CodeAction[] {
  if (!checked.analysis) return [];
  const analysis = told(checked, checked.analysis);
  return rules.flatMap((rule) => {
    const fixable = context.session.engine.safeFixes(analysis, rule).length;
    const edit = fixable > 1 ? fixed(context, checked, rule) : null;
    if (!edit) return [];
    return [{ title: `Fix all of ${rule}`, kind: CodeActionKind.QuickFix, edit }];
  });
}

function fixed({ session, abilities }: Context, checked: Checked, rule: string | undefined) {
  const { document, analysis } = checked;
  if (!analysis || analysis.tree.text.length > LONGEST) return null;
  const { role, machine, vocabulary } = analysis;
  const again = (text: string): Analysis => told(checked, session.engine.analyze(text, role, machine, vocabulary));
  const { text } = session.engine.fixAll(told(checked, analysis), again, rule);
  const change = changeBetween(analysis.tree.text, text);
  return change && toEdit([{ document, edits: [textEdit(document, change)] }], abilities, null);
}

const textEdit = (document: TextDocument, { span, text }: NonNullable<ReturnType<typeof changeBetween>>) => ({
  range: toRange(document, span),
  newText: text,
});

/** The analysis with the findings that are told: what is switched off is not fixed. */
function told({ choice, settings }: Checked, analysis: Analysis): Analysis {
  const severities = severitiesOf(choice?.file?.machine?.rules, settings.rules);
  return { ...analysis, findings: weighed(analysis.findings, severities) };
}
