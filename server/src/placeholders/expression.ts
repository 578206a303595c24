import type { Span } from '../text/span.ts';
import type { Expr } from './expr.ts';
import { isNameChar, type Language, languageOf } from './language.ts';
import { OURS } from './ours.ts';
import { ExpressionReader, NotRead, type Unfollowed } from './reader.ts';

export {
  type AnyFunction,
  type BinaryOp,
  childrenOf,
  type Expr,
  FUNCTIONS,
  type FunctionName,
  namesIn,
  type UnaryOp,
} from './expr.ts';

import type { LoopNames } from './statements.ts';

export type { Unfollowed } from './reader.ts';

/** What could not be read as an expression, and where. */
export interface ExpressionProblem {
  readonly span: Span;
  readonly message: string;
}

export interface ParsedExpression {
  readonly expr: Expr | null;
  readonly problem: ExpressionProblem | null;
  /** It is no tag after all, but a remark in brackets, and stays as it is written. */
  readonly remark?: true;
  /** What of it Bookend cannot follow, which is no fault of the text; absent: nothing. */
  readonly unfollowed?: readonly Unfollowed[];
  /** The name that the tag sets to this. */
  readonly sets?: string;
  /** What a statement that goes through this list names in it. */
  readonly loop?: LoopNames;
  /** The index of the first element there; null: not stated. */
  readonly first?: 0 | 1 | null;
  /** When the tag's branch is filled in, where that is not the expression itself: a case's value is the switch's. */
  readonly condition?: Expr;
}

const LONGEST = 4000;
const OUR_LANGUAGE = languageOf(OURS);

/**
 * Reads `source`, which stands at offset `at` of the text, as an expression of a language. Never throws; time grows
 * linearly with the source. An empty source is a problem; `.` alone is the current element of a list (Mustache's implicit
 * iterator). What another language than our own has and nobody has described becomes an unknown value (`unfollowed`);
 * what ends too early, is too long or nested too deep is a problem in every language.
 */
export function parseExpression(source: string, at: number, language: Language = OUR_LANGUAGE): ParsedExpression {
  const whole = { start: at, end: at + source.length };
  const fail = (span: Span, message: string): ParsedExpression => ({ expr: null, problem: { span, message } });
  if (source.trim() === '')
    return fail(whole, 'The tag is empty. Put a placeholder name or an expression between the delimiters.');
  if (source.length > LONGEST)
    return fail(
      whole,
      `The expression is ${source.length} characters long; ${LONGEST} is the most that is read. Split it into smaller ones.`,
    );
  const reader = new ExpressionReader(source, at, language);
  try {
    const expr = reader.whole();
    const { unfollowed } = reader;
    return unfollowed.length > 0 ? { expr, problem: null, unfollowed } : { expr, problem: null };
  } catch (error) {
    if (!(error instanceof NotRead)) throw error;
    if (error.certain) return fail(error.span, error.message);
    return foreign(source, at, language, error.span);
  }
}

/** All of a source as something that cannot be followed; the declared names in it are still read. */
function foreign(source: string, at: number, language: Language, span: Span): ParsedExpression {
  const rules = language.grammar.rules;
  const own = rules ? { rules } : {};
  const args: Expr[] = [];
  for (let i = 0; i < source.length; ) {
    const found = i > 0 && isNameChar(source.charCodeAt(i - 1)) ? null : language.names.at(source, i);
    if (found) args.push({ type: 'name', name: found.value, span: { start: at + i, end: at + found.end }, ...own });
    i = found ? found.end : i + 1;
  }
  const whole = { start: at, end: at + source.length };
  return {
    expr: { type: 'foreign', written: source.trim(), gives: null, args, span: whole, ...own },
    problem: null,
    unfollowed: [{ span, is: 'form', written: source.trim() }],
  };
}
