import type { BinaryOp, Expr } from './expr.ts';
import type { Operation, Rules } from './grammar.ts';
import { BINARY_OF, type Sign } from './language.ts';
import { REFUSED } from './ours.ts';
import { DEEPEST } from './readerCursor.ts';
import { ValueReader } from './readerValues.ts';
import { AND_OR, COMPARISON, POWER, TIES, UNARY } from './ties.ts';

export { NotRead, type Unfollowed } from './readerCursor.ts';

const COMPARES: ReadonlySet<Operation> = new Set(['equal', 'notEqual', 'less', 'atMost', 'more', 'atLeast', 'matches']);

/** Reads one expression by precedence climbing, told its operators. All that it knows while reading is in this object. */
export class ExpressionReader extends ValueReader {
  /** The whole source. Throws `NotRead`. */
  whole(): Expr {
    const expr = this.expression(0);
    this.blanks();
    if (this.at < this.text.length) throw this.rest(expr);
    return expr;
  }

  protected expression(least: number): Expr {
    if (++this.depth > DEEPEST) throw this.tooDeep();
    this.blanks();
    const start = this.at;
    const expr = this.goOn(this.front(start, least), start, least);
    this.depth--;
    return expr;
  }

  /** What follows a value that was read from `start` on. */
  protected goOn(first: Expr, start: number, least: number): Expr {
    let left = first;
    let before: Operation | null = null;
    for (;;) {
      this.blanks();
      const from = this.at;
      const found = this.language.between.at(this.text, from);
      // `or take` of a choice begins like the operator `or`.
      const parts = found?.sign.isWord ? this.language.parting.at(this.text, from) : null;
      const next = found && parts && parts.end > found.end ? null : found;
      const tie = next ? this.tieOf(next.sign.does) : -1;
      // A longer sign of another kind may begin like an operator: `?:` and `??`, `|` and `||`.
      if (next && tie >= least && !this.isRefused(next.sign, next.end)) {
        this.at = next.end;
        if (COMPARES.has(next.sign.does) && before && COMPARES.has(before) && !this.ours) {
          left = this.chain(left, start);
          continue;
        }
        left = this.binary(left, start, next.sign, tie);
        before = next.sign.does;
        continue;
      }
      if (next && tie < least && !next.sign.isWord) return left;
      const more =
        this.filter(left, start, least) ?? this.choice(left, start, least) ?? this.format(left, start, least);
      if (!more) return left;
      left = more;
      before = null;
    }
  }

  protected tieOf(does: Operation): number {
    if (does === 'and' && this.rules && this.rules.andOr !== 'and first') return AND_OR;
    if (!this.ours && COMPARES.has(does)) return COMPARISON;
    return TIES[does as Exclude<Operation, 'not'>];
  }

  /** Signs of ECMA-262 that begin like one of ours: `a ** b`, `a++`, `a | b`. */
  protected isRefused({ written }: Sign, end: number): boolean {
    if (!this.ours) return false;
    REFUSED.lastIndex = this.at;
    return REFUSED.test(this.text) && (REFUSED.lastIndex > end || REFUSED.lastIndex - this.at > written.length);
  }

  protected binary(left: Expr, start: number, sign: Sign, tie: number): Expr {
    const { does, strict } = sign;
    const op = strict ? (does === 'equal' ? '===' : '!==') : BINARY_OF[does as Exclude<Operation, 'not'>];
    if ((does === 'and' || does === 'or') && this.rules) return this.logical(left, start, op);
    if (does === 'power') return this.power(left, start, false);
    const right = this.expression(tie + 1);
    return this.part(start, { type: 'binary', op, left, right } as const);
  }

  protected logical(first: Expr, start: number, op: BinaryOp): Expr {
    const { andOr } = this.rules as Rules;
    if (andOr === 'right to left') {
      const right = this.expression(AND_OR);
      return this.part(start, { type: 'binary', op, left: first, right } as const);
    }
    const right = this.expression((andOr === 'and first' && op === '&&' ? TIES.and : AND_OR) + 1);
    if (andOr !== null) return this.part(start, { type: 'binary', op, left: first, right } as const);
    const parts = [first, right];
    const ops = [op];
    for (this.blanks(); ; this.blanks()) {
      const next = this.language.between.at(this.text, this.at);
      if (next?.sign.does !== 'and' && next?.sign.does !== 'or') break;
      this.at = next.end;
      ops.push(BINARY_OF[next.sign.does]);
      parts.push(this.expression(AND_OR + 1));
    }
    if (ops.some((one) => one !== op)) return this.part(start, { type: 'unclear', rule: 'andOr', parts, ops } as const);
    return parts.reduce((left, part) => this.part(start, { type: 'binary', op, left, right: part } as const));
  }

  /** `a ^ b ^ c`, behind its first sign; `signed`: a minus in front of all of it. */
  protected power(first: Expr, start: number, signed: boolean): Expr {
    const rule = this.rules?.power;
    if ((rule === 'before a sign' || rule === 'after a sign') && !signed) {
      const right = this.expression(POWER);
      return this.part(start, { type: 'binary', op: '**', left: first, right } as const);
    }
    const parts = [first, this.expression(POWER + 1)];
    for (this.blanks(); ; this.blanks()) {
      const next = this.language.between.at(this.text, this.at);
      if (next?.sign.does !== 'power') break;
      this.at = next.end;
      parts.push(this.expression(POWER + 1));
    }
    if (rule === null && (signed || parts.length > 2)) {
      const ops = parts.slice(1).map((): BinaryOp => '**');
      return this.part(start, {
        type: 'unclear',
        rule: 'power',
        parts,
        ops,
        ...(signed ? { sign: true } : {}),
      } as const);
    }
    return parts.reduce((left, right) => this.part(start, { type: 'binary', op: '**', left, right } as const));
  }

  /** A comparison of a comparison: some languages mean both, others compare what the first one gives. */
  protected chain(left: Expr, start: number): Expr {
    const right = this.expression(COMPARISON + 1);
    return this.foreign(start, 'form', this.text.slice(start, this.at), { is: 'flag' }, [left, right]);
  }

  protected front(start: number, least: number): Expr {
    const text = this.text;
    const char = text[start];
    if (char === undefined) throw this.unreadable();
    const named = this.ours ? null : this.declared(start);
    if (named) return this.behind(named, start);
    const formed = this.language.choices.length > 0 ? this.choiceInFront(start, least) : null;
    if (formed) return formed;
    const not = this.language.before.at(text, start);
    if (not) {
      this.at = not.end;
      return this.not(not.sign, start, least);
    }
    if (char === '-' || char === '+') {
      if (this.ours && text[start + 1] === char)
        throw /^[-+]{101}/.test(text.slice(start)) ? this.tooDeep() : this.form(start, 'update expression');
      this.at++;
      return this.signed(char, start);
    }
    const inFront = this.language.inFront ? this.operatorInFront(start) : null;
    return inFront ?? this.value(start);
  }

  protected signed(op: '-' | '+', start: number): Expr {
    const rule = this.rules?.power;
    const arg = this.expression(rule === undefined || rule === 'before a sign' ? UNARY : POWER + 1);
    if (rule === null) {
      this.blanks();
      const next = this.language.between.at(this.text, this.at);
      if (next?.sign.does === 'power') {
        this.at = next.end;
        const power = this.power(arg, start, op === '-');
        return op === '-' ? power : this.part(start, { type: 'unary', op, arg: power } as const);
      }
    }
    return this.part(start, { type: 'unary', op, arg } as const);
  }

  protected not({ isWord }: Sign, start: number, least: number): Expr {
    // Where something that binds more tightly waits for a value, it belongs to the next one alone.
    const last = this.rules && isWord && least < COMPARISON ? this.rules.notIsLast : false;
    if (last !== null) {
      const arg = this.expression(last ? COMPARISON - 1 : UNARY);
      return this.part(start, { type: 'unary', op: '!', arg } as const);
    }
    this.blanks();
    const from = this.at;
    const arg = this.expression(UNARY);
    const whole = this.goOn(arg, from, COMPARISON - 1);
    if (whole === arg) return this.part(start, { type: 'unary', op: '!', arg } as const);
    const compared =
      whole.type === 'binary' && whole.left === arg && /^([<>]=?|[!=]==?)$/.test(whole.op) ? whole : null;
    return compared
      ? this.part(start, {
          type: 'unclear',
          rule: 'notIsLast',
          parts: [arg, compared.right],
          ops: [compared.op],
        } as const)
      : this.part(start, { type: 'unclear', rule: 'notIsLast', parts: [whole], ops: [] } as const);
  }
}
