import type { NameKind } from '../placeholders/vocabulary.ts';
import { builtInNames } from '../vocabulary/vocabulary.ts';
import type { Use } from './uses.ts';

/** A built-in name, the use that it needs, and the words of which one is in a name that means it. */
interface Sign {
  readonly name: string;
  /** What the use has to be; null: any of the kind. */
  readonly what: RegExp | null;
  readonly words: RegExp;
  /** Whether it may stand in a calculation. */
  readonly calculated?: true;
}

const FIRST = /^(first|initial|start|1st|bottom)$/;
const LATER = /^(later|other|others|rest|following|print|normal)$/;

const SIGNS: readonly Sign[] = [
  { name: 'heat.nozzle.first', what: /^nozzle temperature$/, words: FIRST },
  { name: 'heat.nozzle.later', what: /^nozzle temperature$/, words: LATER },
  { name: 'heat.bed.first', what: /^bed temperature$/, words: FIRST },
  { name: 'heat.bed.later', what: /^bed temperature$/, words: LATER },
  { name: 'heat.chamber', what: /^chamber temperature$/, words: /./ },
  // A figure's edge is mostly calculated with.
  { name: 'part.left', what: /^place along X$/, words: /^left$/, calculated: true },
  { name: 'part.right', what: /^place along X$/, words: /^right$/, calculated: true },
  { name: 'part.front', what: /^place along Y$/, words: /^front$/, calculated: true },
  { name: 'part.back', what: /^place along Y$/, words: /^(back|rear)$/, calculated: true },
  { name: 'part.top', what: /^place along Z$/, words: /^(top|tall|height|highest|tallest)$/ },
  { name: 'tool.number', what: /^number of a tool$/, words: /^(current|now|number|tool|active)$/ },
  { name: 'tool.next', what: /^number of a tool$/, words: /^(next|new|following)$/ },
  { name: 'tool.first', what: /^number of a tool$/, words: FIRST },
  { name: 'layer.count', what: null, words: /^layers$/ },
  { name: 'filament.kind', what: /^a text$/, words: /^(material|filament)$/ },
  { name: 'job.duration', what: null, words: /^(duration|printtime)$/ },
];

/** The built-in name that use and words agree on; null where they do not. */
export function standsFor(name: string, kind: NameKind, uses: readonly Use[]): string | null {
  const words = wordsOf(name);
  const known = builtInNames();
  const fits = SIGNS.filter(
    (sign) =>
      known.get(sign.name)?.kind === kind &&
      uses.length > 0 &&
      (sign.what === null ||
        uses.some(
          ({ what, where }) => sign.what?.test(what) && !(sign.calculated ? /, by / : /calculation|, by /).test(where),
        )) &&
      words.some((word) => sign.words.test(word)),
  );
  // The word "tool" alone says least: a next or first tool is that one.
  const told = fits.length > 1 ? fits.filter((sign) => sign.name !== 'tool.number') : fits;
  return told.length === 1 ? (told[0]?.name ?? null) : null;
}

/** The words that a name is made of: `bedFirst_layer` is bed, first and layer. */
export const wordsOf = (name: string): readonly string[] =>
  name
    .replace(/(\p{Ll})(\p{Lu})/gu, '$1 $2')
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== '');
