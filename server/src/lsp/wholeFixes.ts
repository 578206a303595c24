import type { WorkspaceEdit } from 'vscode-languageserver';
import { severitiesOf, weighed } from '../service/severity.ts';
import { changeBetween } from '../text/edit.ts';
import type { Pieces } from '../text/pieces.ts';
import type { ClientAbilities } from './abilities.ts';
import { toEdit, toRange } from './convert.ts';
import type { Analysis, Engine } from './engine.ts';
import type { CheckedDocument } from './session.ts';

/** Longer texts are not fixed as a whole from the editor's menu: each fix means checking it again. UTF-16 code units. */
const LONGEST = 200_000;

/** Everything that may be fixed unseen, of one rule or (null) of all, in one edit. */
export interface WholeFixes {
  /** How many fixes there are to make, as far as that is known without checking the text again. */
  count(checked: CheckedDocument, rule: string | null): Pieces<number>;
  /** The edit, made once for each state of a document; null where nothing would change. Checks the text several times. */
  edit(checked: CheckedDocument, rule: string | null): Pieces<WorkspaceEdit | null>;
}

/** Remembers what it has made for as long as the result of the check lives that it was made from. */
export function makeWholeFixes(engine: Pick<Engine, 'analyze' | 'fixAll' | 'safeFixes'>, abilities: ClientAbilities) {
  const made = new WeakMap<CheckedDocument, Map<string | null, WorkspaceEdit | null>>();

  const make = function* (
    checked: CheckedDocument,
    analysis: Analysis,
    rule: string | null,
  ): Pieces<WorkspaceEdit | null> {
    const { document } = checked;
    const { role, machine, vocabulary } = analysis;
    const again = function* (text: string): Pieces<Analysis> {
      return told(checked, yield* engine.analyze(text, role, machine, vocabulary));
    };
    const { text } = yield* engine.fixAll(told(checked, analysis), again, rule ?? undefined);
    const change = changeBetween(analysis.tree.text, text);
    if (!change) return null;
    return toEdit(
      [{ document, edits: [{ range: toRange(document, change.span), newText: change.text }] }],
      abilities,
      null,
    );
  };

  const fixable = ({ analysis }: CheckedDocument): Analysis | null =>
    analysis && analysis.tree.text.length <= LONGEST ? analysis : null;

  const fixes: WholeFixes = {
    *count(checked, rule) {
      const analysis = fixable(checked);
      if (!analysis || made.get(checked)?.get(rule) === null) return 0;
      return (yield* engine.safeFixes(told(checked, analysis), rule ?? undefined)).length;
    },
    *edit(checked, rule) {
      const analysis = fixable(checked);
      if (!analysis) return null;
      const known = made.get(checked) ?? new Map<string | null, WorkspaceEdit | null>();
      made.set(checked, known);
      const edit = known.has(rule) ? (known.get(rule) ?? null) : yield* make(checked, analysis, rule);
      known.set(rule, edit);
      return edit;
    },
  };
  return fixes;
}

/** The analysis with the findings that are told: what is switched off is not fixed. */
function told({ choice, settings }: CheckedDocument, analysis: Analysis): Analysis {
  const severities = severitiesOf(choice?.file?.machine?.rules, settings.rules);
  return { ...analysis, findings: weighed(analysis.findings, severities) };
}
