import type { AnyFunction, BinaryOp, Expr } from './expr.ts';
import type { CallForm, Grammar, Operation } from './grammar.ts';
import { BINARY_OF } from './language.ts';
import { ATOM, CHOICE, LOOSE_FILTER, TIES, TIGHT_FILTER, UNARY } from './ties.ts';
import { plainNumber } from './writing.ts';

// Expressions as a language writes them: the reader the other way around. What the language has no word for is null.

/** A written expression, and how tightly its outermost part binds: where something tighter stands around it needs brackets. */
export interface Spelt {
  readonly text: string;
  readonly tie: number;
}

/** Writes expressions in one language. Every method gives null where the language has nothing for that. */
export class Speller {
  readonly #grammar: Grammar;
  readonly #inFront: boolean;

  constructor(grammar: Grammar) {
    this.#grammar = grammar;
    this.#inFront = grammar.calls.some(({ is }) => is === 'words');
  }

  name(name: string): Spelt {
    return { text: `${this.#grammar.names.marks[0] ?? ''}${name}`, tie: ATOM };
  }

  number(value: number): Spelt {
    return { text: plainNumber(value), tie: value < 0 ? UNARY : ATOM };
  }

  text(value: string): Spelt | null {
    const quote = this.#grammar.quotes.find((one) => !value.includes(one));
    if (quote === undefined || /[\\\r\n]/.test(value)) return null;
    return { text: `${quote}${value}${quote}`, tie: ATOM };
  }

  not(arg: Spelt | null): Spelt | null {
    const sign = this.#signOf('not');
    if (sign === null || !arg) return null;
    // A word may take all that follows it.
    return isWord(sign)
      ? { text: `${sign} ${within(arg, ATOM)}`, tie: LOOSE_FILTER }
      : { text: `${sign}${within(arg, ATOM)}`, tie: UNARY };
  }

  binary(op: BinaryOp, left: Spelt | null, right: Spelt | null): Spelt | null {
    if (!left || !right) return null;
    const does = OPERATION_OF.get(op) ?? null;
    const sign = does && this.#signOf(does, op === '===' || op === '!==');
    if (!does || !sign) return null;
    if (this.#inFront && isWord(sign))
      return { text: `${sign} ${within(left, ATOM)} ${within(right, ATOM)}`, tie: LOOSE_FILTER };
    const tie = TIES[does];
    const first = within(left, this.#isMixed(does, left) ? ATOM : leastOf(does));
    return { text: `${first} ${sign} ${within(right, this.#isMixed(does, right) ? ATOM : leastOf(does, 1))}`, tie };
  }

  /** `a and b` inside of `or`: other languages group them as they like. */
  #isMixed(does: Operation, { tie }: Spelt): boolean {
    return (does === 'or' && tie === TIES.and) || (does === 'and' && tie === TIES.or);
  }

  choice(test: Spelt | null, yes: Spelt | null, no: Spelt | null): Spelt | null {
    const [form] = this.#grammar.choices;
    if (form === undefined || !test || !yes || !no) return null;
    const parts = { CONDITION: test, YES: yes, NO: no };
    const text = form.replace(/(?<![\p{L}\p{N}_])(YES|CONDITION|NO)(?![\p{L}\p{N}_])/gu, (slot) =>
      within(parts[slot as keyof typeof parts], CHOICE + 1),
    );
    return { text, tie: /\)$/.test(form) ? ATOM : CHOICE };
  }

  call(fn: AnyFunction, args: readonly (Spelt | null)[]): Spelt | null {
    const written = this.#functionFor(fn);
    const [form] = this.#grammar.calls;
    const [first, ...rest] = args;
    if (written === null || !form || !first || !isWhole(rest)) return null;
    const call = calledAs(form, written, first, rest, this.#separator());
    // Among words in front of one another a call has to stand in brackets.
    return this.#inFront ? { ...call, tie: LOOSE_FILTER } : call;
  }

  /** What this language calls a function, for messages: `max()`. */
  shownFunction(fn: AnyFunction): string | null {
    const written = this.#functionFor(fn);
    const [form] = this.#grammar.calls;
    return written === null || !form ? null : form.is === 'brackets' ? `${written}()` : written;
  }

  #functionFor(fn: AnyFunction): string | null {
    for (const [written, meant] of this.#grammar.functions)
      if (meant.is === 'ours' && meant.name === fn) return written;
    return null;
  }

  /** What parts arguments: a semicolon where the language's own choice does so. */
  #separator(): string {
    return this.#grammar.choices.some((form) => form.includes(';')) ? ';' : ', ';
  }

  #signOf(does: Operation, strict = false): string | null {
    const all = this.#grammar.operators.filter((one) => one.does === does);
    return (all.find((one) => (one.strict ?? false) === strict) ?? all[0])?.written ?? null;
  }

  /** A whole tree. @param nameOf What a name is called in this language; null: it has none. */
  whole(expr: Expr, nameOf: (name: string) => string | null = (name) => name): Spelt | null {
    const inner = (part: Expr): Spelt | null => this.whole(part, nameOf);
    switch (expr.type) {
      case 'number':
        return this.number(expr.value);
      case 'text':
        return this.text(expr.value);
      case 'flag':
        return wordOf(this.#grammar.words[expr.value ? 'true' : 'false']);
      case 'nothing':
        return wordOf(this.#grammar.words.nothing);
      case 'name': {
        const name = nameOf(expr.name);
        return name === null ? null : this.name(name);
      }
      case 'unary': {
        const arg = inner(expr.arg);
        if (expr.op === '!') return this.not(arg);
        return arg && { text: `${expr.op}${within(arg, ATOM)}`, tie: UNARY };
      }
      case 'binary':
        if (expr.op === '??' && this.#signOf('otherwise') === null)
          return this.call(expr.empty ? 'filled' : 'default', [inner(expr.left), inner(expr.right)]);
        return expr.empty ? null : this.binary(expr.op, inner(expr.left), inner(expr.right));
      case 'choice':
        return this.choice(inner(expr.test), inner(expr.yes), inner(expr.no));
      case 'call':
        return this.call(expr.name, expr.args.map(inner));
      case 'index': {
        const [list, index] = [inner(expr.list), inner(expr.index)];
        const { firstIndex } = this.#grammar;
        if (!list || !index || expr.first === null || expr.first !== firstIndex || this.#grammar.rules === null)
          return null;
        return { text: `${within(list, ATOM)}[${index.text}]${expr.own === null ? '' : `.${expr.own}`}`, tie: ATOM };
      }
      default:
        // Formats, lists, ranges, and what nobody can follow, have no form that is sure to mean the same.
        return null;
    }
  }
}

/** How tightly the sides of an operator have to bind. What a rule of the language may group otherwise is put in brackets. */
function leastOf(does: Exclude<Operation, 'not'>, more = 0): number {
  if (does === 'power') return ATOM;
  const tie = TIES[does];
  return tie >= TIES.equal && tie <= TIES.less ? TIES.less + 1 : tie + more;
}

const within = ({ text, tie }: Spelt, least: number): string => (tie < least ? `(${text})` : text);
const isWord = (sign: string): boolean => /[\p{L}\p{N}_]$/u.test(sign);
const isWhole = (args: readonly (Spelt | null)[]): args is readonly Spelt[] => args.every((arg) => arg !== null);
const wordOf = ([word]: readonly string[]): Spelt | null => (word === undefined ? null : { text: word, tie: ATOM });

function calledAs(form: CallForm, fn: string, first: Spelt, rest: readonly Spelt[], between: string): Spelt {
  const args = rest.map(({ text }) => text).join(between);
  switch (form.is) {
    case 'brackets':
      return { text: `${fn}(${[first, ...rest].map(({ text }) => text).join(between)})`, tie: ATOM };
    case 'method':
      return { text: `${within(first, ATOM)}.${fn}(${args})`, tie: ATOM };
    case 'words':
      return { text: [fn, ...[first, ...rest].map((arg) => within(arg, ATOM))].join(' '), tie: LOOSE_FILTER };
    case 'filter':
      return form.behind === '('
        ? {
            text: `${within(first, TIGHT_FILTER)} ${form.sign} ${fn}${rest.length > 0 ? `(${args})` : ''}`,
            tie: TIGHT_FILTER,
          }
        : {
            text: `${first.text} ${form.sign} ${fn}${rest.length > 0 ? `: ${rest.map((arg) => within(arg, CHOICE)).join(', ')}` : ''}`,
            tie: LOOSE_FILTER,
          };
  }
}

const OPERATION_OF: ReadonlyMap<BinaryOp, Exclude<Operation, 'not'>> = new Map([
  ...(Object.entries(BINARY_OF) as [Exclude<Operation, 'not'>, BinaryOp][]).map(([does, op]) => [op, does] as const),
  ['===', 'equal'] as const,
  ['!==', 'notEqual'] as const,
]);

/** How tightly an expression binds that stands in the text as it was read. */
export function tieOf(expr: Expr): number {
  switch (expr.type) {
    case 'binary':
      return TIES[OPERATION_OF.get(expr.op) ?? 'or'];
    case 'choice':
      return CHOICE;
    case 'unary':
      return UNARY;
    case 'number':
    case 'text':
    case 'flag':
    case 'name':
    case 'nothing':
      return ATOM;
    default:
      // A call may stand behind a sign, or in words.
      return LOOSE_FILTER;
  }
}
