import type { Operation } from '../placeholders/grammar.ts';
import type { ExpressionSource, WrittenForms } from './written.ts';

// What an expression may have beyond our own, each as something that can be added to how expressions are written. A
// feature is proposed where its sign is seen, and kept only where without it less can be read.

/** One thing that a language may have. */
export interface LanguageFeature {
  /** The path of the property that it is written in, `operators.and`. */
  readonly property: string;
  readonly written: string;
  /** Where it seems to stand. */
  readonly seenIn: (source: string) => boolean;
  readonly add: (written: WrittenForms) => WrittenForms;
  /** The only kind of expression in which the sign means this. */
  readonly only?: ExpressionSource['is'];
  /** Kept even where all can be read without it, since it would then be read as something else. */
  readonly sure?: true;
}

const escaped = (text: string): string => text.replace(/[\\^$.*+?()[\]{}|/-]/g, '\\$&');

/** Texts cut out, so that nothing in them counts. */
export const withoutTexts = (source: string): string => source.replace(/"[^"]*"|'[^']*'|`[^`]*`/g, '""');

const operator = (does: Operation, written: string, form: RegExp, sure?: true): LanguageFeature => ({
  property: `operators.${does}`,
  written,
  seenIn: (source) => form.test(source),
  add: (w) => ({
    ...w,
    operators: { ...w.operators, [does]: [...new Set([...(w.operators[does] ?? []), written])] },
  }),
  ...(sure ? { sure } : {}),
});

const BEFORE = '(?:^|[\\s)\\]"\'])';
const BEHIND = '(?=$|[\\s(\\["\'])';
const word = (does: Operation, written: string): LanguageFeature =>
  operator(does, written, new RegExp(`${BEFORE}${written.replace(/ /g, '\\s+')}${BEHIND}`));

/** Words that stand between two values, or in front of some, in one language or another. */
const WORDS: readonly (readonly [Operation, readonly string[]])[] = [
  ['and', ['and', 'AND', 'also']],
  ['or', ['or', 'OR']],
  ['not', ['not', 'NOT']],
  ['notEqual', ['is not', 'isnt', 'ne', 'neq', 'NE', 'differs from']],
  ['equal', ['is', 'eq', 'EQ', 'equals']],
  ['atMost', ['le', 'lte', 'LE', 'at most']],
  ['atLeast', ['ge', 'gte', 'GE', 'at least']],
  ['less', ['lt', 'LT', 'below', 'under', 'less than']],
  ['more', ['gt', 'GT', 'above', 'over', 'more than']],
  ['remainder', ['mod', 'MOD']],
  ['wholeDivide', ['div', 'DIV', 'idiv']],
  ['add', ['plus']],
  ['subtract', ['minus']],
  ['multiply', ['times']],
  ['matches', ['like', 'matches']],
  ['otherwise', ['or else', 'otherwise']],
];

const SIGNS: readonly LanguageFeature[] = [
  operator('equal', '=', /(?<![=!<>~:])=(?![=~>])/),
  operator('notEqual', '<>', /<>/),
  operator('notEqual', '~=', /~=/),
  operator('notEqual', '=/=', /=\/=/),
  operator('matches', '=~', /=~/),
  operator('join', '~', /~(?!=)/),
  operator('join', '..', /[^.]\.\.[^.]/),
  { ...operator('join', '&', /(?<!&)&(?!&)/), only: 'value' },
  operator('otherwise', '??', /\?\?/),
  operator('otherwise', '?:', /\?:/),
  operator('otherwise', ':-', /:-/),
  operator('power', '**', /\*\*/),
  operator('power', '^', /\^/),
  operator('wholeDivide', '//', /\/\//),
  { ...operator('and', '&', /(?<!&)&(?!&)/), only: 'condition' },
  { ...operator('or', '|', /(?<!\|)\|(?!\|)/), only: 'condition' },
];

/** What our own expressions have for it: kept beside another sign where both are used. */
const USUAL: readonly LanguageFeature[] = [
  operator('equal', '==', /(?<![=!<>])==(?!=)/, true),
  operator('notEqual', '!=', /!=(?!=)/, true),
  operator('and', '&&', /&&/, true),
  operator('or', '||', /\|\|/, true),
  operator('not', '!', /(?:^|[\s(])!(?=[\p{L}_(!$.])/u, true),
  operator('less', '<', /<(?![=>-])/, true),
  operator('more', '>', /(?<![<=-])>(?!=)/, true),
  operator('atMost', '<=', /<=/, true),
  operator('atLeast', '>=', />=/, true),
  operator('remainder', '%', /%/, true),
];

const list = (
  property: 'choice' | 'calls' | 'formats' | 'quotes' | 'marks' | 'true' | 'false' | 'nothing',
  written: string,
  form: RegExp,
  sure?: true,
): LanguageFeature => ({
  property: property === 'marks' ? 'names.marks' : property,
  written,
  seenIn: (source) => form.test(source),
  add: (w) => ({ ...w, [property]: [...new Set([...w[property], written])] }),
  ...(sure ? { sure } : {}),
});

const CHOICES: readonly LanguageFeature[] = [
  list('choice', 'YES if CONDITION else NO', /\sif\s.*\selse\s/),
  list('choice', 'YES when CONDITION otherwise NO', /\swhen\s.*\sotherwise\s/),
  list('choice', 'YES unless CONDITION else NO', /\sunless\s.*\selse\s/),
  list('choice', 'if CONDITION then YES else NO', /^\s*if\s.*\sthen\s.*\selse\s/),
];
/** A choice that is written as a call: `IF(c;a;b)`, `if(c, a, b)`. */
function calledChoices(sources: readonly string[]): readonly LanguageFeature[] {
  const forms = new Map<string, LanguageFeature>();
  for (const source of sources) {
    const found = /(?<![\p{L}\p{N}_.])(iif|if|iff|cond|choose)\s*\(/iu.exec(source);
    const sign = source.includes(';') ? ';' : ',';
    const form = `${found?.[1]}(CONDITION${sign}YES${sign}NO)`.replaceAll(',', ', ');
    if (found && !forms.has(form))
      forms.set(form, list('choice', form, new RegExp(`(?<![\\p{L}\\p{N}_.])${found[1]}\\s*\\(`, 'u')));
  }
  return [...forms.values()];
}

const OUR_CHOICE = list('choice', 'CONDITION ? YES : NO', /\?[^?:]*:/, true);

const CALLS: readonly LanguageFeature[] = [
  list(
    'calls',
    'f a b',
    /^\s*\(?\s*(?:gt|ge|lt|le|eq|ne|and|or|not|add|sub|mul|div|mod|max|min|round|len|index)\s+[\p{L}_$.(\d"']/u,
  ),
  list('calls', 'a | f: b', /(?<!\|)\|(?!\|)\s*[\p{L}_]\w*\s*:/u),
  { ...list('calls', 'a | f(b)', /(?<!\|)\|(?!\|)\s*[\p{L}_]\w*(?!\w*\s*:)/u), only: 'value' },
  list('calls', 'a.f(b)', /\.[\p{L}_]\w*\(/u),
];
const BRACKETS = list('calls', 'f(a, b)', /[\p{L}_]\w*\s*\(/u, true);

/** `$x` would be read as a name with that sign in it. */
const DOLLAR = list('marks', '$', /(?:^|[\s(,;=<>!+*/-])\$[\p{L}_]/u, true);
const MARKS: readonly LanguageFeature[] = ['.', '@', '&', ':', '?'].map((mark) =>
  list('marks', mark, new RegExp(`(?:^|[\\s(,;=<>!+*/-])${escaped(mark)}[\\p{L}_]`, 'u')),
);

const WORDS_FOR = (property: 'true' | 'false' | 'nothing', words: readonly string[]): readonly LanguageFeature[] =>
  words.map((one) =>
    list(
      property,
      one,
      new RegExp(`(?:[=(,:?]|\\b(?:is|eq|equals|then|else))\\s*${one}(?![\\p{L}\\p{N}_.(])`, 'u'),
      true,
    ),
  );

const letters = (letter: string, form: RegExp): LanguageFeature => ({
  property: 'names.letters',
  written: letter,
  seenIn: (source) => form.test(source),
  add: (w) => ({ ...w, letters: w.letters.includes(letter) ? w.letters : w.letters + letter }),
});
const BLANK = letters(' ', /[\p{L}\p{N}_]\s+[\p{L}_]/u);
const PERCENT = letters('%', /[\p{L}\p{N}_]%(?!\s*[\p{L}\p{N}_(])/u);

/** The signs behind a value that give its digits, as a form with N for how many. */
function formatsIn(sources: readonly string[]): readonly LanguageFeature[] {
  const forms = new Set<string>();
  for (const source of sources) {
    const plain = withoutTexts(source);
    const dotted = /(:\s?%?\.)\d{1,2}([a-z]?)$/i.exec(plain) ?? /(%\.)\d{1,2}([a-z])$/.exec(plain);
    if (dotted) forms.add(`${dotted[1]}N${dotted[2]}`);
    const zeros = /([:#])\s?0\.0+$/.exec(plain);
    if (zeros) forms.add(`${zeros[1]}0.N`);
  }
  return [...forms].map((form) => {
    const [before = '', behind = ''] = form.split('N');
    const pattern = `${escaped(before)}${form.includes('0.N') ? '0+' : '\\d{1,2}'}${escaped(behind)}$`;
    return list('formats', form, new RegExp(pattern));
  });
}

/**
 * Hyphens in names: words joined by a hyphen without blanks, of which one part at least is no name by itself, or each
 * minus elsewhere has blanks beside it.
 */
function hyphens(sources: readonly string[]): LanguageFeature | null {
  const joined = /[\p{L}_][\p{L}\p{N}_]*(?:-[\p{L}_][\p{L}\p{N}_]*)+/gu;
  const plain = sources.map(withoutTexts);
  const found = new Set(plain.flatMap((source) => source.match(joined) ?? []));
  if (found.size === 0) return null;
  const alone = new Set(plain.flatMap((source) => source.replace(joined, ' ').match(/[\p{L}_][\p{L}\p{N}_]*/gu) ?? []));
  const isMinus = (name: string): boolean => name.split('-').every((part) => alone.has(part));
  return [...found].some((name) => !isMinus(name)) ? { ...letters('-', /[\p{L}\p{N}_]-[\p{L}_]/u), sure: true } : null;
}

/** All features that some source shows, those first that are given up first where the rest is enough. */
export function featuresOf(sources: readonly Pick<ExpressionSource, 'text' | 'is'>[]): readonly LanguageFeature[] {
  const texts = sources.map(({ text }) => text);
  const plain = sources.map(({ text, is }) => ({ text: withoutTexts(text), is }));
  const shown = ({ seenIn, only }: LanguageFeature): boolean =>
    plain.some(({ text, is }) => (only === undefined || only === is) && seenIn(text));
  const hyphen = hyphens(texts);
  const costly = [
    BLANK,
    PERCENT,
    ...CALLS,
    ...formatsIn(texts),
    ...SIGNS,
    ...calledChoices(plain.map(({ text }) => text)),
    ...CHOICES,
  ];
  const words = WORDS.flatMap(([does, all]) => all.map((one) => word(does, one)));
  const cheap = [
    ...words,
    DOLLAR,
    ...MARKS,
    ...WORDS_FOR('true', ['yes', 'on', 'True', 'TRUE']),
    ...WORDS_FOR('false', ['no', 'off', 'False', 'FALSE']),
    ...WORDS_FOR('nothing', ['none', 'None', 'null', 'nil', 'nothing', 'undefined']),
  ];
  const quotes = texts.some((text) => text.includes('`')) ? [list('quotes', '`', /./)] : [];
  return [...costly.filter(shown), ...cheap.filter(shown), ...(hyphen ? [hyphen] : []), ...quotes];
}

/** What our own language has as well, where the other one writes it too: stating one way leaves out the usual one. */
export function alongside(written: WrittenForms, sources: readonly Pick<ExpressionSource, 'text'>[]): WrittenForms {
  const plain = sources.map(({ text }) => withoutTexts(text));
  const shown = (feature: LanguageFeature): boolean => plain.some((source) => feature.seenIn(source));
  const add = (all: WrittenForms, feature: LanguageFeature): WrittenForms => (shown(feature) ? feature.add(all) : all);
  let w = USUAL.filter(({ property }) => written.operators[property.slice(10) as Operation] !== undefined).reduce(
    add,
    written,
  );
  if (w.choice.length > 0) w = add(w, OUR_CHOICE);
  if (w.calls.length > 0) w = add(w, BRACKETS);
  return w.quotes.length > 0 ? { ...w, quotes: [...new Set([...w.quotes, '"', "'"])] } : w;
}
