import { type DigitForm, digitForm } from '../syntax/digitForms.ts';
import { once } from '../text/once.ts';
import { MOST_DIGITS, type Placeless } from './calls.ts';
import type { BinaryOp, Expr } from './expr.ts';
import type { CallForm, Grammar, LanguageFunction, Operation, Operator } from './grammar.ts';

/** A `Grammar` as the reader wants it: tables made once. Holds nothing that changes while reading. */
export interface Language {
  readonly grammar: Grammar;
  /** Operators between two values. */
  readonly between: Signs<Operation>;
  /** Those in front of one. */
  readonly before: Signs<Operation>;
  readonly choices: readonly ChoiceForm[];
  /** What the forms of choices have at their beginning and between their slots. */
  readonly parting: Signs<'choice'>;
  readonly words: Signs<'true' | 'false' | 'nothing'>;
  readonly formats: readonly FormatForm[];
  /** Those that stand behind a tag's close, to its very end. */
  readonly formatsBehind: readonly FormatForm[];
  readonly filters: Signs<':' | '('>;
  readonly brackets: boolean;
  readonly methods: boolean;
  readonly inFront: boolean;
  readonly names: Lengths<string>;
  readonly functions: Lengths<LanguageFunction>;
}

/** Something that is looked for in a text: a sign, or words with blanks between. */
export interface Sign<Does = Operation> {
  readonly does: Does;
  readonly written: string;
  readonly isWord: boolean;
  readonly strict: boolean;
  /** As a regular expression that holds at one place; null where the sign itself is looked for. */
  readonly form: RegExp | null;
}

/** Where a sign ends that stands at a place; -1 where it does not. */
export function endOf({ written, form }: Sign<unknown>, text: string, at: number): number {
  if (!form) return text.startsWith(written, at) ? at + written.length : -1;
  form.lastIndex = at;
  return form.test(text) ? form.lastIndex : -1;
}

/** Signs by their first character, the longest first. */
export class Signs<Does> {
  readonly #byFirst = new Map<number, Sign<Does>[]>();

  constructor(signs: readonly Sign<Does>[]) {
    for (const sign of [...signs].sort((a, b) => b.written.length - a.written.length)) {
      const [first = ''] = sign.written;
      const cases = sign.form ? new Set([first.toLowerCase(), first.toUpperCase()]) : [first];
      for (const char of cases) {
        const code = char.charCodeAt(0);
        const list = this.#byFirst.get(code);
        if (list) list.push(sign);
        else this.#byFirst.set(code, [sign]);
      }
    }
  }

  /** The longest that stands at a place. */
  at(text: string, from: number): { readonly sign: Sign<Does>; readonly end: number } | null {
    for (const sign of this.#byFirst.get(text.charCodeAt(from)) ?? []) {
      const end = endOf(sign, text, from);
      if (end >= 0) return { sign, end };
    }
    return null;
  }
}

/** `YES if CONDITION else NO`: what stands in turn. A form begins with a slot, or with something written. */
export interface ChoiceForm {
  readonly parts: readonly (ChoiceSlot | Sign<'choice'>)[];
}
export type ChoiceSlot = 'YES' | 'CONDITION' | 'NO';

export interface FormatForm extends DigitForm {
  /** What a form without digits says: without what is behind the point, with six digits (ISO C 7.21.6.1), or as it is. */
  readonly without: 'whole' | 'six' | 'as it is';
}

const escaped = (text: string): string => text.replace(/[\\^$.*+?()[\]{}|/-]/g, '\\$&');
const isWordEnd = (text: string): boolean => /[\p{L}\p{N}_]$/u.test(text);

function signOf<Does>(written: string, does: Does, anyCase: boolean, strict = false): Sign<Does> {
  const trimmed = written.trim();
  const isWord = isWordEnd(trimmed);
  const source = `${trimmed.split(/\s+/).map(escaped).join('\\s+')}${isWord ? '(?![\\p{L}\\p{N}_])' : ''}`;
  const form = isWord || /\s/.test(trimmed) ? new RegExp(source, anyCase && isWord ? 'iyu' : 'yu') : null;
  return { does, written: trimmed, isWord, strict, form };
}

/** The tables of a language. `names`: those that are declared, which are looked for first, the longest of them. */
export function languageOf(grammar: Grammar, names: Iterable<string> = []): Language {
  const anyCase = grammar.names.caseMatters === false;
  const signs = grammar.operators
    .filter(({ written }) => written.trim() !== '')
    .map(({ written, does, strict }: Operator) => signOf(written, does, anyCase, strict));
  const words = (['true', 'false', 'nothing'] as const).flatMap((does) =>
    grammar.words[does].filter((word) => word.trim() !== '').map((word) => signOf(word, does, anyCase)),
  );
  const choices = grammar.choices.flatMap((form) => choiceOf(form, anyCase));
  const has = (is: CallForm['is']): boolean => grammar.calls.some((form) => form.is === is);
  return {
    grammar,
    between: new Signs(signs.filter(({ does }) => does !== 'not')),
    before: new Signs(signs.filter(({ does }) => does === 'not')),
    choices,
    parting: new Signs(choices.flatMap(({ parts }) => parts.filter((part) => typeof part !== 'string'))),
    words: new Signs(words),
    formats: grammar.formats.flatMap(formatOf),
    formatsBehind: grammar.formatsBehind.flatMap(formatOf),
    filters: new Signs(
      grammar.calls.flatMap((form) =>
        form.is === 'filter' && form.sign.trim() !== '' ? [signOf(form.sign, form.behind, anyCase)] : [],
      ),
    ),
    brackets: has('brackets'),
    methods: has('method'),
    inFront: has('words'),
    names: new Lengths(
      [...names].map((name) => [name, name]),
      anyCase,
    ),
    functions: new Lengths([...grammar.functions], anyCase),
  };
}

/** A form without CONDITION and YES says nothing, and is left out. */
function choiceOf(form: string, anyCase: boolean): ChoiceForm[] {
  const parts = form
    .split(/(YES|CONDITION|NO)(?![\p{L}\p{N}_])/u)
    .map((part) => part.trim())
    .filter((part) => part !== '')
    .map((part) => (isSlot(part) ? part : signOf(part, 'choice' as const, anyCase)));
  const ok = parts.includes('YES') && parts.includes('CONDITION') && parts.length >= 3;
  const parted = parts.every((part, i) => i === 0 || typeof part !== 'string' || typeof parts[i - 1] !== 'string');
  return ok && parted ? [{ parts }] : [];
}
const isSlot = (part: string): part is ChoiceSlot => part === 'YES' || part === 'CONDITION' || part === 'NO';

function formatOf(form: string): FormatForm[] {
  if (form.trim() === '') return [];
  const without = /[di]/.test(form) ? 'whole' : form.includes('f') ? 'six' : 'as it is';
  return [{ ...digitForm(form), without }];
}

/** An expression as a format that was found writes it. `found`: of the form's own regular expression. */
export function formattedAs(arg: Expr, { zeros, without }: FormatForm, found: RegExpExecArray): Placeless | null {
  const [, digits] = found;
  if (digits !== undefined)
    return { type: 'format', arg, digits: zeros ? digits.length : Math.min(MOST_DIGITS, Number(digits)) };
  if (without === 'as it is') return null;
  return without === 'whole' ? { type: 'format', arg, digits: 0, whole: true } : { type: 'format', arg, digits: SIX };
}
const SIX = 6;

/** Texts by what they are written as, found in a text at a place, the longest first. */
export class Lengths<T> {
  readonly #exact = new Map<string, T>();
  readonly #lower: Map<string, T> | null;
  readonly #lengths: readonly number[];

  constructor(entries: readonly (readonly [string, T])[], anyCase: boolean) {
    this.#lower = anyCase ? new Map() : null;
    for (const [key, value] of entries) {
      if (key === '') continue;
      this.#exact.set(key, value);
      const small = key.toLowerCase();
      if (this.#lower && !this.#lower.has(small)) this.#lower.set(small, value);
    }
    this.#lengths = [...new Set([...this.#exact.keys()].map((key) => key.length))].sort((a, b) => b - a);
  }

  get size(): number {
    return this.#exact.size;
  }

  get(key: string): T | undefined {
    return this.#exact.get(key) ?? this.#lower?.get(key.toLowerCase());
  }

  /** The longest that stands at a place and ends there: no letter or digit follows. */
  at(text: string, from: number): { readonly value: T; readonly end: number } | null {
    for (const length of this.#lengths) {
      const end = from + length;
      if (end > text.length || isNameChar(text.charCodeAt(end))) continue;
      const value = this.get(text.slice(from, end));
      if (value !== undefined) return { value, end };
    }
    return null;
  }
}

/** Letters, digits, `_`; whatever is beyond ASCII counts as a letter where it is one. */
export function isNameChar(code: number): boolean {
  if (code < 128)
    return (code >= 48 && code <= 57) || (code >= 65 && code <= 90) || code === 95 || (code >= 97 && code <= 122);
  return code >= 128 && BEYOND.test(String.fromCharCode(code));
}
/** Halves of letters beyond 16 bits count as letters. */
const BEYOND = /[\p{L}\p{N}\p{M}\ud800-\udfff]/u;

export const BINARY_OF: Readonly<Record<Exclude<Operation, 'not'>, BinaryOp>> = {
  or: '||',
  and: '&&',
  equal: '==',
  notEqual: '!=',
  less: '<',
  atMost: '<=',
  more: '>',
  atLeast: '>=',
  add: '+',
  subtract: '-',
  multiply: '*',
  divide: '/',
  wholeDivide: '//',
  remainder: '%',
  power: '**',
  join: '~',
  matches: '=~',
  otherwise: '??',
};

/** The tables of a grammar without declared names. */
export const bareLanguage = once((grammar: Grammar) => languageOf(grammar));
