import type { Expr } from './expr.ts';
import { formattedAs } from './language.ts';
import { CallReader } from './readerCalls.ts';
import { LOOSE_FILTER, TIGHT_FILTER } from './ties.ts';

/** What stands behind a value: indexes, members, functions behind a sign, forms of digits. */
export abstract class BehindReader extends CallReader {
  /** Indexes: `a[0]`, `a["key"]`, `a.0`, `a[1].size`. */
  protected behind(value: Expr, start: number): Expr {
    if (this.ours) return this.withoutDot(value, start);
    let of = value;
    for (;;) {
      const text = this.text;
      if (text[this.at] === '[') {
        this.at++;
        const index = this.expression(0);
        this.needs(']');
        of = this.indexed(of, index, start);
        continue;
      }
      const digits = /\.(\d+)(?![\p{L}\p{N}_])/uy;
      digits.lastIndex = this.at;
      const [, figure] = digits.exec(text) ?? [];
      if (figure !== undefined && of.type !== 'number') {
        const from = this.at + 1;
        this.at = digits.lastIndex;
        of = this.indexed(of, this.part(from, { type: 'number', value: Number(figure) } as const), start);
        continue;
      }
      if (text[this.at] === '.' && this.isWordStart(this.at + 1)) {
        const more = this.member(of, start);
        if (more) {
          of = more;
          continue;
        }
      }
      return of;
    }
  }

  protected member(of: Expr, start: number): Expr | null {
    const from = this.at + 1;
    const end = this.scan(from);
    const own = this.text.slice(from, end);
    if (this.text[end] === '(' && this.language.methods) {
      this.at = end + 1;
      return this.call(own, [of, ...this.arguments(')')], start, start, from);
    }
    if (of.type === 'index' && of.own === null) {
      this.at = end;
      return { ...of, own, span: this.span(start) };
    }
    if (of.type !== 'name') return null;
    this.at = end;
    return this.part(start, { type: 'name', name: `${of.name}.${own}` } as const);
  }

  protected indexed(list: Expr, index: Expr, start: number): Expr {
    // A key that is written out is a part of the name.
    if (index.type === 'text' && list.type === 'name')
      return this.part(start, { type: 'name', name: `${list.name}.${index.value}` } as const);
    const first = this.language.grammar.firstIndex;
    return this.part(start, { type: 'index', list, index, own: null, first } as const);
  }

  protected filter(left: Expr, start: number, least: number): Expr | null {
    const found = this.language.filters.at(this.text, this.at);
    if (!found) return null;
    const tie = found.sign.does === ':' ? LOOSE_FILTER : TIGHT_FILTER;
    if (tie < least) return null;
    this.at = found.end;
    this.blanks();
    const from = this.at;
    const fn = this.language.functions.at(this.text, from);
    const end = Math.max(fn?.end ?? 0, this.scan(from));
    if (end === from) throw this.unreadable();
    const written = this.text.slice(from, end).trim();
    this.at = from + written.length;
    const args = found.sign.does === ':' ? this.argumentsAfterColon() : this.takes('(') ? this.arguments(')') : [];
    return this.call(written, [left, ...args], from, start);
  }

  protected argumentsAfterColon(): Expr[] {
    const before = this.at;
    this.blanks();
    if (!this.takes(':')) {
      this.at = before;
      return [];
    }
    const args: Expr[] = [];
    do {
      args.push(this.expression(LOOSE_FILTER + 1));
      this.blanks();
    } while (this.takes(','));
    return args;
  }

  protected format(left: Expr, start: number, least: number): Expr | null {
    if (least > LOOSE_FILTER) return null;
    for (const form of this.language.formats) {
      form.at.lastIndex = this.at;
      const found = form.at.exec(this.text);
      if (!found) continue;
      this.at = form.at.lastIndex;
      const written = formattedAs(left, form, found);
      return written ? this.part(start, written) : left;
    }
    return null;
  }
}
