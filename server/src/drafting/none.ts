import { type DraftSource, Places } from './evidence.ts';

/** What looks like a tag and is none, and why. Sources: NISTIR 6556 3.3.2 for parameters and expressions. */
const LIKE: readonly (readonly [RegExp, string])[] = [
  [/^[^;(]*#(\d|<|\[)/m, 'what begins with # are parameters of RS-274'],
  [/^[^;(]*\[[^\]]*\]/m, '[ ] hold expressions of RS-274'],
  [/[;(].*[{}<>«»[\]]/m, 'brackets in comments are text for people'],
  [/\d\s?%/m, '% behind a number is a percentage'],
  [/^\s*%\s*$/m, '% alone on a line begins or ends a job file'],
  [/\S@\S+\.\S/m, 'an @ in a word is a mail address'],
];

/** Why no placeholders were found. */
export function whyNone(sources: readonly DraftSource[]): string {
  if (sources.every(({ text }) => text.trim() === '')) return 'there is nothing in the text';
  const places = new Places(sources);
  const seen = LIKE.flatMap(([form, why]) => {
    for (const [source, { text }] of sources.entries()) {
      const at = form.exec(text.slice(0, MOST))?.index;
      if (at !== undefined) return [`${why} (${places.said(places.at(source, at))})`];
    }
    return [];
  });
  const read = 'each command can be read as G-code without them';
  return seen.length > 0 ? `${read}, and ${seen.join(', ')}` : read;
}

/** Characters that are looked at. */
const MOST = 100_000;
