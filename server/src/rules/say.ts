import type { Quantity } from '../commands/quantity.ts';
import { wordFor } from '../commands/wordFor.ts';
import type { Machine } from '../machine/machine.ts';
import { type Bounds, gapIn } from '../placeholders/bounds.ts';
import type { Step } from '../simulate/trace.ts';
import type { Line } from '../syntax/nodes.ts';
import type { Role } from '../syntax/role.ts';
import { once } from '../text/once.ts';
import type { Span } from '../text/span.ts';

/** A number for people: at most three decimals, no trailing zeros. */
export const num = (n: number): string =>
  Number.isFinite(n) ? String(Math.round(n * 1000) / 1000 + 0) : n > 0 ? 'any height' : 'any depth';

/** Bounds for people: "238", "12 to 238", or "0 or 35 to 238". */
export function range(b: Bounds): string {
  const gap = gapIn(b);
  return gap ? `${fromTo(b.lo, gap.lo)} or ${fromTo(gap.hi, b.hi)}` : fromTo(b.lo, b.hi);
}
const fromTo = (lo: number, hi: number): string => (num(lo) === num(hi) ? num(lo) : `${num(lo)} to ${num(hi)}`);

/** " on Heron 228". */
export const onMachine = (machine: Machine): string => ` on ${machine.name}`;

/**
 * The span of the command's word that is one of these quantities, value included: of the first that it has. The
 * command's code where it has none. It does not depend on the job.
 */
export const wordSpan = ({ command }: Step, ...quantities: readonly Quantity[]): Span =>
  wordFor(command, ...quantities)?.span ?? command.node.codeSpan;

/** " on the machine" where a word of these axes does not give the machine's own place: steps, inches, shifted origin. */
export function onTheMachine({ before, command }: Step, axes: readonly ('x' | 'y' | 'z')[]): string {
  if (command.node.named || inMachineCoordinates(command.line)) return '';
  const plain = axes.every((axis) => before.offset[axis]?.lo === 0 && before.offset[axis]?.hi === 0);
  return plain && before.relative !== true && before.inches !== true ? '' : ' on the machine';
}

/** Whether a command of the line makes all its places the machine's own. */
export const inMachineCoordinates = once(({ commands }: Line) => commands.some(({ code }) => code === 'G53'));

/**
 * Advice on a line, as a sentence. The lines of a finished program are not mended one by one: they come from the
 * program that made it, or from the sequence that it put in front of them or behind.
 * @param change How the program is to be made anew: "with the part further in".
 */
export const adviceIn = (role: Role, advice: string, change: string): string =>
  role === 'program'
    ? `${advice.replace(/\.$/, '')}: make the program anew, ${change} or with its start or end mended.`
    : advice;

/** How a part is to be placed that goes over an edge. */
export const FURTHER_IN = 'with the part further in';

/** "a, b or c". */
export function oneOf(items: readonly string[]): string {
  if (items.length < 2) return items.join('');
  return `${items.slice(0, -1).join(', ')} or ${items[items.length - 1]}`;
}

/** "Did you mean …?" or nothing. */
export const didYouMean = (near: readonly string[]): string => (near.length > 0 ? ` Did you mean ${oneOf(near)}?` : '');

/** A title inside a sentence: its first letter small, unless the first word is an abbreviation. */
export const inSentence = (title: string): string =>
  /^[A-Z][a-z]/.test(title) ? title.charAt(0).toLowerCase() + title.slice(1) : title;
