import { childrenOf, type Expr, namesIn } from '../placeholders/expression.ts';
import { goesThrough } from '../placeholders/statements.ts';
import type { NameKind } from '../placeholders/vocabulary.ts';
import type { Prepared } from '../simulate/context.ts';
import { openedBy } from '../syntax/at.ts';
import type { Tag } from '../syntax/nodes.ts';
import type { Places, SourcePlace } from './evidence.ts';

// What a text depends on and cannot show: asked, never guessed.

/** Where an answer is written: the part of the file, and the property in it. */
export type AskedProperty =
  | `rules.${
      | 'zeroHolds'
      | 'emptyTextHolds'
      | 'emptyListHolds'
      | 'wholeDivision'
      | 'rounding'
      | 'remainder'
      | 'power'
      | 'andOr'
      | 'notIsLast'
      | 'setInLoopHolds'
      | 'bareList'
      | 'flagsWritten'
      | 'wholeAs'
      | 'textPlusNumber'}`
  | 'expressions.firstIndex'
  | 'expressions.names.caseMatters'
  | 'trims';

/** One thing to be answered. */
export interface AskedRule {
  readonly property: AskedProperty;
  /** Where the text depends on it first. */
  readonly place: SourcePlace;
  /** The tag there, as it is written. */
  readonly at: string;
}

/** What both answers do, and the answers as they are written. */
export interface Question {
  readonly asks: string;
  readonly answers: readonly (readonly [json: string, does: string])[];
}

export const QUESTIONS: Readonly<Record<AskedProperty, Question>> = {
  'rules.zeroHolds': {
    asks: 'Does a number count as true if it is 0?',
    answers: [
      ['false', 'at 0 this does not hold'],
      ['true', 'at 0 this holds'],
    ],
  },
  'rules.emptyTextHolds': {
    asks: 'Does a text count as true if it is empty?',
    answers: [
      ['false', 'an empty text does not hold'],
      ['true', 'an empty text holds'],
    ],
  },
  'rules.emptyListHolds': {
    asks: 'Does a list count as true if it is empty?',
    answers: [
      ['false', 'an empty list does not hold'],
      ['true', 'an empty list holds'],
    ],
  },
  'rules.wholeDivision': {
    asks: 'What does 7 / 2 give?',
    answers: [
      ['false', '3.5'],
      ['true', '3'],
    ],
  },
  'rules.rounding': {
    asks: 'Where do halves go when a value is rounded?',
    answers: [
      ['"up"', '2.5 gives 3, -2.5 gives -2'],
      ['"to even"', '2.5 gives 2, 3.5 gives 4'],
      ['"away from 0"', '2.5 gives 3, -2.5 gives -3'],
    ],
  },
  'rules.remainder': {
    asks: 'What does -7 % 3 give?',
    answers: [
      ['"as the left side"', '-1'],
      ['"as the right side"', '2'],
    ],
  },
  'rules.power': {
    asks: 'What do -2 to the power of 2, and 2 to the powers of 3 and 2, give?',
    answers: [
      ['"before a sign"', '-4 and 512'],
      ['"after a sign"', '4 and 64'],
    ],
  },
  'rules.andOr': {
    asks: 'How do "and" and "or" group without brackets?',
    answers: [
      ['"and first"', 'a or b and c is a or (b and c)'],
      ['"left to right"', 'a or b and c is (a or b) and c'],
      ['"right to left"', 'a and b or c is a and (b or c)'],
    ],
  },
  'rules.notIsLast': {
    asks: 'Does "not" before a comparison negate all of it?',
    answers: [
      ['true', 'not a = b is not (a = b)'],
      ['false', 'not a = b is (not a) = b'],
    ],
  },
  'rules.setInLoopHolds': {
    asks: 'Does a name that is set in a loop keep its value below the loop?',
    answers: [
      ['true', 'below it has the last value of the loop'],
      ['false', 'below it has the value from before the loop'],
    ],
  },
  'rules.bareList': {
    asks: 'What does a list give that is written out as it is?',
    answers: [
      ['"first"', 'its first element'],
      ['["", ",", ""]', '1,2'],
      ['["", "", ""]', '12'],
      ['["[", ", ", "]"]', '[1, 2]'],
    ],
  },
  'rules.flagsWritten': {
    asks: 'How are true and false written out?',
    answers: [
      ['["true", "false"]', 'true, false'],
      ['["True", "False"]', 'True, False'],
      ['["1", "0"]', '1, 0'],
    ],
  },
  'rules.wholeAs': {
    asks: 'How is a whole number written that a calculation gave?',
    answers: [
      ['"3"', '6 / 2 gives 3'],
      ['"3.0"', '6 / 2 gives 3.0'],
    ],
  },
  'rules.textPlusNumber': {
    asks: 'What does "5" + 1 give?',
    answers: [
      ['"joined"', 'the text 51'],
      ['"sum"', 'the number 6'],
    ],
  },
  'expressions.firstIndex': {
    asks: 'Which number has the first element of a list?',
    answers: [
      ['0', '[1] is the second element'],
      ['1', '[1] is the first element'],
    ],
  },
  'expressions.names.caseMatters': {
    asks: 'Are names that differ in case only two names?',
    answers: [
      ['true', 'they are two names'],
      ['false', 'they are one name'],
    ],
  },
  trims: {
    asks: 'Does - directly inside a delimiter remove the white space beside the tag?',
    answers: [
      ['["-"]', 'the white space beside this tag is removed'],
      ['[]', 'it is the sign of a value'],
    ],
  },
};

/** Collects what one text asks for, each property once. */
export class RuleQuestions {
  readonly #found = new Map<AskedProperty, AskedRule>();

  constructor(
    private readonly places: Places,
    private readonly kindOf: (name: string) => NameKind | null,
  ) {}

  get list(): readonly AskedRule[] {
    return [...this.#found.values()];
  }

  ask(property: AskedProperty, place: SourcePlace, at: string): void {
    if (!this.#found.has(property)) this.#found.set(property, { property, place, at });
  }

  /** Goes through the tags of a source. */
  text(prepared: Prepared, source: number): void {
    const { tree, expressions } = prepared;
    for (const tag of tree.tags) {
      const expr = expressions.get(tag)?.expr;
      if (!expr) continue;
      const ask = (property: AskedProperty): void =>
        this.ask(property, this.places.at(source, tag.span.start), tree.text.slice(tag.span.start, tag.span.end));
      this.#inside(expr, ask);
      if (tag.kind === 'value') this.#written(expr, ask);
      else if (isCondition(tag)) this.#truth(expr, ask, goesThrough(tag));
    }
    this.#setInLoops(prepared, source);
  }

  /** A value that is written out. */
  #written(expr: Expr, ask: (property: AskedProperty) => void): void {
    if (expr.type === 'name') {
      const kind = this.kindOf(expr.name);
      if (kind === 'list') ask('rules.bareList');
      if (kind === 'flag') ask('rules.flagsWritten');
      return;
    }
    if (expr.type === 'choice') {
      this.#written(expr.yes, ask);
      this.#written(expr.no, ask);
    } else if (expr.type === 'binary' && (expr.op === '&&' || expr.op === '||')) {
      this.#truth(expr.left, ask, false);
      this.#written(expr.left, ask);
      this.#written(expr.right, ask);
    } else if (isComparison(expr)) ask('rules.flagsWritten');
    else if (mayHavePoint(expr)) ask('rules.wholeAs');
  }

  /** A value that decides. */
  #truth(expr: Expr, ask: (property: AskedProperty) => void, through: boolean): void {
    if (expr.type === 'unary' && expr.op === '!') this.#truth(expr.arg, ask, false);
    else if (expr.type === 'binary' && (expr.op === '&&' || expr.op === '||')) {
      this.#truth(expr.left, ask, false);
      this.#truth(expr.right, ask, false);
    } else if (expr.type === 'unclear') {
      if (expr.rule === 'andOr') for (const part of expr.parts) this.#truth(part, ask, false);
    } else if (expr.type === 'name' || expr.type === 'index') {
      const kind = expr.type === 'name' ? this.kindOf(expr.name) : 'number';
      if (kind === 'text') ask('rules.emptyTextHolds');
      else if (kind === 'list') {
        if (!through) ask('rules.emptyListHolds');
      } else if (kind !== null && kind !== 'flag') ask('rules.zeroHolds');
    } else if (!isComparison(expr) && (expr.type === 'binary' || expr.type === 'call')) ask('rules.zeroHolds');
  }

  #inside(expr: Expr, ask: (property: AskedProperty) => void): void {
    if (expr.type === 'unclear') ask(`rules.${expr.rule}`);
    if (expr.type === 'call' && expr.name === 'round') ask('rules.rounding');
    if (expr.type === 'format' && !expr.whole) ask('rules.rounding');
    if (expr.type === 'index' && expr.first === null && expr.index.type !== 'text') ask('expressions.firstIndex');
    if (expr.type === 'choice') this.#truth(expr.test, ask, false);
    if (expr.type === 'binary') {
      if (expr.op === '/') ask('rules.wholeDivision');
      if (expr.op === '%') ask('rules.remainder');
      if (expr.op === '+' && [expr.left, expr.right].some((side) => this.#isText(side))) ask('rules.textPlusNumber');
    }
    for (const part of childrenOf(expr)) this.#inside(part, ask);
  }

  #isText(expr: Expr): boolean {
    return expr.type === 'text' || (expr.type === 'name' && this.kindOf(expr.name) === 'text');
  }

  #setInLoops({ tree, expressions }: Prepared, source: number): void {
    const loops = tree.tags.flatMap((tag) => {
      const section = tag.keyword === 'each' ? openedBy(tree, tag) : undefined;
      return section ? [{ start: tag.span.end, end: section.close?.span.start ?? tree.text.length }] : [];
    });
    if (loops.length === 0) return;
    for (const tag of tree.tags) {
      const name = expressions.get(tag)?.sets;
      const loop =
        name === undefined ? null : loops.find(({ start, end }) => tag.span.start >= start && tag.span.end <= end);
      if (!loop) continue;
      const below = tree.tags.find((other) => {
        const expr = other.span.start >= loop.end ? expressions.get(other)?.expr : null;
        return expr ? namesIn(expr).some((one) => one.name === name) : false;
      });
      if (below)
        this.ask(
          'rules.setInLoopHolds',
          this.places.at(source, below.span.start),
          tree.text.slice(below.span.start, below.span.end),
        );
    }
  }
}

/** Whether a tag's section hangs on whether its value is true. */
const isCondition = (tag: Tag): boolean =>
  (tag.kind === 'section' || tag.kind === 'inverted') &&
  (tag.keyword === undefined || tag.keyword === 'if' || tag.keyword === 'unless' || tag.keyword === 'elseIf');

const isComparison = (expr: Expr): boolean =>
  (expr.type === 'binary' && /^([<>]=?|[!=]==?|=~)$/.test(expr.op)) ||
  (expr.type === 'unary' && expr.op === '!') ||
  expr.type === 'flag';

/** Whether some languages write a whole number that this gives with a point. */
function mayHavePoint(expr: Expr): boolean {
  if (expr.type === 'number') return expr.point === true;
  if (expr.type === 'format' || expr.type === 'index' || expr.type === 'foreign') return false;
  if (expr.type === 'binary' && expr.op === '/') return true;
  if (expr.type === 'call' && expr.name === 'round') return true;
  return childrenOf(expr).some(mayHavePoint);
}
