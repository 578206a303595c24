import { parseExpression, type Unfollowed } from '../placeholders/expression.ts';
import type { Grammar } from '../placeholders/grammar.ts';
import { languageOf } from '../placeholders/language.ts';
import { grammarOf } from './asFile.ts';
import type { Seen } from './evidence.ts';
import { alongside, featuresOf, type LanguageFeature, withoutTexts } from './features.ts';
import { functionsOf, heldFunctions } from './functionsIn.ts';
import { type ExpressionSource, NOTHING_WRITTEN, type WrittenForms } from './written.ts';

/** The smallest way to write expressions by which all of them can be read, or as many as possible. */
export interface FoundTable {
  readonly written: WrittenForms;
  /** What each property was concluded from, by its path and what is written there: `operators.and and`. */
  readonly seen: ReadonlyMap<string, Seen>;
  /** Names that begin with a digit, which only their declaration tells from a number. */
  readonly declared: readonly string[];
  /** What cannot be read all the same. */
  readonly unread: readonly ExpressionSource[];
}

/** Different expressions that are looked at. */
const MOST_SOURCES = 400;

/**
 * Chooses the operators, calls, marks and forms: first all that the sources show, then as few of them as read as much.
 * @param given What is known already.
 */
export function findTable(all: readonly ExpressionSource[], given: Partial<WrittenForms>): FoundTable {
  const sources = different(all);
  const declared = digitNames(sources);
  const base = { ...NOTHING_WRITTEN, ...given, functions: heldFunctions(sources) };
  const reads = (written: WrittenForms): number => lackOf(grammarOf(written), sources, declared);
  const features = featuresOf(sources);
  const with_ = (kept: readonly LanguageFeature[]): WrittenForms =>
    alongside(
      kept.reduce((written, feature) => feature.add(written), base),
      sources,
    );
  let kept = features.filter(({ sure }) => sure);
  const least = reads(with_(kept));
  if (least > 0) {
    kept = [...features];
    let unread = reads(with_(kept));
    for (const feature of features) {
      if (feature.sure) continue;
      const without = kept.filter((one) => one !== feature);
      const left = reads(with_(without));
      if (left > unread) continue;
      kept = without;
      unread = left;
    }
  }
  const plain = with_(kept);
  const functions = functionsOf(plain, grammarOf(plain), sources, declared);
  const written = { ...plain, functions };
  return {
    written,
    seen: seenOf(all, kept),
    declared,
    unread: unreadBy(grammarOf(written), sources, declared),
  };
}

/** One of each text: what was read once is read everywhere, whatever its figures are. */
function different(all: readonly ExpressionSource[]): readonly ExpressionSource[] {
  const seen = new Map<string, ExpressionSource>();
  for (const one of all) {
    const key = one.text.replace(/\d+/g, '0');
    if (!seen.has(key)) seen.set(key, one);
  }
  return [...seen.values()].slice(0, MOST_SOURCES);
}

/** How much cannot be read: an expression weighs far more than a function that is not known. */
function lackOf(grammar: Grammar, sources: readonly ExpressionSource[], declared: readonly string[]): number {
  const language = languageOf(grammar, declared);
  let lack = 0;
  for (const { text } of sources) {
    const { expr, unfollowed = [] } = parseExpression(text, 0, language);
    lack += !expr || unfollowed.some(({ is }) => is !== 'function') ? 1000 : sum(unfollowed.map(unknownWeight));
  }
  return lack;
}

const sum = (numbers: readonly number[]): number => numbers.reduce((all, n) => all + n, 0);

/** A function whose name has a dot in it is more likely the method of a value. */
const unknownWeight = ({ written }: Unfollowed): number => (written.includes('.') ? 2 : 1);

function unreadBy(
  grammar: Grammar,
  sources: readonly ExpressionSource[],
  declared: readonly string[],
): readonly ExpressionSource[] {
  const language = languageOf(grammar, declared);
  return sources.filter(({ text }) => {
    const { expr, unfollowed } = parseExpression(text, 0, language);
    // A function that nobody knows is named later.
    return !expr || unfollowed?.some(({ is }) => is !== 'function') === true;
  });
}

/** Names such as `1st_layer`. */
function digitNames(sources: readonly ExpressionSource[]): readonly string[] {
  const form = /(?<![\p{L}\p{N}_.])\d+(?:[\p{L}_][\p{L}\p{N}_]*)(?:\.[\p{L}_][\p{L}\p{N}_]*)*/gu;
  const found = sources.flatMap(({ text }) => withoutTexts(text).match(form) ?? []);
  return [...new Set(found)].filter((name) => !/^(\d+e\d+|0[xbo][\da-f]+)$/i.test(name));
}

function seenOf(all: readonly ExpressionSource[], kept: readonly LanguageFeature[]): ReadonlyMap<string, Seen> {
  const found = new Map<string, Seen>();
  const plain = all.map(({ text, place }) => ({ text: withoutTexts(text), place }));
  for (const { property, written, seenIn } of kept) {
    const where = plain.filter(({ text }) => seenIn(text));
    const [first] = where;
    if (first) found.set(`${property} ${written}`, { times: where.length, first: first.place });
  }
  return found;
}
