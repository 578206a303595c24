import { finish, type Pieces } from '../text/pieces.ts';
import type { Report, Rule, View } from './rule.ts';

/** A rule whose check is a generator: it yields now and then, so that a long text holds nobody up. */
export interface RuleInPieces extends Omit<Rule, 'check' | 'pieces'> {
  check(view: View, report: (finding: Report) => void): Pieces<void>;
}

/** The rule for those who want its reports at once, and for those who want them in pieces. */
export const inPieces = (rule: RuleInPieces): Rule => ({
  ...rule,
  check: (view, report) => finish(rule.check(view, report)),
  pieces: rule.check,
});
