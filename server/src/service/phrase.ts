import { type Bounds, gapIn, type Known } from '../placeholders/bounds.ts';

// How values are put into words for hover and completion. Markdown.

/** A number for people: at most three decimals, no trailing zeros. */
export const figure = (n: number): string => String(Math.round(n * 1000) / 1000 + 0);

/** Bounds with their unit: "238 mm", "12 to 238 mm", "at least 12 mm"; unknown is "not known here". */
export function amount(b: Known, unit: string): string {
  if (!b) return 'not known here';
  return range(b) + (unit === '' ? '' : ` ${unit === 'degrees C' ? '°C' : unit}`);
}

/** Bounds alone: "238", "12 to 238", "0 or 35 to 238", "at least 12", "any number". */
export function range(b: Bounds): string {
  const gap = gapIn(b);
  if (gap) return `${range({ lo: b.lo, hi: gap.lo })} or ${range({ lo: gap.hi, hi: b.hi })}`;
  const { lo, hi } = b;
  const [low, high] = [Number.isFinite(lo), Number.isFinite(hi)];
  if (!low && !high) return 'any number';
  if (!low) return `at most ${figure(hi)}`;
  if (!high) return `at least ${figure(lo)}`;
  const [from, to] = [figure(lo), figure(hi)];
  return from === to ? from : `${from} to ${to}`;
}

/** Whether both would be shown alike. */
export const looksSame = (a: Known, b: Known): boolean => amount(a, '') === amount(b, '');

/** "X, Y and Z". */
export function allOf(items: readonly string[]): string {
  if (items.length < 2) return items.join('');
  return `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`;
}

/** The first letter as a capital. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Text of the user's that must not act as Markdown. */
export const plain = (text: string): string => text.replace(/\s+/g, ' ').replace(/[\\`*_[\]<>#|~]/g, '\\$&');

/** A piece of source as a code span, on one row and not too long. */
export function code(text: string): string {
  const row = shorten(text.replace(/\s+/g, ' ').trim(), 120);
  const ticks = '`'.repeat(Math.max(0, ...(row.match(/`+/g) ?? []).map((run) => run.length)) + 1);
  const pad = row.startsWith('`') || row.endsWith('`') ? ' ' : '';
  return row === '' ? '' : `${ticks}${pad}${row}${pad}${ticks}`;
}

/** Cuts a text that is longer than `most`, never within a surrogate pair. */
export function shorten(text: string, most: number): string {
  if (text.length <= most) return text;
  const last = text.charCodeAt(most - 2);
  return `${text.slice(0, last >= 0xd800 && last < 0xdc00 ? most - 2 : most - 1)}…`;
}

/** A bullet list. */
export const bullets = (lines: readonly string[]): string => lines.map((line) => `- ${line}`).join('\n');

/** Paragraphs, the empty ones left out. */
export const paragraphs = (parts: readonly string[]): string => parts.filter((part) => part !== '').join('\n\n');
