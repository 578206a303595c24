import type { Span } from '../text/span.ts';
import { numberAt, textAt } from './atoms.ts';
import { callOf } from './calls.ts';
import { type BinaryOp, type Expr, FUNCTIONS, type FunctionName } from './expr.ts';
import type { Operation, Rules } from './grammar.ts';
import { BINARY_OF, type ChoiceForm, endOf, formattedAs, isNameChar, type Language, type Sign } from './language.ts';
import { OURS, REFUSED, RESERVED } from './ours.ts';
import { AND_OR, CHOICE, COMPARISON, LOOSE_FILTER, POWER, TIES, TIGHT_FILTER, UNARY } from './ties.ts';

// A reader by precedence climbing that is told its operators. All that it knows while reading is in one object of its own.

/** Something that Bookend cannot follow, and where: no fault of the text. */
export interface Unfollowed {
  readonly span: Span;
  /** A function that the language does not declare, or a form that nobody has described. */
  readonly is: 'function' | 'form';
  readonly written: string;
}

/** Thrown and caught in this room only: leaves a deep reading with the place and the reason. */
export class NotRead extends Error {
  readonly span: Span;
  /** Whether it is the text that is at fault, however the language may be written. */
  readonly certain: boolean;
  constructor(span: Span, message: string, certain: boolean) {
    super(message);
    this.span = span;
    this.certain = certain;
  }
}

const DEEPEST = 100;

/** White space of ECMA-262 (12.2, 12.3). */
const isBlank = (c: number): boolean =>
  c === 32 || (c >= 9 && c <= 13) || c === 0xa0 || (c >= 0x1680 && /\s/.test(String.fromCharCode(c)));

const COMPARES: ReadonlySet<Operation> = new Set(['equal', 'notEqual', 'less', 'atMost', 'more', 'atLeast', 'matches']);
const ALLOWED = `Allowed are numbers, names, + - * / %, comparisons, && || !, ?: and ${Object.keys(FUNCTIONS).join(' ')}.`;

export class ExpressionReader {
  readonly unfollowed: Unfollowed[] = [];
  readonly #text: string;
  readonly #offset: number;
  readonly #language: Language;
  readonly #ours: boolean;
  readonly #rules: Rules | null;
  #at = 0;
  #depth = 0;

  constructor(text: string, offset: number, language: Language) {
    this.#text = text;
    this.#offset = offset;
    this.#language = language;
    this.#ours = language.grammar === OURS;
    this.#rules = language.grammar.rules;
  }

  /** The whole source. Throws `NotRead`. */
  whole(): Expr {
    const expr = this.#expression(0);
    this.#blanks();
    if (this.#at < this.#text.length) throw this.#rest(expr);
    return expr;
  }

  // Places

  #span(start: number, end = this.#at): Span {
    return { start: this.#offset + start, end: this.#offset + end };
  }
  /** A part that begins at `start` and ends here. */
  #part<T extends object>(start: number, part: T): T & { span: Span; rules?: Rules } {
    let end = this.#at;
    while (end > start && isBlank(this.#text.charCodeAt(end - 1))) end--;
    const span = this.#span(start, end);
    return this.#rules ? { ...part, span, rules: this.#rules } : { ...part, span };
  }
  #blanks(): void {
    const text = this.#text;
    for (let c = text.charCodeAt(this.#at); ; c = text.charCodeAt(++this.#at)) {
      if (!isBlank(c)) return;
    }
  }
  #takes(sign: string): boolean {
    if (!this.#text.startsWith(sign, this.#at)) return false;
    this.#at += sign.length;
    return true;
  }
  #needs(sign: string): void {
    this.#blanks();
    if (!this.#takes(sign)) throw this.#unreadable();
  }

  // Operators

  #expression(least: number): Expr {
    if (++this.#depth > DEEPEST) throw this.#tooDeep();
    this.#blanks();
    const start = this.#at;
    const expr = this.#goOn(this.#front(start, least), start, least);
    this.#depth--;
    return expr;
  }

  /** What follows a value that was read from `start` on. */
  #goOn(first: Expr, start: number, least: number): Expr {
    let left = first;
    let before: Operation | null = null;
    for (;;) {
      this.#blanks();
      const from = this.#at;
      const found = this.#language.between.at(this.#text, from);
      // `or take` of a choice begins like the operator `or`.
      const parts = found?.sign.isWord ? this.#language.parting.at(this.#text, from) : null;
      const next = found && parts && parts.end > found.end ? null : found;
      const tie = next ? this.#tieOf(next.sign.does) : -1;
      // A longer sign of another kind may begin like an operator: `?:` and `??`, `|` and `||`.
      if (next && tie >= least && !this.#isRefused(next.sign, next.end)) {
        this.#at = next.end;
        if (COMPARES.has(next.sign.does) && before && COMPARES.has(before) && !this.#ours) {
          left = this.#chain(left, start);
          continue;
        }
        left = this.#binary(left, start, next.sign, tie);
        before = next.sign.does;
        continue;
      }
      if (next && tie < least && !next.sign.isWord) return left;
      const more =
        this.#filter(left, start, least) ?? this.#choice(left, start, least) ?? this.#format(left, start, least);
      if (!more) return left;
      left = more;
      before = null;
    }
  }

  #tieOf(does: Operation): number {
    if (does === 'and' && this.#rules && this.#rules.andOr !== 'and first') return AND_OR;
    if (!this.#ours && COMPARES.has(does)) return COMPARISON;
    return TIES[does as Exclude<Operation, 'not'>];
  }

  /** Signs of ECMA-262 that begin like one of ours: `a ** b`, `a++`, `a | b`. */
  #isRefused({ written }: Sign, end: number): boolean {
    if (!this.#ours) return false;
    REFUSED.lastIndex = this.#at;
    return REFUSED.test(this.#text) && (REFUSED.lastIndex > end || REFUSED.lastIndex - this.#at > written.length);
  }

  #binary(left: Expr, start: number, sign: Sign, tie: number): Expr {
    const { does, strict } = sign;
    const op = strict ? (does === 'equal' ? '===' : '!==') : BINARY_OF[does as Exclude<Operation, 'not'>];
    if ((does === 'and' || does === 'or') && this.#rules) return this.#logical(left, start, op);
    if (does === 'power') return this.#power(left, start, false);
    const right = this.#expression(tie + 1);
    return this.#part(start, { type: 'binary', op, left, right } as const);
  }

  #logical(first: Expr, start: number, op: BinaryOp): Expr {
    const { andOr } = this.#rules as Rules;
    if (andOr === 'right to left') {
      const right = this.#expression(AND_OR);
      return this.#part(start, { type: 'binary', op, left: first, right } as const);
    }
    const right = this.#expression((andOr === 'and first' && op === '&&' ? TIES.and : AND_OR) + 1);
    if (andOr !== null) return this.#part(start, { type: 'binary', op, left: first, right } as const);
    const parts = [first, right];
    const ops = [op];
    for (this.#blanks(); ; this.#blanks()) {
      const next = this.#language.between.at(this.#text, this.#at);
      if (next?.sign.does !== 'and' && next?.sign.does !== 'or') break;
      this.#at = next.end;
      ops.push(BINARY_OF[next.sign.does]);
      parts.push(this.#expression(AND_OR + 1));
    }
    if (ops.some((one) => one !== op))
      return this.#part(start, { type: 'unclear', rule: 'andOr', parts, ops } as const);
    return parts.reduce((left, part) => this.#part(start, { type: 'binary', op, left, right: part } as const));
  }

  /** `a ^ b ^ c`, behind its first sign; `signed`: a minus in front of all of it. */
  #power(first: Expr, start: number, signed: boolean): Expr {
    const rule = this.#rules?.power;
    if ((rule === 'before a sign' || rule === 'after a sign') && !signed) {
      const right = this.#expression(POWER);
      return this.#part(start, { type: 'binary', op: '**', left: first, right } as const);
    }
    const parts = [first, this.#expression(POWER + 1)];
    for (this.#blanks(); ; this.#blanks()) {
      const next = this.#language.between.at(this.#text, this.#at);
      if (next?.sign.does !== 'power') break;
      this.#at = next.end;
      parts.push(this.#expression(POWER + 1));
    }
    if (rule === null && (signed || parts.length > 2)) {
      const ops = parts.slice(1).map((): BinaryOp => '**');
      return this.#part(start, {
        type: 'unclear',
        rule: 'power',
        parts,
        ops,
        ...(signed ? { sign: true } : {}),
      } as const);
    }
    return parts.reduce((left, right) => this.#part(start, { type: 'binary', op: '**', left, right } as const));
  }

  /** A comparison of a comparison: some languages mean both, others compare what the first one gives. */
  #chain(left: Expr, start: number): Expr {
    const right = this.#expression(COMPARISON + 1);
    return this.#foreign(start, 'form', this.#text.slice(start, this.#at), { is: 'flag' }, [left, right]);
  }

  #front(start: number, least: number): Expr {
    const text = this.#text;
    const char = text[start];
    if (char === undefined) throw this.#unreadable();
    const named = this.#ours ? null : this.#declared(start);
    if (named) return this.#behind(named, start);
    const formed = this.#language.choices.length > 0 ? this.#choiceInFront(start, least) : null;
    if (formed) return formed;
    const not = this.#language.before.at(text, start);
    if (not) {
      this.#at = not.end;
      return this.#not(not.sign, start, least);
    }
    if (char === '-' || char === '+') {
      if (this.#ours && text[start + 1] === char)
        throw /^[-+]{101}/.test(text.slice(start)) ? this.#tooDeep() : this.#form(start, 'update expression');
      this.#at++;
      return this.#signed(char, start);
    }
    const inFront = this.#language.inFront ? this.#operatorInFront(start) : null;
    return inFront ?? this.#value(start);
  }

  #signed(op: '-' | '+', start: number): Expr {
    const rule = this.#rules?.power;
    const arg = this.#expression(rule === undefined || rule === 'before a sign' ? UNARY : POWER + 1);
    if (rule === null) {
      this.#blanks();
      const next = this.#language.between.at(this.#text, this.#at);
      if (next?.sign.does === 'power') {
        this.#at = next.end;
        const power = this.#power(arg, start, op === '-');
        return op === '-' ? power : this.#part(start, { type: 'unary', op, arg: power } as const);
      }
    }
    return this.#part(start, { type: 'unary', op, arg } as const);
  }

  #not({ isWord }: Sign, start: number, least: number): Expr {
    // Where something that binds more tightly waits for a value, it belongs to the next one alone.
    const last = this.#rules && isWord && least < COMPARISON ? this.#rules.notIsLast : false;
    if (last !== null) {
      const arg = this.#expression(last ? COMPARISON - 1 : UNARY);
      return this.#part(start, { type: 'unary', op: '!', arg } as const);
    }
    this.#blanks();
    const from = this.#at;
    const arg = this.#expression(UNARY);
    const whole = this.#goOn(arg, from, COMPARISON - 1);
    if (whole === arg) return this.#part(start, { type: 'unary', op: '!', arg } as const);
    const compared =
      whole.type === 'binary' && whole.left === arg && /^([<>]=?|[!=]==?)$/.test(whole.op) ? whole : null;
    return compared
      ? this.#part(start, {
          type: 'unclear',
          rule: 'notIsLast',
          parts: [arg, compared.right],
          ops: [compared.op],
        } as const)
      : this.#part(start, { type: 'unclear', rule: 'notIsLast', parts: [whole], ops: [] } as const);
  }

  // Values

  #value(start: number): Expr {
    const { grammar, words } = this.#language;
    const text = this.#text;
    if (this.#takes('(')) {
      const inner = this.#expression(0);
      this.#blanks();
      const range = this.#ours ? null : this.#range(inner, start);
      this.#needs(')');
      // What stands in brackets begins and ends where its own parts do.
      return this.#behind(range ?? inner, start);
    }
    for (const quote of grammar.quotes) {
      if (quote === '' || !text.startsWith(quote, start)) continue;
      const read = textAt(text, start, quote, this.#ours);
      if (!read) throw this.#tooEarly(this.#ours ? start : text.length);
      this.#at = read.end;
      return this.#behind(this.#part(start, { type: 'text', value: read.value } as const), start);
    }
    const number = numberAt(text, start, this.#ours);
    if (number) {
      this.#at = number.end;
      const point = number.point && !this.#ours ? ({ point: true } as const) : {};
      return this.#part(start, { type: 'number', value: number.value, ...point } as const);
    }
    const word = words.at(text, start);
    if (word) {
      this.#at = word.end;
      const { does } = word.sign;
      return this.#part(
        start,
        does === 'nothing' ? ({ type: 'nothing' } as const) : ({ type: 'flag', value: does === 'true' } as const),
      );
    }
    if (!this.#ours && this.#takes('[')) return this.#behind(this.#listFrom(start), start);
    const name = this.#name(start);
    if (!name) throw this.#unreadable();
    return this.#behind(name, start);
  }

  #range(from: Expr, start: number): Expr | null {
    if (!this.#takes('..')) return null;
    const to = this.#expression(0);
    return this.#part(start, { type: 'range', from, to } as const);
  }

  #listFrom(start: number): Expr {
    const items = this.#arguments(']');
    return this.#part(start, { type: 'list', items } as const);
  }

  /** Up to the closing sign, with commas (elsewhere semicolons too) between. */
  #arguments(close: string): Expr[] {
    const args: Expr[] = [];
    for (;;) {
      this.#blanks();
      if (this.#takes(close)) return args;
      args.push(this.#expression(0));
      this.#blanks();
      if (this.#takes(close)) return args;
      if (!this.#takes(',') && (this.#ours || !this.#takes(';'))) throw this.#unreadable();
    }
  }

  // Names

  /** A declared name or function at a place, the longest there is. */
  #declared(start: number): Expr | null {
    const mark = this.#markAt(start);
    const from = start + mark;
    const { names, functions, grammar } = this.#language;
    const found = names.at(this.#text, from);
    const fn = mark === 0 ? functions.at(this.#text, from) : null;
    if (fn && (!found || fn.end > found.end)) return null;
    if (!found) return null;
    // A longer name of the usual letters stands there: another one.
    const c = this.#text.charCodeAt(found.end);
    if (c === 46 && this.#isNameStart(found.end + 1) && !this.#language.methods) return null;
    if (grammar.names.letters.includes('-') && c === 45 && isNameChar(this.#text.charCodeAt(found.end + 1))) {
      const long = this.#scan(from);
      if (long > found.end && !names.get(this.#text.slice(found.end + 1, long))) return null;
    }
    this.#at = found.end;
    return { ...this.#part(from, { type: 'name', name: found.value } as const) };
  }

  #markAt(start: number): number {
    for (const mark of this.#language.grammar.names.marks)
      if (mark !== '' && this.#text.startsWith(mark, start) && this.#isNameStart(start + mark.length))
        return mark.length;
    return 0;
  }
  #isNameStart(at: number): boolean {
    const c = this.#text.charCodeAt(at);
    return isNameChar(c) || (at < this.#text.length && this.#letter(at));
  }
  #letter(at: number): boolean {
    const { letters } = this.#language.grammar.names;
    return letters !== '' && letters.includes(this.#text[at] ?? '\n') && this.#text[at] !== ' ';
  }

  /** Where a name of the language's letters ends that begins at a place. */
  #scan(start: number): number {
    const text = this.#text;
    const blanks = this.#language.grammar.names.letters.includes(' ');
    let at = start;
    for (; at < text.length; at++) {
      if (isNameChar(text.charCodeAt(at)) || this.#letter(at)) continue;
      if (text[at] === '.' && !this.#ours && at > start && this.#isWordStart(at + 1)) continue;
      if (!blanks || text[at] !== ' ') break;
      let next = at;
      while (text[next] === ' ') next++;
      if (!this.#isNameStart(next) || this.#isOperatorWord(next)) break;
      at = next - 1;
    }
    return at;
  }
  #isWordStart(at: number): boolean {
    const c = this.#text.charCodeAt(at);
    return this.#isNameStart(at) && !(c >= 48 && c <= 57);
  }
  #isOperatorWord(at: number): boolean {
    const { between, before, parting, filters } = this.#language;
    return [between, before, parting, filters].some((signs) => signs.at(this.#text, at) !== null);
  }

  #name(start: number): Expr | null {
    const from = start + this.#markAt(start);
    const text = this.#text;
    if (this.#ours && text[from] === '.' && text.trim() === '.') {
      this.#at = from + 1;
      return this.#part(from, { type: 'name', name: '.' } as const);
    }
    const fn = this.#ours ? null : this.#language.functions.at(text, from);
    let end = Math.max(this.#scan(from), fn?.end ?? 0);
    if (end === from && text.startsWith('@', from) && !this.#ours) end = this.#scan(from + 1);
    if (end <= from + (text[from] === '@' ? 1 : 0)) {
      if (text[from] !== '.' || this.#ours) return null;
      this.#at = from + 1;
      return this.#part(from, { type: 'name', name: '.' } as const);
    }
    const c = text.charCodeAt(from);
    if (this.#ours && c >= 48 && c <= 57) return null;
    this.#at = end;
    if (this.#ours) return this.#ourName(from, end);
    const written = text.slice(from, end);
    return this.#called(written, from) ?? this.#part(from, { type: 'name', name: written } as const);
  }

  /** `a.b.c`, with blanks around the dots where somebody wrote them. */
  #ourName(from: number, end: number): Expr {
    const text = this.#text;
    const first = text.slice(from, end);
    if (RESERVED.has(first))
      throw this.#form(from, first === 'this' || first === 'null' ? first : `${first} expression`);
    let name = first;
    for (;;) {
      const before = this.#at;
      this.#blanks();
      if (!this.#takes('.')) {
        this.#at = before;
        break;
      }
      this.#blanks();
      const start = this.#at;
      const stop = this.#scan(start);
      const c = text.charCodeAt(start);
      if (stop === start || (c >= 48 && c <= 57)) throw this.#unreadable();
      name += `.${text.slice(start, stop)}`;
      this.#at = stop;
    }
    const stop = this.#at;
    this.#blanks();
    if (text[this.#at] === '(') return this.#ourCall(name, from, stop);
    if (text[this.#at] === '[' || text.startsWith('?.', this.#at)) {
      if (text[this.#at] === '[' || !/\d/.test(text[this.#at + 2] ?? ''))
        throw new NotRead(
          this.#span(from, this.#closing()),
          'Only dotted names (heat.bed.first) are allowed, no [ ] and no ?. behind a name.',
          true,
        );
    }
    this.#at = stop;
    return this.#part(from, { type: 'name', name } as const);
  }

  /** Where the square bracket that opens here is closed. */
  #closing(): number {
    const at = this.#text.indexOf(']', this.#at);
    return at < 0 ? Math.min(this.#text.length, this.#at + 1) : at + 1;
  }

  #ourCall(name: string, from: number, stop: number): Expr {
    if (!Object.hasOwn(FUNCTIONS, name)) {
      const known = Object.keys(FUNCTIONS).join(', ');
      throw new NotRead(this.#span(from, stop), `There is no function “${name}”. The functions are ${known}.`, true);
    }
    this.#at++;
    const args = this.#arguments(')');
    const { least, most, signature } = FUNCTIONS[name as FunctionName];
    if (args.length < least || args.length > most) {
      const message = `${name} is given ${args.length} argument${args.length === 1 ? '' : 's'}; it is written ${signature}.`;
      throw new NotRead(this.#span(from), message, true);
    }
    const fn = this.#span(from, stop);
    return this.#part(from, { type: 'call', name: name as FunctionName, args, fn } as const);
  }

  // Calls of other languages

  /** What a written name calls here, where it calls something. */
  #called(written: string, from: number): Expr | null {
    const { brackets, methods, inFront, functions } = this.#language;
    const opens = this.#text[this.#at] === '(';
    if (opens && brackets && functions.get(written)) {
      this.#at++;
      return this.#call(written, this.#arguments(')'), from);
    }
    const dot = written.lastIndexOf('.');
    if (opens && methods && dot > 0) {
      const end = this.#at;
      this.#at = from + dot;
      const of = this.#part(from, { type: 'name', name: written.slice(0, dot) } as const);
      this.#at = end + 1;
      return this.#call(written.slice(dot + 1), [of, ...this.#arguments(')')], from, from, from + dot + 1);
    }
    if (opens && brackets) {
      this.#at++;
      return this.#call(written, this.#arguments(')'), from);
    }
    if (!inFront) return null;
    const args = this.#argumentsBehind();
    return args.length > 0 ? this.#call(written, args, from) : null;
  }

  /**
   * @param start Where the call begins, where a value stands in front of the function's name.
   * @param at Where that name stands.
   */
  #call(written: string, args: readonly Expr[], from: number, start = from, at = from): Expr {
    const fn = this.#language.functions.get(written);
    const called = fn && callOf(fn, args);
    const place = this.#span(at, at + written.length);
    if (called) return this.#part(start, called.type === 'call' ? { ...called, fn: place } : called);
    const expr = this.#foreign(
      from,
      fn ? 'form' : 'function',
      written,
      fn && fn.is !== 'ours' ? fn : null,
      args,
      fn !== undefined && fn.is !== 'ours',
    );
    return { ...expr, span: this.#span(start), ...(expr.type === 'foreign' ? { fn: place } : {}) };
  }

  /** `f a b`: values that follow with nothing between. */
  #argumentsBehind(): Expr[] {
    const args: Expr[] = [];
    for (;;) {
      const before = this.#at;
      this.#blanks();
      const start = this.#at;
      const c = this.#text[start];
      const begins =
        c !== undefined &&
        (c === '(' ||
          this.#isNegative(start) ||
          this.#isNameStart(start) ||
          this.#markAt(start) > 0 ||
          this.#language.grammar.quotes.some((q) => q !== '' && this.#text.startsWith(q, start)));
      if (start === before || !begins || this.#isOperatorWord(start)) {
        this.#at = before;
        return args;
      }
      args.push(this.#lone(start));
    }
  }

  /** `-2` as one word. */
  #isNegative(at: number): boolean {
    const next = this.#text.charCodeAt(at + 1);
    return this.#text[at] === '-' && next >= 48 && next <= 57;
  }

  /** One value that takes nothing behind itself as an argument. */
  #lone(start: number): Expr {
    if (++this.#depth > DEEPEST) throw this.#tooDeep();
    if (this.#isNegative(start)) {
      this.#at = start + 1;
      const arg = this.#value(start + 1);
      this.#depth--;
      return this.#part(start, { type: 'unary', op: '-', arg } as const);
    }
    const named = this.#declared(start);
    if (named) {
      this.#depth--;
      return this.#behind(named, start);
    }
    const mark = this.#markAt(start);
    const c = this.#text[start + mark] ?? '';
    const isWord =
      !/[\d("'[]/.test(c) && this.#isNameStart(start + mark) && !this.#language.words.at(this.#text, start);
    if (!isWord) {
      const value = this.#value(start);
      this.#depth--;
      return value;
    }
    this.#at = this.#scan(start + mark);
    this.#depth--;
    return this.#behind(
      this.#part(start + mark, { type: 'name', name: this.#text.slice(start + mark, this.#at) } as const),
      start,
    );
  }

  /** `gt a b`, `and a (gt b 1)`, where words stand in front. */
  #operatorInFront(start: number): Expr | null {
    const found = this.#language.between.at(this.#text, start);
    if (!found?.sign.isWord) return null;
    this.#at = found.end;
    const args = this.#argumentsBehind();
    const [first, second] = args;
    if (!first || !second) throw this.#unreadable();
    const op = BINARY_OF[found.sign.does as Exclude<Operation, 'not'>];
    return args.reduce((left, right) => this.#part(start, { type: 'binary', op, left, right } as const));
  }

  // What stands behind a value

  /** Indexes: `a[0]`, `a["key"]`, `a.0`, `a[1].size`. */
  #behind(value: Expr, start: number): Expr {
    if (this.#ours) return this.#withoutDot(value, start);
    let of = value;
    for (;;) {
      const text = this.#text;
      if (text[this.#at] === '[') {
        this.#at++;
        const index = this.#expression(0);
        this.#needs(']');
        of = this.#indexed(of, index, start);
        continue;
      }
      const digits = /\.(\d+)(?![\p{L}\p{N}_])/uy;
      digits.lastIndex = this.#at;
      const [, figure] = digits.exec(text) ?? [];
      if (figure !== undefined && of.type !== 'number') {
        const from = this.#at + 1;
        this.#at = digits.lastIndex;
        of = this.#indexed(of, this.#part(from, { type: 'number', value: Number(figure) } as const), start);
        continue;
      }
      if (text[this.#at] === '.' && this.#isWordStart(this.#at + 1)) {
        const more = this.#member(of, start);
        if (more) {
          of = more;
          continue;
        }
      }
      return of;
    }
  }

  /** Our own names alone have parts. */
  #withoutDot(value: Expr, start: number): Expr {
    if (value.type === 'name') return value;
    const before = this.#at;
    this.#blanks();
    if (this.#text[this.#at] !== '.') {
      this.#at = before;
      return value;
    }
    this.#at++;
    this.#blanks();
    const end = Math.max(this.#at, this.#scan(this.#at));
    throw new NotRead(this.#span(start, end), 'A dot may only join the parts of a placeholder name.', true);
  }

  #member(of: Expr, start: number): Expr | null {
    const from = this.#at + 1;
    const end = this.#scan(from);
    const own = this.#text.slice(from, end);
    if (this.#text[end] === '(' && this.#language.methods) {
      this.#at = end + 1;
      return this.#call(own, [of, ...this.#arguments(')')], start, start, from);
    }
    if (of.type === 'index' && of.own === null) {
      this.#at = end;
      return { ...of, own, span: this.#span(start) };
    }
    if (of.type !== 'name') return null;
    this.#at = end;
    return this.#part(start, { type: 'name', name: `${of.name}.${own}` } as const);
  }

  #indexed(list: Expr, index: Expr, start: number): Expr {
    // A key that is written out is a part of the name.
    if (index.type === 'text' && list.type === 'name')
      return this.#part(start, { type: 'name', name: `${list.name}.${index.value}` } as const);
    const first = this.#language.grammar.firstIndex;
    return this.#part(start, { type: 'index', list, index, own: null, first } as const);
  }

  #filter(left: Expr, start: number, least: number): Expr | null {
    const found = this.#language.filters.at(this.#text, this.#at);
    if (!found) return null;
    const tie = found.sign.does === ':' ? LOOSE_FILTER : TIGHT_FILTER;
    if (tie < least) return null;
    this.#at = found.end;
    this.#blanks();
    const from = this.#at;
    const fn = this.#language.functions.at(this.#text, from);
    const end = Math.max(fn?.end ?? 0, this.#scan(from));
    if (end === from) throw this.#unreadable();
    const written = this.#text.slice(from, end).trim();
    this.#at = from + written.length;
    const args = found.sign.does === ':' ? this.#argumentsAfterColon() : this.#takes('(') ? this.#arguments(')') : [];
    return this.#call(written, [left, ...args], from, start);
  }

  #argumentsAfterColon(): Expr[] {
    const before = this.#at;
    this.#blanks();
    if (!this.#takes(':')) {
      this.#at = before;
      return [];
    }
    const args: Expr[] = [];
    do {
      args.push(this.#expression(LOOSE_FILTER + 1));
      this.#blanks();
    } while (this.#takes(','));
    return args;
  }

  #format(left: Expr, start: number, least: number): Expr | null {
    if (least > LOOSE_FILTER) return null;
    for (const form of this.#language.formats) {
      form.at.lastIndex = this.#at;
      const found = form.at.exec(this.#text);
      if (!found) continue;
      this.#at = form.at.lastIndex;
      const written = formattedAs(left, form, found);
      return written ? this.#part(start, written) : left;
    }
    return null;
  }

  // Choices

  #choice(left: Expr, start: number, least: number): Expr | null {
    if (CHOICE < least) return null;
    const forms = this.#language.choices.filter(({ parts }) => typeof parts[0] === 'string');
    return forms.length > 0 ? this.#slots(forms, [left], 1, start) : null;
  }
  #choiceInFront(start: number, least: number): Expr | null {
    if (CHOICE < least && least > COMPARISON) return null;
    const forms = this.#language.choices.filter(({ parts }) => typeof parts[0] !== 'string');
    return forms.length > 0 ? this.#slots(forms, [], 0, start) : null;
  }

  /** Reads on in all forms that still fit; the longest that fits whole is it. */
  #slots(all: readonly ChoiceForm[], read: Expr[], from: number, start: number): Expr | null {
    let forms = all;
    const values = [...read];
    let whole: { form: ChoiceForm; values: readonly Expr[] } | null = null;
    for (let i = from; forms.length > 0; i++) {
      const done = forms.find(({ parts }) => parts.length === i);
      if (done) whole = { form: done, values: [...values] };
      forms = forms.filter(({ parts }) => parts.length > i);
      const before = this.#at;
      this.#blanks();
      const [first] = forms;
      const part = first?.parts[i];
      if (part === undefined) {
        this.#at = before;
        break;
      }
      if (typeof part === 'string') {
        const isLast = forms.some(({ parts }) => parts.length === i + 1);
        values.push(this.#expression(isLast ? CHOICE : LOOSE_FILTER + 1));
        continue;
      }
      const fits = forms.filter(
        ({ parts }) => typeof parts[i] !== 'string' && endOf(parts[i] as Sign<'choice'>, this.#text, this.#at) >= 0,
      );
      const [fit] = fits;
      if (!fit) {
        this.#at = before;
        if (!whole && i > from) throw this.#unreadable();
        break;
      }
      this.#at = endOf(fit.parts[i] as Sign<'choice'>, this.#text, this.#at);
      forms = fits.filter(
        ({ parts }) => (parts[i] as Sign<'choice'>).written === (fit.parts[i] as Sign<'choice'>).written,
      );
    }
    return whole && this.#chosen(whole.form, whole.values, start);
  }

  #chosen({ parts }: ChoiceForm, values: readonly Expr[], start: number): Expr {
    const slots = parts.filter((part) => typeof part === 'string');
    const of = (slot: string): Expr =>
      values[slots.indexOf(slot as 'YES')] ?? this.#part(start, { type: 'nothing' } as const);
    return this.#part(start, { type: 'choice', test: of('CONDITION'), yes: of('YES'), no: of('NO') } as const);
  }

  // What cannot be read

  #foreign(
    from: number,
    is: Unfollowed['is'],
    written: string,
    gives: Extract<Expr, { type: 'foreign' }>['gives'],
    args: readonly Expr[],
    isDeclared = false,
  ): Expr {
    if (!isDeclared) this.unfollowed.push({ span: this.#span(from), is, written });
    return this.#part(from, { type: 'foreign', written, gives, args } as const);
  }

  #tooDeep(): NotRead {
    const message = `The expression is nested more than ${DEEPEST} deep, and ${DEEPEST} is the most that is read. Split it into smaller ones.`;
    return new NotRead(this.#span(0, this.#text.length), message, true);
  }
  #tooEarly(at: number): NotRead {
    const start = Math.min(at, Math.max(0, this.#text.length - 1));
    const span = this.#span(start, Math.min(start + 1, this.#text.length));
    const reads = at >= this.#text.length;
    const message = reads
      ? 'The expression ends too early: a value or a closing bracket is missing.'
      : `The expression cannot be read from “${this.#text.slice(at, at + 12)}” on. ${ALLOWED}`;
    return new NotRead(span, message, this.#ours || reads);
  }
  #unreadable(): NotRead {
    this.#blanks();
    return this.#tooEarly(this.#at);
  }
  #form(start: number, what: string): NotRead {
    const message = `This form of expression (${what}) is not allowed in a tag; nothing is ever run from it. ${ALLOWED}`;
    return new NotRead(this.#span(start, this.#text.length), message, true);
  }

  /** Why something still follows a complete expression. */
  #rest(expr: Expr): NotRead {
    const rest = this.#text.slice(this.#at);
    const whole = { start: expr.span.start, end: this.#offset + this.#text.trimEnd().length };
    if (!this.#ours)
      return new NotRead(this.#span(this.#at, this.#text.length), `“${rest}” follows a complete expression.`, false);
    REFUSED.lastIndex = this.#at;
    const [sign] = REFUSED.exec(this.#text) ?? [];
    if (sign === undefined)
      return new NotRead(
        this.#span(this.#at, this.#text.length),
        `“${rest}” follows a complete expression. Remove it, or put an operator in between.`,
        true,
      );
    if (sign === '++' || sign === '--') return this.#form(whole.start - this.#offset, 'update expression');
    if (sign === '=>') return this.#form(whole.start - this.#offset, 'arrow function expression');
    if (sign.endsWith('=')) {
      const message = `This form of expression (assignment expression) is not allowed in a tag; nothing is ever run from it. ${ALLOWED}`;
      return new NotRead(whole, message, true);
    }
    const message = `The operator “${sign}” is not allowed in a tag. Use + - * / %, < <= > >= == !=, && || ! or ?:.`;
    return new NotRead(whole, message, true);
  }
}
