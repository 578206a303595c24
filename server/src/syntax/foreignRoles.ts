/** What a tag of an unknown language does. `other`: it gives nothing itself, as a comment does. */
export type ForeignRole = 'value' | 'open' | 'elseIf' | 'else' | 'close' | 'other';

interface Steering {
  readonly content: string;
  readonly alone: boolean;
}

/** Words of which more than this are unknown are not gone through. */
const MOST_WORDS = 6;

/**
 * What each tag does, in the order of the text: by words that many languages share, and by place, where openers and
 * closers balance. Where nothing balances, each may give any text.
 */
export function foreignRoles(tags: readonly Steering[]): readonly ForeignRole[] {
  const told = tags.map(({ content }) => lineRole(content));
  // In a switch the same words part it that open a section elsewhere.
  const parted = tags.map(({ content }, i) => (BRANCH.test(content.trim()) ? 'elseIf' : (told[i] ?? null)));
  return balanced(tags, told) ?? balanced(tags, parted) ?? told.map((role) => (role === 'other' ? 'other' : 'value'));
}

const BRANCH = /^(when|case|is|default)\b/i;

/** The roles where what is told goes, with some meaning of the words that are unknown; null where it never balances. */
function balanced(tags: readonly Steering[], told: readonly (ForeignRole | null)[]): readonly ForeignRole[] | null {
  const unknown = new Map<string, { bare: number; all: number }>();
  tags.forEach(({ content, alone }, i) => {
    if (told[i] !== null || !alone) return;
    const { word, bare } = firstWord(content);
    const seen = unknown.get(word) ?? { bare: 0, all: 0 };
    unknown.set(word, { bare: seen.bare + (bare ? 1 : 0), all: seen.all + 1 });
  });
  const words = [...unknown.keys()].slice(0, MOST_WORDS);
  for (const assigned of assignments(words, unknown)) {
    const roles = tags.map(({ content }, i): ForeignRole => {
      const { word, bare } = firstWord(content);
      const given = told[i] ?? assigned.get(word) ?? 'value';
      return given === 'else' && !bare && told[i] === null ? 'elseIf' : given;
    });
    if (balances(roles)) return roles;
  }
  return null;
}

function balances(roles: readonly ForeignRole[]): boolean {
  let depth = 0;
  for (const role of roles) {
    if (role === 'open') depth++;
    else if (role === 'close') depth--;
    if (depth < 0 || (depth === 0 && (role === 'else' || role === 'elseIf'))) return false;
  }
  return depth === 0;
}

/** What unknown words may do, those first in which the most of them steer. */
function assignments(
  words: readonly string[],
  seen: ReadonlyMap<string, { readonly bare: number; readonly all: number }>,
): readonly ReadonlyMap<string, ForeignRole>[] {
  let all: ReadonlyMap<string, ForeignRole>[] = [new Map()];
  for (const word of words) {
    const { bare = 0, all: n = 0 } = seen.get(word) ?? {};
    // An opener says of what; a closer says nothing, or what it closes.
    const may: ForeignRole[] =
      bare === n ? ['close', 'else', 'value'] : bare === 0 ? ['open', 'elseIf', 'close', 'value'] : ['else', 'value'];
    all = all.flatMap((one) => may.map((role) => new Map(one).set(word, role)));
  }
  const values = (one: ReadonlyMap<string, ForeignRole>): number =>
    [...one.values()].filter((role) => role === 'value').length;
  return all.sort((a, b) => values(a) - values(b));
}

function firstWord(content: string): { readonly word: string; readonly bare: boolean } {
  const [word = '', ...more] = content.replace(/^[-~\s]+|[-~\s]+$/g, '').split(/\s+/);
  return { word, bare: more.length === 0 };
}

const OPENS = /^(if|unless|when|for|foreach|each|while|with|case|switch|section|repeat|choose|given)\b\s*\S/i;
const CLOSES = /^(end\w*|fi|done|esac|od)\b(?!\s*[.[(])|^\}[\s);]*$/i;
const PARTS = /^(\}\s*)?(else\s?if|elif|elsif|elseif|or when|or if|otherwise if)\b/i;
const LAST = /^(\}\s*)?(else|otherwise|default)\b[\s{:]*$/i;
const SETS = /^(set|let|assign|var|const|local)\b[\s(]|^\$?[\p{L}_][\p{L}\p{N}_.]*\s*=(?!=)/iu;

/** What a tag's words and marks alone say; null: nothing, or that it is a value. */
export function lineRole(content: string): ForeignRole | null {
  const plain = content.replace(/^[-~\s]+|[-~\s:]+$/g, '');
  if (/^(!|--|\*)/.test(plain)) return 'other';
  if (/^\//.test(plain)) return 'close';
  if (/^[#^]\s*[\p{L}_.]/u.test(plain)) return LAST.test(plain.slice(1)) ? 'else' : 'open';
  if (PARTS.test(plain)) return 'elseIf';
  if (LAST.test(plain)) return 'else';
  if (CLOSES.test(plain)) return 'close';
  if (OPENS.test(plain) || /\{\s*$/.test(plain)) return 'open';
  return SETS.test(plain) ? 'other' : null;
}
