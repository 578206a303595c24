import { type BoundCommand, shownCode } from '../commands/bind.ts';
import { findRecordWord } from '../commands/record.ts';
import type { WordUnit } from '../commands/unit.ts';
import { checkTypes, type Type, typePhrase } from '../placeholders/types.ts';
import { isLength, isPlain, isTemperature, readUnit, sameUnit, type Unit } from '../placeholders/units.ts';
import { tagStyleOf } from '../placeholders/vocabulary.ts';
import type { Tag, Word, WordValue } from '../syntax/nodes.ts';
import { statementText } from '../syntax/writeStatement.ts';
import { Pace } from '../text/pieces.ts';
import { type Span, slice } from '../text/span.ts';
import { inPieces } from './inPieces.ts';
import type { Report, Rule, View } from './rule.ts';

/** Kinds that do not go together: in an expression, and between a tag and the word that it fills. */
export const unitMismatch: Rule = inPieces({
  id: 'unit-mismatch',
  severity: 'warning',
  title: 'A temperature where a length belongs, a text where a number does',
  scope: 'line',
  *check(view, report) {
    const pace = new Pace();
    const types = new Map<Tag, Type>();
    const { text: open = null } = statementText(tagStyleOf(view.vocabulary), 'each', ANY_LOOP) ?? {};
    const loop = open === null ? '' : `, ${open}`;
    for (const [tag, { expr }] of view.expressions) {
      if (pace.due()) yield;
      if (!expr) continue;
      const { type, problems } = checkTypes(expr, (name) => view.scopes.find(tag, name)?.name);
      for (const problem of problems) report(problem);
      if (tag.kind !== 'value') continue;
      // What a list gives that is written out is a rule of another language.
      if (type.type === 'list') {
        if (!view.vocabulary.grammar)
          report({
            span: expr.span,
            message: `“${slice(view.tree.text, expr.span)}” is a list, of which no text can be made. A section over it${loop}${open === null ? '' : ','} is filled in once for each of its elements.`,
          });
      } else if (problems.length === 0) types.set(tag, type);
    }
    if (types.size === 0) return;
    for (const command of view.commands) {
      if (pace.due()) yield;
      for (const word of command.words) for (const found of inWord(view, command, word, types)) report(found);
    }
  },
});

function inWord(view: View, command: BoundCommand, word: Word, types: ReadonlyMap<Tag, Type>): Report[] {
  if (word.value?.type !== 'filled' || !command.record) return [];
  const takes = findRecordWord(command.record, word.key);
  if (!takes || takes.text) return [];
  const place = placeOf(takes.unit);
  if (!place) return [];
  const where = command.code === word.key ? command.code : `${takes.written ?? word.key} of ${shownCode(command)}`;
  return wholeTags(word.value, view.tree.text).flatMap((tag) => {
    const type = types.get(tag);
    const expr = view.expressions.get(tag)?.expr;
    if (!type || !expr || fits(type, place)) return [];
    const phrase = typePhrase(type);
    const what = phrase.charAt(0).toUpperCase() + phrase.slice(1);
    const taken =
      type.type === 'number'
        ? `The machine would read it as ${place.takes} all the same.`
        : 'The machine reads a number here and nothing else.';
    return [
      {
        span: expr.span,
        message: `${what} where ${place.takes} is expected: ${where} is the ${takes.meaning}. ${taken} Put in a value that is ${place.takes}.`,
      },
    ];
  });
}

type Parts = Extract<WordValue, { type: 'filled' }>['parts'];

/** The value tags that alone make up a word's number in some job: nothing but a sign, or tags of sections, beside them. */
export function wholeTags({ parts }: { readonly parts: Parts }, text: string): Tag[] {
  const ends = (part: Tag | Span | undefined): boolean => {
    if (!part) return true;
    if ('type' in part) return part.kind !== 'value' && part.kind !== 'partial';
    return /^[+\-\s]*$/.test(slice(text, part));
  };
  return parts.filter(
    (part, i): part is Tag => 'type' in part && part.kind === 'value' && ends(parts[i - 1]) && ends(parts[i + 1]),
  );
}

/** What a word takes. */
interface Place {
  readonly takes: string;
  readonly fits: (unit: Unit) => boolean;
}

const ANY_LOOP = { LIST: '…', ITEM: '…', INDEX: '…' };
const one = (...units: readonly string[]): Unit[] => units.flatMap((text) => readUnit(text) ?? []);
const plainOr =
  (...units: readonly string[]) =>
  (unit: Unit): boolean =>
    isPlain(unit) || one(...units).some((other) => sameUnit(unit, other));

/** null: a number of any kind, or no number. */
function placeOf(unit: WordUnit): Place | null {
  switch (unit) {
    case 'length':
    case 'mm':
      return { takes: 'a length', fits: isLength };
    case 'degrees C':
      return { takes: 'a temperature', fits: isTemperature };
    case 'length/min':
      return { takes: 'a speed (length a minute)', fits: plainOr('mm/min', 'in/min', 'inch/min', 'inches/min') };
    case 'mm/s':
      return { takes: 'a speed in mm/s', fits: plainOr('mm/s') };
    case 'mm/s2':
      return { takes: 'an acceleration', fits: plainOr('mm/s2') };
    case 's':
      return { takes: 'a time in s', fits: plainOr('s') };
    case 'ms':
      return { takes: 'a time in ms', fits: plainOr('ms') };
    case 'dwell':
      return { takes: 'a time', fits: plainOr('s', 'ms') };
    case 'mm3':
      return { takes: 'a volume', fits: plainOr('mm3') };
    case 'text':
    case 'none':
      return null;
    case 'number':
      return { takes: 'a number', fits: () => true };
    default:
      // Shares, switches, numbers of tools: whatever they are, no length and no temperature.
      return { takes: 'a plain number', fits: (given) => !isLength(given) && !isTemperature(given) };
  }
}

function fits(type: Type, place: Place): boolean {
  if (type.type === 'number') return type.unit === null || place.fits(type.unit);
  return type.type === 'unknown';
}
