/** Whether a name is a pattern. */
export const isPattern = (text: string): boolean => /[*?[{]/.test(text);

/** How many patterns one with braces may stand for: each pair doubles them at least. */
const MOST = 256;

/** The patterns that one with braces stands for: `a{b,c}` is `ab` and `ac`. Braces may lie in one another. */
export function withoutBraces(pattern: string): string[] {
  let patterns = [pattern];
  for (;;) {
    const next = [...new Set(patterns.flatMap(chosen))];
    if (next.length > MOST || next.every((one, i) => one === patterns[i])) return patterns;
    patterns = next;
  }
}

function chosen(pattern: string): string[] {
  const pieces = innermost(pattern);
  if (!pieces) return [pattern];
  const [before, inside, after] = pieces;
  return inside.split(',').map((part) => before + part + after);
}

/** The first pair of braces that holds a comma and no other pair. */
function innermost(pattern: string): readonly [string, string, string] | null {
  const match = /^(.*?)\{([^{}]*,[^{}]*)\}(.*)$/s.exec(pattern);
  return match ? [match[1] ?? '', match[2] ?? '', match[3] ?? ''] : null;
}

/**
 * Whether a name fits one part of a pattern: `*` any characters, `?` one, `[a-c]` one of these, `[!a]` one that is none
 * of these; after POSIX.1-2017, XCU 2.13. A name that begins with a dot fits only where the pattern writes the dot.
 * Takes time in proportion to the product of both lengths.
 */
export function fitsPart(name: string, pattern: string): boolean {
  if (name.startsWith('.') && !pattern.startsWith('.')) return false;
  const tokens = tokensOf(pattern);
  let at = 0;
  let token = 0;
  let star = -1;
  let from = 0;
  while (at < name.length) {
    const one = tokens[token];
    if (one === '*') {
      star = token++;
      from = at;
    } else if (one?.(name[at] ?? '')) {
      at++;
      token++;
    } else if (star >= 0) {
      token = star + 1;
      at = ++from;
    } else return false;
  }
  while (tokens[token] === '*') token++;
  return token === tokens.length;
}

type Token = '*' | ((char: string) => boolean);

function tokensOf(pattern: string): Token[] {
  const tokens: Token[] = [];
  for (let i = 0; i < pattern.length; i++) {
    const char = pattern[i] ?? '';
    if (char === '*') tokens.push('*');
    else if (char === '?') tokens.push(() => true);
    else {
      const set = char === '[' ? /^\[(!?)(\]?[^\]]*)\]/.exec(pattern.slice(i)) : null;
      if (set?.[2]) {
        const [whole, not = '', members = ''] = set;
        tokens.push((one) => inSet(one, members) === (not === ''));
        i += whole.length - 1;
      } else tokens.push((one) => one === char);
    }
  }
  return tokens;
}

function inSet(char: string, members: string): boolean {
  for (let i = 0; i < members.length; i++) {
    const from = members[i] ?? '';
    const to = members[i + 1] === '-' ? members[i + 2] : undefined;
    if (to !== undefined) i += 2;
    if (char >= from && char <= (to ?? from)) return true;
  }
  return false;
}
