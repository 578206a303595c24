import { withKeys } from '../placeholders/elements.ts';
import { anyValueOf, boundsEnv } from '../placeholders/environment.ts';
import { evaluate } from '../placeholders/evaluate.ts';
import { childrenOf, type Expr, FUNCTIONS, type FunctionName, LENT, type LentFunction } from '../placeholders/expr.ts';
import type { LanguageFunction } from '../placeholders/grammar.ts';
import { OURS } from '../placeholders/ours.ts';
import { repetitions } from '../placeholders/tags.ts';
import type { Value } from '../placeholders/value.ts';
import type { Name, Vocabulary } from '../placeholders/vocabulary.ts';
import type { Section, Tag } from '../syntax/nodes.ts';
import type { Role } from '../syntax/role.ts';
import type { Analysis } from './analyze.ts';
import { allOf, amount, code, figure, plain, range } from './phrase.ts';

/** The smallest part of an expression at an offset; the whole where the offset is beside it. */
export function partAt(expr: Expr, offset: number): Expr {
  for (const child of childrenOf(expr))
    if (offset >= child.span.start && offset <= child.span.end) return partAt(child, offset);
  return expr;
}

export { childrenOf as children } from '../placeholders/expression.ts';

/** A name's meaning, and which values it can have on the machine at hand. Markdown. */
export function nameFacts(a: Analysis, name: Name): string[] {
  const lines = [plain(name.meaning)];
  const value = anyValueOf(name);
  const on = a.machine ? ` on ${plain(a.machine.name)}` : '';
  if (value.type === 'unknown')
    lines.push(
      name.fromMachine
        ? 'Taken from the machine; none is chosen, or it does not say.'
        : 'Which values it can have is not known.',
    );
  else lines.push(`${name.fromMachine ? 'Value' : 'In any job'}${on}: ${valueText(value, name.unit)}.`);
  if (name.whole) lines.push('A whole number.');
  const open = value.type !== 'number' || value.lo < value.hi;
  if (open && !name.fromMachine && name.kind !== 'list' && name.sample !== '')
    lines.push(`For example ${exampleText(name)}.`);
  if (name.roles && !name.roles.includes(a.role))
    lines.push(`A job has a value for it in ${rolesText(name.roles)} only.`);
  return lines;
}

const exampleText = (name: Name): string =>
  typeof name.sample === 'number' ? amount({ lo: name.sample, hi: name.sample }, name.unit) : code(String(name.sample));
const rolesText = (roles: readonly Role[]): string => `${allOf(roles)} sequences`;

/** In a few words: "41 to 243 mm, from the machine". For lists of names. */
export function nameDetail(name: Name): string {
  const value = anyValueOf(name);
  return value.type === 'unknown' ? name.kind : valueText(value, name.unit);
}

/** A function as a text's language has it. */
export interface FunctionHelp {
  /** By the language's own name: `lesser(a, b, …)`. */
  readonly signature: string;
  readonly does: string;
  /** How many arguments it takes at most. */
  readonly most: number;
}

/** What a function of a vocabulary's language is, by its own name there; null: it has none of that name. */
export function functionHelp(vocabulary: Vocabulary, written: string): FunctionHelp | null {
  const meant = functionsOf(vocabulary).get(written);
  if (!meant) return null;
  if (meant.is === 'ours') {
    const { signature, does, most } =
      meant.name in FUNCTIONS ? FUNCTIONS[meant.name as FunctionName] : LENT[meant.name as LentFunction];
    return { signature: signature.replace(/^\w+/, () => written), does, most };
  }
  const range = meant.is === 'number' && meant.range ? `, ${figure(meant.range.lo)} to ${figure(meant.range.hi)}` : '';
  const gives = { number: 'a number', text: 'a text', flag: 'true or false' }[meant.is];
  const does = `A function of this placeholder language: it gives ${gives}${range}. Bookend does not know which.`;
  return { signature: `${written}(…)`, does, most: Number.POSITIVE_INFINITY };
}

/** The functions of a vocabulary's language, by its own names. */
export const functionsOf = ({ grammar }: Vocabulary): ReadonlyMap<string, LanguageFunction> =>
  (grammar ?? OURS).functions;

/** A function's signature and what it gives. */
export const functionFacts = ({ signature, does }: FunctionHelp): string => `${code(signature)}\n\n${does}`;

/** Everything that an expression in a tag can be, with its unit: "41 to 243 mm". */
export function expressionText(a: Analysis, tag: Tag, expr: Expr): string {
  // Inside a list's section the elements' own names are found under their keys.
  const here = a.scopes.lists(tag).length > 0 ? withKeys(expr, (name) => a.scopes.find(tag, name)?.key ?? name) : expr;
  return valueText(evaluate(here, boundsEnv(a.vocabulary)), unitIn(here, a.vocabulary));
}

/** A value in words. Markdown. */
export function valueText(value: Value, unit: string): string {
  switch (value.type) {
    case 'number':
      return amount(value, unit);
    case 'text':
      return value.any ? allTexts(value.any) : 'any text';
    case 'flag':
      return value.is === null ? 'true or false' : String(value.is);
    case 'list':
      return `a list of ${range(value.length)}`;
    default:
      return 'not known here';
  }
}

function allTexts(texts: readonly string[]): string {
  const shown = texts.slice(0, 8).map(code);
  if (texts.length > shown.length) return `${shown.join(', ')} and ${texts.length - shown.length} more`;
  return shown.length < 2 ? shown.join('') : `${shown.slice(0, -1).join(', ')} or ${shown.at(-1)}`;
}

/** The unit of an expression's number: that of its names, where they agree. '' where there is none. */
export function unitIn(expr: Expr, vocabulary: Vocabulary): string {
  return unit(expr, vocabulary) ?? '';
}

/** null: a pure number takes the unit of what it is combined with; '' is no unit at all. */
function unit(expr: Expr, vocabulary: Vocabulary): string | null {
  switch (expr.type) {
    case 'number':
      return null;
    case 'name': {
      const name = vocabulary.names.get(expr.name);
      return name ? name.unit : '';
    }
    case 'unary':
      return expr.op === '!' ? '' : unit(expr.arg, vocabulary);
    case 'choice':
      return agree([unit(expr.yes, vocabulary), unit(expr.no, vocabulary)]);
    case 'call':
      return agree(expr.args.map((arg) => unit(arg, vocabulary)));
    case 'binary': {
      const [left, right] = [unit(expr.left, vocabulary), unit(expr.right, vocabulary)];
      if (expr.op === '+' || expr.op === '-' || expr.op === '&&' || expr.op === '||') return agree([left, right]);
      if (expr.op === '*') return left && right ? '' : left || right;
      if (expr.op === '/') return right ? '' : left;
      return expr.op === '%' ? left : '';
    }
    default:
      return '';
  }
}

function agree(units: readonly (string | null)[]): string | null {
  const given = units.filter((u) => u !== null);
  const first = given[0];
  if (first === undefined) return null;
  return given.every((u) => u === first) ? first : '';
}

/** When the body of a section is filled in. */
export function sectionFacts(a: Analysis, section: Section): string {
  const times = repetitions(section, a.expressions, boundsEnv(a.vocabulary));
  const condition = code(a.tree.text.slice(section.open.inner.start, section.open.inner.end));
  if (times.hi === 0) return `Section: what it holds is left out in every job.`;
  if (times.lo === 1 && times.hi === 1) return `Section: what it holds is filled in in every job.`;
  const earlier = section.unless.length > 0;
  if (section.open.keyword === 'else') return 'Section: what it holds is filled in where no branch before it is.';
  if (times.hi <= 1 && earlier)
    return `Section: what it holds is filled in where ${condition} holds and no branch before it is filled in.`;
  if (times.hi <= 1)
    return `Section: what it holds is filled in where ${condition} ${section.inverted ? 'does not hold' : 'holds'}.`;
  const most = Number.isFinite(times.hi) ? `${figure(times.lo)} to ${figure(times.hi)} times` : 'any number of times';
  return `Section: what it holds is filled in once for each of ${condition}, ${most}.`;
}
