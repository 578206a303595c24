import type { Span } from '../text/span.ts';
import { type Expr, FUNCTIONS } from './expr.ts';
import type { Rules } from './grammar.ts';
import type { Language } from './language.ts';
import { OURS, REFUSED } from './ours.ts';

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

export const DEEPEST = 100;

/** White space of ECMA-262 (12.2, 12.3). */
export const isBlank = (c: number): boolean =>
  c === 32 || (c >= 9 && c <= 13) || c === 0xa0 || (c >= 0x1680 && /\s/.test(String.fromCharCode(c)));

const ALLOWED = `Allowed are numbers, names, + - * / %, comparisons, && || !, ?: and ${Object.keys(FUNCTIONS).join(' ')}.`;

/** Where a reading stands, and what every part of it needs: places, blanks, arguments, and why it cannot go on. */
export abstract class Cursor {
  readonly unfollowed: Unfollowed[] = [];
  protected readonly text: string;
  protected readonly offset: number;
  protected readonly language: Language;
  protected readonly ours: boolean;
  protected readonly rules: Rules | null;
  protected at = 0;
  protected depth = 0;

  constructor(text: string, offset: number, language: Language) {
    this.text = text;
    this.offset = offset;
    this.language = language;
    this.ours = language.grammar === OURS;
    this.rules = language.grammar.rules;
  }

  protected span(start: number, end = this.at): Span {
    return { start: this.offset + start, end: this.offset + end };
  }

  /** A part that begins at `start` and ends here. */
  protected part<T extends object>(start: number, part: T): T & { span: Span; rules?: Rules } {
    let end = this.at;
    while (end > start && isBlank(this.text.charCodeAt(end - 1))) end--;
    const span = this.span(start, end);
    return this.rules ? { ...part, span, rules: this.rules } : { ...part, span };
  }

  protected blanks(): void {
    const text = this.text;
    for (let c = text.charCodeAt(this.at); ; c = text.charCodeAt(++this.at)) {
      if (!isBlank(c)) return;
    }
  }

  protected takes(sign: string): boolean {
    if (!this.text.startsWith(sign, this.at)) return false;
    this.at += sign.length;
    return true;
  }

  protected needs(sign: string): void {
    this.blanks();
    if (!this.takes(sign)) throw this.unreadable();
  }

  protected foreign(
    from: number,
    is: Unfollowed['is'],
    written: string,
    gives: Extract<Expr, { type: 'foreign' }>['gives'],
    args: readonly Expr[],
    isDeclared = false,
  ): Expr {
    if (!isDeclared) this.unfollowed.push({ span: this.span(from), is, written });
    return this.part(from, { type: 'foreign', written, gives, args } as const);
  }

  protected tooDeep(): NotRead {
    const message = `The expression is nested more than ${DEEPEST} deep, and ${DEEPEST} is the most that is read. Split it into smaller ones.`;
    return new NotRead(this.span(0, this.text.length), message, true);
  }

  protected tooEarly(at: number): NotRead {
    const start = Math.min(at, Math.max(0, this.text.length - 1));
    const span = this.span(start, Math.min(start + 1, this.text.length));
    const reads = at >= this.text.length;
    const message = reads
      ? 'The expression ends too early: a value or a closing bracket is missing.'
      : `The expression cannot be read from “${this.text.slice(at, at + 12)}” on. ${ALLOWED}`;
    return new NotRead(span, message, this.ours || reads);
  }

  protected unreadable(): NotRead {
    this.blanks();
    return this.tooEarly(this.at);
  }

  protected form(start: number, what: string): NotRead {
    const message = `This form of expression (${what}) is not allowed in a tag; nothing is ever run from it. ${ALLOWED}`;
    return new NotRead(this.span(start, this.text.length), message, true);
  }

  /** Why something still follows a complete expression. */
  protected rest(expr: Expr): NotRead {
    const rest = this.text.slice(this.at);
    const whole = { start: expr.span.start, end: this.offset + this.text.trimEnd().length };
    if (!this.ours)
      return new NotRead(this.span(this.at, this.text.length), `“${rest}” follows a complete expression.`, false);
    REFUSED.lastIndex = this.at;
    const [sign] = REFUSED.exec(this.text) ?? [];
    if (sign === undefined)
      return new NotRead(
        this.span(this.at, this.text.length),
        `“${rest}” follows a complete expression. Remove it, or put an operator in between.`,
        true,
      );
    if (sign === '++' || sign === '--') return this.form(whole.start - this.offset, 'update expression');
    if (sign === '=>') return this.form(whole.start - this.offset, 'arrow function expression');
    if (sign.endsWith('=')) {
      const message = `This form of expression (assignment expression) is not allowed in a tag; nothing is ever run from it. ${ALLOWED}`;
      return new NotRead(whole, message, true);
    }
    const message = `The operator “${sign}” is not allowed in a tag. Use + - * / %, < <= > >= == !=, && || ! or ?:.`;
    return new NotRead(whole, message, true);
  }

  /** Up to the closing sign, with commas (elsewhere semicolons too) between. */
  protected arguments(close: string): Expr[] {
    const args: Expr[] = [];
    for (;;) {
      this.blanks();
      if (this.takes(close)) return args;
      args.push(this.expression(0));
      this.blanks();
      if (this.takes(close)) return args;
      if (!this.takes(',') && (this.ours || !this.takes(';'))) throw this.unreadable();
    }
  }

  /** An expression of which no operator binds less tightly. */
  protected abstract expression(least: number): Expr;
  /** One value, with what stands behind it. */
  protected abstract value(start: number): Expr;
  protected abstract behind(value: Expr, start: number): Expr;
}
