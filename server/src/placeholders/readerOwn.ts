import { type Expr, FUNCTIONS, type FunctionName } from './expr.ts';
import { RESERVED } from './ours.ts';
import { NotRead } from './readerCursor.ts';
import { NameReader } from './readerNames.ts';

/** Names and calls of our own language, which allows fewer of them (ECMA-262 13, in part). */
export abstract class OwnReader extends NameReader {
  /** `a.b.c`, with blanks around the dots where somebody wrote them. */
  protected ourName(from: number, end: number): Expr {
    const text = this.text;
    const first = text.slice(from, end);
    if (RESERVED.has(first))
      throw this.form(from, first === 'this' || first === 'null' ? first : `${first} expression`);
    let name = first;
    for (;;) {
      const before = this.at;
      this.blanks();
      if (!this.takes('.')) {
        this.at = before;
        break;
      }
      this.blanks();
      const start = this.at;
      const stop = this.scan(start);
      const c = text.charCodeAt(start);
      if (stop === start || (c >= 48 && c <= 57)) throw this.unreadable();
      name += `.${text.slice(start, stop)}`;
      this.at = stop;
    }
    const stop = this.at;
    this.blanks();
    if (text[this.at] === '(') return this.ourCall(name, from, stop);
    if (text[this.at] === '[' || text.startsWith('?.', this.at)) {
      if (text[this.at] === '[' || !/\d/.test(text[this.at + 2] ?? ''))
        throw new NotRead(
          this.span(from, this.closing()),
          'Only dotted names (heat.bed.first) are allowed, no [ ] and no ?. behind a name.',
          true,
        );
    }
    this.at = stop;
    return this.part(from, { type: 'name', name } as const);
  }

  /** Where the square bracket that opens here is closed. */
  protected closing(): number {
    const at = this.text.indexOf(']', this.at);
    return at < 0 ? Math.min(this.text.length, this.at + 1) : at + 1;
  }

  protected ourCall(name: string, from: number, stop: number): Expr {
    if (!Object.hasOwn(FUNCTIONS, name)) {
      const known = Object.keys(FUNCTIONS).join(', ');
      throw new NotRead(this.span(from, stop), `There is no function “${name}”. The functions are ${known}.`, true);
    }
    this.at++;
    const args = this.arguments(')');
    const { least, most, signature } = FUNCTIONS[name as FunctionName];
    if (args.length < least || args.length > most) {
      const message = `${name} is given ${args.length} argument${args.length === 1 ? '' : 's'}; it is written ${signature}.`;
      throw new NotRead(this.span(from), message, true);
    }
    const fn = this.span(from, stop);
    return this.part(from, { type: 'call', name: name as FunctionName, args, fn } as const);
  }

  /** Our own names alone have parts. */
  protected withoutDot(value: Expr, start: number): Expr {
    if (value.type === 'name') return value;
    const before = this.at;
    this.blanks();
    if (this.text[this.at] !== '.') {
      this.at = before;
      return value;
    }
    this.at++;
    this.blanks();
    const end = Math.max(this.at, this.scan(this.at));
    throw new NotRead(this.span(start, end), 'A dot may only join the parts of a placeholder name.', true);
  }
}
