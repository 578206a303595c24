import { Check } from '@sinclair/typebox/value';
import { getNodeValue, type Node } from 'jsonc-parser';
import { listOf, quoted } from '../machineFile/complaint.ts';
import { itemPath, tell } from '../machineFile/consistency.ts';
import { spanOf, type Walk } from '../machineFile/walk.ts';
import {
  type CallForm,
  type Grammar,
  type LoopWords,
  type NameForm,
  NO_RULES,
  type Operation,
  type Operator,
  type Rules,
} from '../placeholders/grammar.ts';
import { OURS } from '../placeholders/ours.ts';
import { readFunctions } from './functions.ts';
import { BARE_LIST_SCHEMA } from './languageSchema.ts';
import type { VocabularyRoot } from './schema.ts';
import { usable } from './tags.ts';
import { plain, Taken } from './taken.ts';

// How expressions are written, as far as the file says it: what it does not name is as in Bookend's own expressions.

type Given = NonNullable<VocabularyRoot['expressions']>;

/**
 * The grammar of a file's expressions; null where it says nothing of them. The nodes are those of `functions` and
 * `rules`, which are read by hand.
 */
export function soundGrammar(
  walk: Walk,
  file: Pick<Partial<VocabularyRoot>, 'expressions' | 'rules'>,
  nodes: { readonly functions: Node | null; readonly bareList: Node | null },
): Grammar | null {
  const { expressions: given, rules } = file;
  if (!given && !rules) return null;
  if (!given) return { ...OURS, rules: rules ? soundRules(walk, rules, nodes.bareList) : null };
  const quotes = soundQuotes(walk, given.quotes);
  const taken = new Taken(walk, quotes);
  const operators = soundOperators(given.operators, taken);
  const words = soundWords(given, taken);
  const calls = soundCalls(walk, given.calls, operators);
  return {
    operators,
    choices: soundChoices(walk, given.choice),
    words,
    quotes,
    names: soundNames(walk, given.names, operators, quotes),
    calls,
    functions: nodes.functions ? readFunctions(walk, nodes.functions, taken) : OURS.functions,
    formats: soundFormats(walk, given.formats),
    formatsBehind: usable(walk, 'expressions.formatsBehind', given.formatsBehind ?? [], formFault, 'The format'),
    loops: soundLoops(walk, given.loops),
    firstIndex: given.firstIndex ?? null,
    // Of another language nothing is taken as known that its file does not state.
    rules: rules ? soundRules(walk, rules, nodes.bareList) : NO_RULES,
  };
}

/** One or several ways to write a thing, each with its place. */
function waysIn(
  walk: Walk,
  given: string | readonly string[] | undefined,
  path: string,
): readonly (readonly [string, string])[] {
  if (given === undefined) return [];
  if (typeof given === 'string') return [[given, path]];
  return given.map((one, i) => [one, itemPath(walk, path, i)] as const);
}

function soundOperators(given: Given['operators'], taken: Taken): readonly Operator[] {
  if (!given) return OURS.operators;
  const stated = new Set(Object.keys(given));
  const found: Operator[] = [];
  // A sign that joins texts may be that of a sum: which of the two it is, its sides tell.
  const sums = new Set(oneOrMore(given.add).map(plain));
  for (const does of Object.keys(given) as Operation[]) {
    for (const [i, written] of oneOrMore(given[does]).entries()) {
      const path = `expressions.operators.${does}`;
      if (does === 'join' && sums.has(plain(written))) continue;
      const word = taken.take(written, path, typeof given[does] === 'string' ? path : `${path}.${i}`);
      if (word !== null && !found.some((one) => one.written === word)) found.push({ written: word, does });
    }
  }
  // What the file does not name is written as usual, unless it gave that sign another meaning.
  const usual = OURS.operators.filter(
    ({ does, written }) => !stated.has(does) && !found.some((one) => one.written === written),
  );
  return [...found, ...usual];
}

const oneOrMore = (given: string | readonly string[] | undefined): readonly string[] =>
  given === undefined ? [] : typeof given === 'string' ? [given] : given;

function soundWords(given: Given, taken: Taken): Grammar['words'] {
  const of = (is: 'true' | 'false' | 'nothing'): readonly string[] => {
    const stated = given[is];
    if (stated === undefined) return OURS.words[is].filter((word) => taken.for(word) === undefined);
    return oneOrMore(stated).flatMap((word, i) => {
      const path = `expressions.${is}`;
      return taken.take(word, path, typeof stated === 'string' ? path : `${path}.${i}`) ?? [];
    });
  };
  return { true: of('true'), false: of('false'), nothing: of('nothing') };
}

function soundQuotes(walk: Walk, given: Given['quotes']): readonly string[] {
  if (!given) return OURS.quotes;
  const faultOf = (quote: string, others: readonly string[]): string | null =>
    /[\s\p{L}\p{N}_.(),;]/u.test(quote)
      ? 'contains a character that names, numbers, calls or comments are written with. Write a sign.'
      : others.includes(quote)
        ? 'stands in the list twice. Remove one of them.'
        : null;
  return usable(walk, 'expressions.quotes', given, faultOf, 'The quote');
}

const PARTS = ['YES', 'CONDITION', 'NO'];

function soundChoices(walk: Walk, given: Given['choice']): readonly string[] {
  if (given === undefined) return OURS.choices;
  return waysIn(walk, given, 'expressions.choice').flatMap(([written, path]) => {
    const form = plain(written);
    const counts = PARTS.map((part) => form.match(new RegExp(`(?<![A-Za-z])${part}(?![A-Za-z])`, 'g'))?.length ?? 0);
    const lacking = PARTS.filter((_, i) => counts[i] === 0);
    const twice = PARTS.filter((_, i) => (counts[i] ?? 0) > 1);
    const touching = /\b(YES|CONDITION|NO) (YES|CONDITION|NO)\b/.exec(form);
    const fault =
      lacking.length > 0
        ? `does not say where ${lacking.join(' and ')} ${lacking.length > 1 ? 'stand' : 'stands'}. Write for example "YES if CONDITION else NO".`
        : twice.length > 0
          ? `has ${listOf(twice)} twice. Write it once.`
          : touching
            ? `has nothing between ${touching[1]} and ${touching[2]}, so nobody can tell where one ends. Write the word or sign between them.`
            : null;
    if (fault === null) return [form];
    tell(walk, path, `The choice ${quoted(written)} ${fault} Until then it is not used.`);
    return [];
  });
}

function soundNames(
  walk: Walk,
  given: Given['names'],
  operators: readonly Operator[],
  quotes: readonly string[],
): NameForm {
  if (!given) return OURS.names;
  const marks = (given.marks ?? []).filter((mark, i) => {
    const clash = operators.find(({ written }) => written === mark);
    const fault = /[\s\p{L}\p{N}_(),]/u.test(mark)
      ? 'contains a character that names or calls are written with. Write a sign.'
      : clash
        ? `is also the operator ${clash.does}, so the two cannot be told apart. Remove one of them.`
        : null;
    if (fault !== null)
      tell(
        walk,
        itemPath(walk, 'expressions.names.marks', i),
        `The mark ${quoted(mark)} ${fault} Until then it is not used.`,
      );
    return fault === null;
  });
  const refused = [...(given.letters ?? '')].filter((letter) => /[(),;\r\n\t]/.test(letter) || quotes.includes(letter));
  if (refused.length > 0)
    tell(
      walk,
      'expressions.names.letters',
      `Names cannot hold ${listOf([...new Set(refused)].map(quoted))}: calls, texts and comments are written with them. Remove them. Until then they are not used.`,
    );
  const letters = [...new Set(given.letters ?? '')].filter((letter) => !refused.includes(letter)).join('');
  return { marks, letters, caseMatters: given.caseMatters ?? true };
}

const CALLS = ['f(a, b)', 'a.f(b)', 'a | f: b', 'a | f(b)', 'f a b'];

function soundCalls(walk: Walk, given: Given['calls'], operators: readonly Operator[]): readonly CallForm[] {
  if (!given) return OURS.calls;
  return given.flatMap((written, i) => {
    const form = callOf(plain(written));
    const sign = form?.is === 'filter' ? form.sign : null;
    const clash = operators.find((one) => one.written === sign);
    const fault = !form
      ? `is not one of the forms that can be read: ${listOf(CALLS)}, with another sign for | perhaps. Write one of them.`
      : clash
        ? `calls with ${quoted(clash.written)}, which is also the operator ${clash.does}, so the two cannot be told apart. Correct one of them.`
        : null;
    if (form && fault === null) return [form];
    tell(
      walk,
      itemPath(walk, 'expressions.calls', i),
      `The call ${quoted(written)} ${fault} Until then it is not used.`,
    );
    return [];
  });
}

/** A form of a call, by its example with `f`, `a` and `b`. */
function callOf(form: string): CallForm | null {
  if (/^f ?\( ?a( ?, ?b)? ?\)$/.test(form)) return { is: 'brackets' };
  if (/^a\.f ?\( ?b? ?\)$/.test(form)) return { is: 'method' };
  if (/^f a( b)?$/.test(form)) return { is: 'words' };
  const filter = /^a ?([^\p{L}\p{N}\s_(),.:]{1,4}) ?f(?: ?(:|\() ?b ?\)?)?$/u.exec(form);
  return filter ? { is: 'filter', sign: filter[1] ?? '', behind: filter[2] === '(' ? '(' : ':' } : null;
}

function soundFormats(walk: Walk, given: Given['formats']): readonly string[] {
  const faultOf = (form: string, others: readonly string[]): string | null =>
    /^[\p{L}\p{N}_\s(]/u.test(form)
      ? 'begins as a name, a number or a call does. Write the sign that parts it from the value first.'
      : formFault(form, others);
  return usable(walk, 'expressions.formats', given ?? [], faultOf, 'The format');
}

function formFault(form: string, others: readonly string[]): string | null {
  if (form.trim() !== form || /\s/.test(form) || form === '')
    return 'has a space in it, which may stand anywhere in a text. Remove the space.';
  if (form.split('N').length > 2) return 'has N twice. Write it once, where the number of digits stands.';
  if (/^N/.test(form)) return 'begins with N, so that every figure behind a value would be one. Write its sign first.';
  return others.includes(form) ? 'stands in the list twice. Remove one of them.' : null;
}

/** The words that mean something in every loop; each means one thing. */
function soundLoops(walk: Walk, given: Given['loops']): LoopWords {
  const taken = new Map<string, string>();
  const of = (role: keyof LoopWords): readonly string[] =>
    waysIn(walk, given?.[role], `expressions.loops.${role}`).flatMap(([written, path]) => {
      const word = written.trim();
      const other = taken.get(word);
      const fault = !/^[@$]?[\p{L}_][\p{L}\p{N}_.-]*$|^\.$/u.test(word)
        ? 'cannot be read as a name. Write letters, digits, _ and dots, with @ or $ before them perhaps.'
        : other !== undefined
          ? `is also expressions.loops.${other}, so the two cannot be told apart. Correct one of them.`
          : null;
      if (fault === null) {
        taken.set(word, role);
        return [word];
      }
      tell(walk, path, `The word ${quoted(written)} ${fault} Until then it is not used.`);
      return [];
    });
  return {
    item: of('item'),
    indexFrom0: of('indexFrom0'),
    indexFrom1: of('indexFrom1'),
    isFirst: of('isFirst'),
    isLast: of('isLast'),
  };
}

function soundRules(walk: Walk, given: NonNullable<VocabularyRoot['rules']>, bareList: Node | null): Rules {
  const { flagsWritten, bareList: _, ...rest } = given;
  const [yes, no] = flagsWritten ?? [];
  if (yes !== undefined && yes === no)
    tell(
      walk,
      'rules.flagsWritten',
      `rules.flagsWritten has ${quoted(yes)} twice, so true and false would look alike. Correct one of them.`,
      'warning',
    );
  return {
    ...NO_RULES,
    ...rest,
    flagsWritten: yes === undefined || no === undefined ? null : { true: yes, false: no },
    bareList: bareList ? soundBareList(walk, bareList) : null,
  };
}

function soundBareList(walk: Walk, node: Node): Rules['bareList'] {
  const value: unknown = getNodeValue(node);
  if (value === 'first') return { is: 'first' };
  if (Array.isArray(value) && Check(BARE_LIST_SCHEMA, value)) {
    const [open = '', between = '', close = ''] = value as string[];
    return { is: 'joined', open, between, close };
  }
  walk.problems.push({
    span: spanOf(node),
    message:
      'rules.bareList must be "first", or a list of three texts: before all elements, between two, after all, such as ["[", ", ", "]"]. Until then it is not known.',
    severity: 'error',
  });
  return null;
}
