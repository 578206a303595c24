import type { Expr } from './expr.ts';
import { isNameChar } from './language.ts';
import { Cursor } from './readerCursor.ts';

/** Names by the letters and marks of their language. */
export abstract class NameReader extends Cursor {
  /** A declared name or function at a place, the longest there is. */
  protected declared(start: number): Expr | null {
    const mark = this.markAt(start);
    const from = start + mark;
    const { names, functions, grammar } = this.language;
    const found = names.at(this.text, from);
    const fn = mark === 0 ? functions.at(this.text, from) : null;
    if (fn && (!found || fn.end > found.end)) return null;
    if (!found) return null;
    // A longer name of the usual letters stands there: another one.
    const c = this.text.charCodeAt(found.end);
    if (c === 46 && this.isNameStart(found.end + 1) && !this.language.methods) return null;
    if (grammar.names.letters.includes('-') && c === 45 && isNameChar(this.text.charCodeAt(found.end + 1))) {
      const long = this.scan(from);
      if (long > found.end && !names.get(this.text.slice(found.end + 1, long))) return null;
    }
    this.at = found.end;
    return { ...this.part(from, { type: 'name', name: found.value } as const) };
  }

  protected markAt(start: number): number {
    for (const mark of this.language.grammar.names.marks)
      if (mark !== '' && this.text.startsWith(mark, start) && this.isNameStart(start + mark.length)) return mark.length;
    return 0;
  }

  protected isNameStart(at: number): boolean {
    const c = this.text.charCodeAt(at);
    return isNameChar(c) || (at < this.text.length && this.letter(at));
  }

  protected letter(at: number): boolean {
    const { letters } = this.language.grammar.names;
    return letters !== '' && letters.includes(this.text[at] ?? '\n') && this.text[at] !== ' ';
  }

  /** Where a name of the language's letters ends that begins at a place. */
  protected scan(start: number): number {
    const text = this.text;
    const blanks = this.language.grammar.names.letters.includes(' ');
    let at = start;
    for (; at < text.length; at++) {
      if (isNameChar(text.charCodeAt(at)) || this.letter(at)) continue;
      if (text[at] === '.' && !this.ours && at > start && this.isWordStart(at + 1)) continue;
      if (!blanks || text[at] !== ' ') break;
      let next = at;
      while (text[next] === ' ') next++;
      if (!this.isNameStart(next) || this.isOperatorWord(next)) break;
      at = next - 1;
    }
    return at;
  }

  protected isWordStart(at: number): boolean {
    const c = this.text.charCodeAt(at);
    return this.isNameStart(at) && !(c >= 48 && c <= 57);
  }

  protected isOperatorWord(at: number): boolean {
    const { between, before, parting, filters } = this.language;
    return [between, before, parting, filters].some((signs) => signs.at(this.text, at) !== null);
  }
}
