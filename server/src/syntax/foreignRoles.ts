/** What a tag of an unknown language does. `other`: it gives nothing itself, as a comment does. */
export type ForeignRole = 'value' | 'open' | 'elseIf' | 'else' | 'close' | 'other';

/** A tag as far as its part in sections can be told: what it says, and whether it is alone on its line. */
export interface Steering {
  readonly content: string;
  readonly alone: boolean;
}

/** Words of which more than this are unknown are not gone through. */
const MOST_WORDS = 6;

/**
 * What each tag does, in the order of the text: by words that many languages share, and by place, where openers and
 * closers balance. Where nothing balances, each may give any text.
 */
export const foreignRoles = (tags: readonly Steering[]): readonly ForeignRole[] =>
  balancedRoles([tags])?.[0] ?? tags.map(({ content }) => (lineRole(content) === 'other' ? 'other' : 'value'));

/**
 * The same for several texts of one language: a word does the same in all of them, and each of them balances. null: there
 * is no such meaning of the words.
 */
export function balancedRoles(texts: readonly (readonly Steering[])[]): readonly (readonly ForeignRole[])[] | null {
  const told = texts.map((tags) => tags.map(({ content }) => lineRole(content)));
  // In a switch the same words part it that open a section elsewhere.
  const parted = (branch: RegExp): readonly Told[] =>
    texts.map((tags, n) =>
      tags.map(({ content }, i) => (branch.test(content.trim()) ? 'elseIf' : (told[n]?.[i] ?? null))),
    );
  return balanced(texts, told) ?? balanced(texts, parted(CONSTANT_BRANCH)) ?? balanced(texts, parted(BRANCH));
}

const CONSTANT_BRANCH = /^(when|case|is|of)\b\s*["'\d-]|^default\b/i;
const BRANCH = /^(when|case|is|default)\b/i;

type Told = readonly (ForeignRole | null)[];

/** A tag whose role nobody told: its first word as a number, and whether it is that word alone. */
interface Unknown {
  readonly word: number;
  readonly bare: boolean;
}

/** The roles where what is told goes, with some meaning of the words that are unknown; null where it never balances. */
function balanced(
  texts: readonly (readonly Steering[])[],
  told: readonly Told[],
): readonly (readonly ForeignRole[])[] | null {
  const unknown = new Map<string, { bare: number; all: number }>();
  texts.forEach((tags, n) => {
    tags.forEach(({ content, alone }, i) => {
      if (told[n]?.[i] !== null || !alone || isText(content)) return;
      const { word, bare } = firstWord(content);
      const seen = unknown.get(word) ?? { bare: 0, all: 0 };
      unknown.set(word, { bare: seen.bare + (bare ? 1 : 0), all: seen.all + 1 });
    });
  });
  const words = [...unknown.keys()].slice(0, MOST_WORDS);
  const numbers = new Map(words.map((word, i) => [word, i]));
  // What is known of each tag is looked up once, since the meanings are many.
  const known = texts.map((tags, n) =>
    tags.map(({ content }, i): ForeignRole | Unknown => {
      const is = told[n]?.[i] ?? null;
      if (is !== null) return is;
      const { word, bare } = firstWord(content);
      const number = isText(content) ? undefined : numbers.get(word);
      return number === undefined ? 'value' : { word: number, bare };
    }),
  );
  // Values do nothing to the balance.
  const steering = known.map((tags) => tags.filter((tag) => tag !== 'value' && tag !== 'other'));
  const roleOf = (tag: ForeignRole | Unknown, meant: readonly ForeignRole[]): ForeignRole => {
    if (typeof tag === 'string') return tag;
    const given = meant[tag.word] ?? 'value';
    return given === 'else' && !tag.bare ? 'elseIf' : given;
  };
  const found = assignments(words, unknown).find((meant) => steering.every((tags) => balances(tags, meant, roleOf)));
  return found ? known.map((tags) => tags.map((tag) => roleOf(tag, found))) : null;
}

function balances(
  tags: readonly (ForeignRole | Unknown)[],
  meant: readonly ForeignRole[],
  roleOf: (tag: ForeignRole | Unknown, meant: readonly ForeignRole[]) => ForeignRole,
): boolean {
  let depth = 0;
  for (const tag of tags) {
    const role = roleOf(tag, meant);
    if (role === 'open') depth++;
    else if (role === 'close') depth--;
    if (depth < 0 || (depth === 0 && (role === 'else' || role === 'elseIf'))) return false;
  }
  return depth === 0;
}

/** What unknown words may do, by their numbers; those first in which the most of them steer. */
function assignments(
  words: readonly string[],
  seen: ReadonlyMap<string, { readonly bare: number; readonly all: number }>,
): readonly (readonly ForeignRole[])[] {
  let all: (readonly ForeignRole[])[] = [[]];
  for (const word of words) {
    const { bare = 0, all: n = 0 } = seen.get(word) ?? {};
    // An opener says of what, be it behind a mark; a closer says nothing, or what it closes.
    const marked = /^[^\p{L}\p{N}_\s]+[\p{L}_]/u.test(word);
    const may: ForeignRole[] = marked
      ? ['open', 'close', 'value']
      : bare === n
        ? ['close', 'else', 'value']
        : bare === 0
          ? ['open', 'elseIf', 'close', 'value']
          : ['else', 'value'];
    all = all.flatMap((one) => may.map((role) => [...one, role]));
  }
  const values = (one: readonly ForeignRole[]): number => one.filter((role) => role === 'value').length;
  return all.sort((a, b) => values(a) - values(b));
}

/** What begins as a text, a number or a call with brackets is a value, and no word of a statement. */
const isText = (content: string): boolean => /^[-~\s]*["'`\d(]/.test(content);

function firstWord(content: string): { readonly word: string; readonly bare: boolean } {
  const [word = '', ...more] = content.replace(/^[-~\s]+|[-~\s]+$/g, '').split(/\s+/);
  return { word, bare: more.length === 0 };
}

const OPENS = /^(if|unless|when|for|foreach|each|while|with|case|switch|section|repeat|choose|given)\b\s*\S/i;
const CLOSES = /^(end\w*|fi|done|esac|od)\b(?!\s*[.[(])|^\}[\s);]*$/i;
const PARTS = /^(\}\s*)?(else\s?if|elif|elsif|elseif|or when|or if|otherwise if)\b/i;
const LAST = /^(\}\s*)?(else|otherwise|default)\b[\s{:]*$/i;
const SETS = /^(set|let|assign|var|const|local)\b[\s(]|^\$?[\p{L}_][\p{L}\p{N}_.]*\s*=(?!=)/iu;

/** A value that hangs on a condition, with both values in one tag: `IF(c;a;b)`, `if c then a else b`. */
const CHOICE = /^i?iff?\s*\([^;]*;[^;]*;.*\)$|^i?iff?\s*\([^,]*,[^,]*,.*\)$|^if\s.*\sthen\s.*\selse\s\S/i;

/** What a tag's words and marks alone say; null: nothing, or that it is a value. */
export function lineRole(content: string): ForeignRole | null {
  const plain = content.replace(/^[-~\s]+|[-~\s:]+$/g, '');
  if (CHOICE.test(plain)) return null;
  if (/^(!|--|\*)/.test(plain)) return 'other';
  if (/^\//.test(plain)) return 'close';
  if (/^[#^]\s*[\p{L}_.]/u.test(plain)) return LAST.test(plain.slice(1)) ? 'else' : 'open';
  if (PARTS.test(plain)) return 'elseIf';
  if (LAST.test(plain)) return 'else';
  if (CLOSES.test(plain)) return 'close';
  if (OPENS.test(plain) || /\{\s*$/.test(plain)) return 'open';
  return SETS.test(plain) ? 'other' : null;
}
