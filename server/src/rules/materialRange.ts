import type { BoundCommand } from '../commands/bind.ts';
import { targetKeys } from '../commands/quantity.ts';
import type { Effect } from '../machine/effect.ts';
import type { Expr } from '../placeholders/expression.ts';
import type { Section, Word } from '../syntax/nodes.ts';
import type { Span } from '../text/span.ts';
import { type Material, materialOf } from './materials.ts';
import type { Rule, View } from './rule.ts';
import { num, oneOf } from './say.ts';

type Heat = Extract<Effect, { do: 'heat' }>;

/** A temperature that the text itself gives for a material, outside of what is usual for it. */
export const materialRange: Rule = {
  id: 'material-range',
  severity: 'warning',
  title: 'A temperature that is unusual for the material',
  scope: 'line',
  check(view, report) {
    if (view.tree.tags.length === 0) return;
    for (const command of view.commands) {
      for (const effect of command.record?.effects ?? []) {
        if (effect.do !== 'heat' || effect.heater === 'chamber') continue;
        const [key] = targetKeys(effect);
        const word = command.words.find((w) => w.key === key);
        if (!word) continue;
        for (const { span, number, materials } of statedIn(view, command, word)) {
          const message = unusual(view, effect, number, materials);
          if (message) report({ span, message });
        }
      }
    }
  },
};

/** What is wrong with a heater's temperature for these materials, of which any may be in use; null: nothing. */
function unusual(view: View, effect: Heat, number: number, materials: readonly Material[]): string | null {
  const kind = effect.heater === 'bed' ? 'bed' : 'nozzle';
  const lo = Math.min(...materials.map((m) => m[kind][0]));
  const hi = Math.max(...materials.map((m) => m[kind][1]));
  if (number <= hi && (number >= lo || !tooCold(view, effect, number))) return null;
  const [only] = materials;
  const because = materials.length === 1 && only?.because ? `: ${only.because}` : '';
  return `${num(number)} °C is ${number > hi ? 'above' : 'below'} what is usual for ${oneOf(materials.map(({ name }) => name))} (${kind} ${lo === 0 ? `up to ${num(hi)}` : `${num(lo)} to ${num(hi)}`}, common practice${because}). What is printed on the spool has the last word.`;
}

/** Less than usual is meant where a heater is only warmed up, kept ready or cooled down. */
function tooCold({ machine, role }: View, { heater, wait }: Heat, number: number): boolean {
  if (!wait || number <= 0 || (role !== 'start' && role !== 'program')) return false;
  return heater === 'bed' || number >= (machine?.heat.nozzle.minExtrude ?? 175);
}

interface Stated {
  readonly span: Span;
  readonly number: number;
  readonly materials: readonly Material[];
}

/** The plain numbers that a word may become, each with the material for which it is meant. */
function statedIn({ expressions }: View, command: BoundCommand, { value, section }: Word): readonly Stated[] {
  const around = () => byCondition(expressions, section ?? command.node.section);
  if (value?.type === 'number') {
    const materials = around();
    return materials ? [{ span: value.span, number: value.number, materials }] : [];
  }
  const [part, more] = value?.type === 'filled' ? value.parts : [];
  const expr = part && !more && 'type' in part ? expressions.get(part)?.expr : null;
  return expr ? [...numbersIn(expr, around())] : [];
}

function* numbersIn(expr: Expr, known: readonly Material[] | null): Iterable<Stated> {
  if (expr.type === 'number' && known) yield { span: expr.span, number: expr.value, materials: known };
  if (expr.type !== 'choice') return;
  yield* numbersIn(expr.yes, saidBy(expr.test, true) ?? known);
  yield* numbersIn(expr.no, saidBy(expr.test, false) ?? known);
}

/** The materials that the conditions of the sections around a place name, the innermost first. */
function byCondition(expressions: View['expressions'], innermost: Section | null): readonly Material[] | null {
  for (let s = innermost; s; s = s.parent) {
    const expr = expressions.get(s.open)?.expr;
    const own = expr ? saidBy(expr, !s.inverted) : null;
    if (own) return own;
    for (const tag of s.unless) {
      const other = expressions.get(tag)?.expr;
      const rest = other ? saidBy(other, tag.kind === 'inverted') : null;
      if (rest) return rest;
    }
  }
  return null;
}

/** The materials of which one is in use where a condition holds, or where it does not; null where it names none. */
function saidBy(expr: Expr, holds: boolean): readonly Material[] | null {
  if (expr.type === 'unary' && expr.op === '!') return saidBy(expr.arg, !holds);
  if (expr.type !== 'binary') return null;
  const { op, left, right } = expr;
  if (op === '&&' || op === '||') {
    const [a, b] = [saidBy(left, holds), saidBy(right, holds)];
    // Both sides hold, or one of them does and nobody knows which.
    return (op === '&&') === holds ? (a ?? b) : a && b && [...a, ...b];
  }
  if (!(holds ? op === '==' || op === '===' : op === '!=' || op === '!==')) return null;
  const text = left.type === 'name' ? right : right.type === 'name' ? left : null;
  const material = text?.type === 'text' ? materialOf(text.value) : null;
  return material && [material];
}
