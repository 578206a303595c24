import { type DraftSource, Places } from './evidence.ts';

/** What looks like a tag and is none, and why. Sources: NISTIR 6556 3.3.2 for parameters and expressions. */
const LIKE: readonly (readonly [RegExp, string])[] = [
  [/^[^;(]*#(\d|<|\[)/m, 'what begins with # are parameters of RS-274'],
  [/^[^;(]*\[[^\]]*\]/m, '[ ] hold expressions of RS-274'],
  [/[;(].*[{}<>«»[\]]/m, 'brackets in comments are text for people'],
  [/\d[ \t]?%/m, '% behind a number is a percentage'],
  [/^\s*%\s*$/m, '% alone on a line begins or ends a job file'],
  [/\S@\S+\.\S/m, 'an @ in a word is a mail address'],
];

/** A bracket in a value's place that is not closed on its line. */
const UNCLOSED = /(?<=[A-Za-z=])([{«‹<⟨[]+)(?=[^;\r\n]*$)(?![^\r\n]*[}»›>⟩\]])/m;

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
  for (const [source, { text }] of sources.entries()) {
    const open = UNCLOSED.exec(text.slice(0, MOST));
    if (open)
      return `${open[1]} on ${places.said(places.at(source, open.index))} opens something that is never closed on its line. Close it, and draft again`;
  }
  const read = 'each command can be read as G-code without them';
  return seen.length > 0 ? `${read}, and ${seen.join(', ')}` : read;
}

/** Characters that are looked at. */
const MOST = 100_000;
