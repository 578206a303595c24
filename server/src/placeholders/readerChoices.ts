import type { Expr } from './expr.ts';
import { type ChoiceForm, endOf, type Sign } from './language.ts';
import { BehindReader } from './readerBehind.ts';
import { CHOICE, COMPARISON, LOOSE_FILTER } from './ties.ts';

/** Values that hang on a condition, by the forms of their language. */
export abstract class ChoiceReader extends BehindReader {
  protected choice(left: Expr, start: number, least: number): Expr | null {
    if (CHOICE < least) return null;
    const forms = this.language.choices.filter(({ parts }) => typeof parts[0] === 'string');
    return forms.length > 0 ? this.slots(forms, [left], 1, start) : null;
  }

  protected choiceInFront(start: number, least: number): Expr | null {
    if (CHOICE < least && least > COMPARISON) return null;
    const forms = this.language.choices.filter(({ parts }) => typeof parts[0] !== 'string');
    return forms.length > 0 ? this.slots(forms, [], 0, start) : null;
  }

  /** Reads on in all forms that still fit; the longest that fits whole is it. */
  protected slots(all: readonly ChoiceForm[], read: Expr[], from: number, start: number): Expr | null {
    let forms = all;
    const values = [...read];
    let whole: { form: ChoiceForm; values: readonly Expr[] } | null = null;
    for (let i = from; forms.length > 0; i++) {
      const done = forms.find(({ parts }) => parts.length === i);
      if (done) whole = { form: done, values: [...values] };
      forms = forms.filter(({ parts }) => parts.length > i);
      const before = this.at;
      this.blanks();
      const [first] = forms;
      const part = first?.parts[i];
      if (part === undefined) {
        this.at = before;
        break;
      }
      if (typeof part === 'string') {
        const isLast = forms.some(({ parts }) => parts.length === i + 1);
        values.push(this.expression(isLast ? CHOICE : LOOSE_FILTER + 1));
        continue;
      }
      const fits = forms.filter(
        ({ parts }) => typeof parts[i] !== 'string' && endOf(parts[i] as Sign<'choice'>, this.text, this.at) >= 0,
      );
      const [fit] = fits;
      if (!fit) {
        this.at = before;
        if (!whole && i > from) throw this.unreadable();
        break;
      }
      this.at = endOf(fit.parts[i] as Sign<'choice'>, this.text, this.at);
      forms = fits.filter(
        ({ parts }) => (parts[i] as Sign<'choice'>).written === (fit.parts[i] as Sign<'choice'>).written,
      );
    }
    return whole && this.chosen(whole.form, whole.values, start);
  }

  protected chosen({ parts }: ChoiceForm, values: readonly Expr[], start: number): Expr {
    const slots = parts.filter((part) => typeof part === 'string');
    const of = (slot: string): Expr =>
      values[slots.indexOf(slot as 'YES')] ?? this.part(start, { type: 'nothing' } as const);
    return this.part(start, { type: 'choice', test: of('CONDITION'), yes: of('YES'), no: of('NO') } as const);
  }
}
