import { callOf } from './calls.ts';
import type { Expr } from './expr.ts';
import type { Operation } from './grammar.ts';
import { BINARY_OF } from './language.ts';
import { DEEPEST } from './readerCursor.ts';
import { OwnReader } from './readerOwn.ts';

/** Names, and what a written name calls: with brackets, behind a dot, or with words that follow. */
export abstract class CallReader extends OwnReader {
  protected name(start: number): Expr | null {
    const from = start + this.markAt(start);
    const text = this.text;
    if (this.ours && text[from] === '.' && text.trim() === '.') {
      this.at = from + 1;
      return this.part(from, { type: 'name', name: '.' } as const);
    }
    const fn = this.ours ? null : this.language.functions.at(text, from);
    let end = Math.max(this.scan(from), fn?.end ?? 0);
    if (end === from && text.startsWith('@', from) && !this.ours) end = this.scan(from + 1);
    if (end <= from + (text[from] === '@' ? 1 : 0)) {
      if (text[from] !== '.' || this.ours) return null;
      this.at = from + 1;
      return this.part(from, { type: 'name', name: '.' } as const);
    }
    const c = text.charCodeAt(from);
    if (this.ours && c >= 48 && c <= 57) return null;
    this.at = end;
    if (this.ours) return this.ourName(from, end);
    const written = text.slice(from, end);
    return this.called(written, from) ?? this.part(from, { type: 'name', name: written } as const);
  }

  /** What a written name calls here, where it calls something. */
  protected called(written: string, from: number): Expr | null {
    const { brackets, methods, inFront, functions } = this.language;
    const opens = this.text[this.at] === '(';
    if (opens && brackets && functions.get(written)) {
      this.at++;
      return this.call(written, this.arguments(')'), from);
    }
    const dot = written.lastIndexOf('.');
    if (opens && methods && dot > 0) {
      const end = this.at;
      this.at = from + dot;
      const of = this.part(from, { type: 'name', name: written.slice(0, dot) } as const);
      this.at = end + 1;
      return this.call(written.slice(dot + 1), [of, ...this.arguments(')')], from, from, from + dot + 1);
    }
    if (opens && brackets) {
      this.at++;
      return this.call(written, this.arguments(')'), from);
    }
    if (!inFront) return null;
    const args = this.argumentsBehind();
    return args.length > 0 ? this.call(written, args, from) : null;
  }

  /**
   * @param start Where the call begins, where a value stands in front of the function's name.
   * @param at Where that name stands.
   */
  protected call(written: string, args: readonly Expr[], from: number, start = from, at = from): Expr {
    const fn = this.language.functions.get(written);
    const called = fn && callOf(fn, args);
    const place = this.span(at, at + written.length);
    if (called) return this.part(start, called.type === 'call' ? { ...called, fn: place } : called);
    const expr = this.foreign(
      from,
      fn ? 'form' : 'function',
      written,
      fn && fn.is !== 'ours' ? fn : null,
      args,
      fn !== undefined && fn.is !== 'ours',
    );
    return { ...expr, span: this.span(start), ...(expr.type === 'foreign' ? { fn: place } : {}) };
  }

  /** `f a b`: values that follow with nothing between. */
  protected argumentsBehind(): Expr[] {
    const args: Expr[] = [];
    for (;;) {
      const before = this.at;
      this.blanks();
      const start = this.at;
      const c = this.text[start];
      const begins =
        c !== undefined &&
        (c === '(' ||
          this.isNegative(start) ||
          this.isNameStart(start) ||
          this.markAt(start) > 0 ||
          this.language.grammar.quotes.some((q) => q !== '' && this.text.startsWith(q, start)));
      if (start === before || !begins || this.isOperatorWord(start)) {
        this.at = before;
        return args;
      }
      args.push(this.lone(start));
    }
  }

  /** `-2` as one word. */
  protected isNegative(at: number): boolean {
    const next = this.text.charCodeAt(at + 1);
    return this.text[at] === '-' && next >= 48 && next <= 57;
  }

  /** One value that takes nothing behind itself as an argument. */
  protected lone(start: number): Expr {
    if (++this.depth > DEEPEST) throw this.tooDeep();
    if (this.isNegative(start)) {
      this.at = start + 1;
      const arg = this.value(start + 1);
      this.depth--;
      return this.part(start, { type: 'unary', op: '-', arg } as const);
    }
    const named = this.declared(start);
    if (named) {
      this.depth--;
      return this.behind(named, start);
    }
    const mark = this.markAt(start);
    const c = this.text[start + mark] ?? '';
    const isWord = !/[\d("'[]/.test(c) && this.isNameStart(start + mark) && !this.language.words.at(this.text, start);
    if (!isWord) {
      const value = this.value(start);
      this.depth--;
      return value;
    }
    this.at = this.scan(start + mark);
    this.depth--;
    return this.behind(
      this.part(start + mark, { type: 'name', name: this.text.slice(start + mark, this.at) } as const),
      start,
    );
  }

  /** `gt a b`, `and a (gt b 1)`, where words stand in front. */
  protected operatorInFront(start: number): Expr | null {
    const found = this.language.between.at(this.text, start);
    if (!found?.sign.isWord) return null;
    this.at = found.end;
    const args = this.argumentsBehind();
    const [first, second] = args;
    if (!first || !second) throw this.unreadable();
    const op = BINARY_OF[found.sign.does as Exclude<Operation, 'not'>];
    return args.reduce((left, right) => this.part(start, { type: 'binary', op, left, right } as const));
  }
}
