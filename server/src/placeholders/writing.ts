import { isExact } from './bounds.ts';
import type { LanguageRule, Rules } from './rules.ts';
import type { Value } from './value.ts';

/**
 * The text that a value becomes in a filled-in sequence; null where it is not exact, or a rule decides that nobody stated,
 * which is asked for. Numbers never get an exponent.
 */
export function written(value: Value, rules?: Rules, ask?: (rule: LanguageRule) => void): string | null {
  switch (value.type) {
    case 'number':
      return isExact(value) ? plainNumber(value.lo) : null;
    case 'text':
      return value.any?.length === 1 ? (value.any[0] ?? null) : null;
    case 'flag':
      if (value.is === null || (rules && !rules.flagsWritten)) {
        if (value.is !== null) ask?.('flagsWritten');
        return null;
      }
      return rules?.flagsWritten ? rules.flagsWritten[value.is ? 'true' : 'false'] : String(value.is);
    case 'list':
      return rules ? list(value, rules, ask) : null;
    default:
      return null;
  }
}

function list(
  value: Extract<Value, { type: 'list' }>,
  rules: Rules,
  ask?: (rule: LanguageRule) => void,
): string | null {
  const items = value.items?.map((item) => item.get('.'));
  if (!items) return null;
  if (!rules.bareList) {
    ask?.('bareList');
    return null;
  }
  const texts = items.map((item) => item && written(item, rules, ask));
  if (rules.bareList.is === 'first') return texts[0] ?? null;
  const { open, between, close } = rules.bareList;
  return texts.some((text) => text === null || text === undefined) ? null : `${open}${texts.join(between)}${close}`;
}

/** A number as a controller reads it: shortest form, decimal point, no exponent. */
export function plainNumber(n: number): string {
  const text = String(n);
  if (!text.includes('e')) return text;
  return Math.abs(n) < 1 ? n.toFixed(20).replace(/\.?0+$/, '') : BigInt(Math.round(n)).toString();
}
