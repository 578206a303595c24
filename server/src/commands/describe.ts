import type { Traits } from '../machine/machine.ts';
import { effectText } from './effects.ts';
import { normalCode } from './named.ts';
import { type CommandRecord, type WordRecord, writtenCode, writtenKey } from './record.ts';
import { unitText } from './units.ts';

export { unitText } from './units.ts';

/**
 * A command's page in Markdown, for hover and the reference: title, what it does, words, effect, cautions, source.
 * @param traits The controller's; null where the machine is not known.
 * @param inches Whether G20 is in force; null where that is not known.
 */
export function describeCommand(record: CommandRecord, traits: Traits | null, inches: boolean | null = null): string {
  const parts = [`**${plain(writtenCode(record, record.code))}: ${plain(record.title)}**`, plain(record.does)];
  if (traits?.missing.some((code) => normalCode(code) === record.code))
    parts.push("**This machine's controller does not have it.**");
  if (record.freeText) parts.push('Everything behind it up to the end of the line is text.');
  if (record.words.length > 0) parts.push(wordTable(record, traits, inches));
  if (record.oneOf && record.oneOf.length > 1)
    parts.push(`At least one of ${record.oneOf.map((key) => plain(writtenKey(record, key))).join(', ')} is needed.`);
  if (record.openWords) parts.push("Controllers take further words here: see the machine's manual.");
  if (record.effects.length > 0) {
    parts.push(`Afterwards: ${record.effects.map((e) => plain(effectText(e, traits))).join('; ')}.`);
  }
  if (record.cautions.length > 0) parts.push(`⚠ ${record.cautions.map(plain).join(' ')}`);
  parts.push(`Source: ${plain(record.source)}`);
  return parts.join('\n\n');
}

/** One word of a command in Markdown, for hover and completion: meaning, unit, bounds, and what holds without it. */
export function describeWord(
  record: CommandRecord,
  word: WordRecord,
  traits: Traits | null,
  inches: boolean | null = null,
): string {
  const head = `**${plain(word.written ?? word.key)}** (${plain(writtenCode(record, record.code))}): ${plain(word.meaning)}`;
  const facts = [unitLine(word, traits, inches), boundsText(word), valueText(word), absentText(word)];
  const told = facts.filter((fact) => fact !== '').map((fact) => `- ${plain(fact)}`);
  return told.length === 0 ? head : `${head}\n\n${told.join('\n')}`;
}

/** Of the units some say themselves what they are: 'a whole number', '0 or 1'. */
const SELF_TOLD: ReadonlySet<WordRecord['unit']> = new Set([
  'fan',
  'switch',
  'index',
  'count',
  'number',
  'text',
  'none',
]);

function unitLine(word: WordRecord, traits: Traits | null, inches: boolean | null): string {
  const unit = unitText(word.unit, traits, inches);
  return SELF_TOLD.has(word.unit) ? unit : `unit: ${unit}`;
}

function wordTable(record: CommandRecord, traits: Traits | null, inches: boolean | null): string {
  const rows = record.words.map((word) => {
    const notes = [word.meaning, boundsText(word), absentText(word)].filter((note) => note !== '').join('; ');
    return `| ${plain(word.written ?? word.key)} | ${plain(unitText(word.unit, traits, inches))} | ${plain(notes)} |`;
  });
  return ['| Word | Unit | Meaning |', '| --- | --- | --- |', ...rows].join('\n');
}

/** 'at least 0', 'from 0 to 100'; empty where there is no bound worth telling. */
function boundsText(word: WordRecord): string {
  if (word.unit === 'switch' || word.unit === 'fan') return '';
  const { min, max } = word;
  if (min !== undefined && max !== undefined) return `from ${min} to ${max}`;
  if (min !== undefined) return min === 0 ? '0 or more' : `at least ${min}`;
  return max === undefined ? '' : `at most ${max}`;
}

function valueText(word: WordRecord): string {
  if (word.value === 'flag') return 'stands without a number';
  return word.value === 'optional' ? 'may stand without a number' : '';
}

function absentText(word: WordRecord): string {
  if (word.required) return 'must be given';
  return word.absent === undefined ? '' : `without it: ${word.absent}`;
}

/** Escapes what Markdown would read as markup: a machine file's words are shown too, and they are only text. */
const plain = (text: string): string =>
  text
    .replace(/\s+/g, ' ')
    .replace(/[\\`*_{}[\]<>#|~!&$]/g, (c) => (c === '<' ? '&lt;' : c === '&' ? '&amp;' : `\\${c}`));
