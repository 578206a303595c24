import { numberAt, textAt } from './atoms.ts';
import type { Expr } from './expr.ts';
import { ChoiceReader } from './readerChoices.ts';

/** Values that no operator makes: in brackets, texts, numbers, words, lists, names. */
export abstract class ValueReader extends ChoiceReader {
  protected value(start: number): Expr {
    const { grammar, words } = this.language;
    const text = this.text;
    if (this.takes('(')) {
      const inner = this.expression(0);
      this.blanks();
      const range = this.ours ? null : this.range(inner, start);
      this.needs(')');
      // What stands in brackets begins and ends where its own parts do.
      return this.behind(range ?? inner, start);
    }
    for (const quote of grammar.quotes) {
      if (quote === '' || !text.startsWith(quote, start)) continue;
      const read = textAt(text, start, quote, this.ours);
      if (!read) throw this.tooEarly(this.ours ? start : text.length);
      this.at = read.end;
      return this.behind(this.part(start, { type: 'text', value: read.value } as const), start);
    }
    const number = numberAt(text, start, this.ours);
    if (number) {
      this.at = number.end;
      const point = number.point && !this.ours ? ({ point: true } as const) : {};
      return this.part(start, { type: 'number', value: number.value, ...point } as const);
    }
    const word = words.at(text, start);
    if (word) {
      this.at = word.end;
      const { does } = word.sign;
      return this.part(
        start,
        does === 'nothing' ? ({ type: 'nothing' } as const) : ({ type: 'flag', value: does === 'true' } as const),
      );
    }
    if (!this.ours && this.takes('[')) return this.behind(this.listFrom(start), start);
    const name = this.name(start);
    if (!name) throw this.unreadable();
    return this.behind(name, start);
  }

  protected range(from: Expr, start: number): Expr | null {
    if (!this.takes('..')) return null;
    const to = this.expression(0);
    return this.part(start, { type: 'range', from, to } as const);
  }

  protected listFrom(start: number): Expr {
    const items = this.arguments(']');
    return this.part(start, { type: 'list', items } as const);
  }
}
