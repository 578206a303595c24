import { writtenCode, writtenKey } from '../commands/record.ts';
import type { Section, Word } from '../syntax/nodes.ts';
import { Pace } from '../text/pieces.ts';
import { slice } from '../text/span.ts';
import { notFollowed } from './blind.ts';
import { commandAt, wordOf } from './edits.ts';
import { inPieces } from './inPieces.ts';
import type { Fix, Rule } from './rule.ts';
import { strayStarts } from './stray.ts';
import { withoutWord } from './takenOut.ts';
import { wordsOf } from './words.ts';

/** The same word twice in one command. */
export const duplicateWord: Rule = inPieces({
  id: 'duplicate-word',
  severity: 'error',
  title: 'The same word twice in one command',
  scope: 'spelling',
  *check(view, report) {
    const pace = new Pace();
    const stray = strayStarts(view.tree);
    const told = new Set<Word>();
    for (const { words: all, code, line, record } of view.commands) {
      if (pace.due()) yield;
      if (!repeats(all)) continue;
      const words = all.filter((w) => w.span.start < stray(line));
      if (words.length < 2) continue;
      const seen = new Map<string, Map<Section | null, Word>>();
      for (const word of words) {
        if (word.key === '') continue;
        const before = seen.get(word.key) ?? new Map<Section | null, Word>();
        seen.set(word.key, before);
        // Words in sections beside one another are alternatives of which a job gets one.
        const first = nearestAround(word.section, before);
        if (!before.has(word.section)) before.set(word.section, word);
        if (!first) continue;
        told.add(word);
        report({
          span: word.span,
          message: `${writtenCode(record, code) || 'The line'} has ${writtenKey(record, word.key)} twice${word.section === first.section ? '' : ' in jobs that fill this section in'}. Keep the one that is meant; which of them a controller takes differs.`,
        });
      }
    }
    // Sections that do not exclude each other may both be filled in: the run knows which words come together.
    for (const step of view.trace.steps) {
      if (pace.due()) yield;
      const { code, line, record, words: all } = step.command;
      if (all.length < 2 || all.every(({ section }) => section === all[0]?.section)) continue;
      const seen = new Set<string>();
      for (const word of wordsOf(step)) {
        if (word.key === '' || word.span.start >= stray(line)) continue;
        if (seen.has(word.key) && !told.has(word))
          report({
            span: word.span,
            step,
            message: `${writtenCode(record, code) || 'The line'} has ${writtenKey(record, word.key)} twice in jobs that fill in the sections of both. Keep the one that is meant; which of them a controller takes differs.`,
          });
        seen.add(word.key);
      }
    }
  },
  // A list may repeat a word.
  blind: notFollowed,
  fix(view, finding) {
    const word = wordOf(view, finding);
    const first = commandAt(view, finding.span.start)?.words.find(({ key }) => key === word?.key);
    if (!word || !first || first === word) return [];
    const out = (which: Word, title: string, preferred: boolean): Fix => ({
      title,
      edits: [withoutWord(view, which)],
      safe: false,
      preferred,
    });
    const { text } = view.tree;
    return [
      out(word, `Take ${slice(text, word.span)} out`, true),
      out(first, `Take ${slice(text, first.span)} out`, false),
    ];
  },
});

/** The word of `before` that stands in this section or the nearest one around it. */
function nearestAround(section: Section | null, before: ReadonlyMap<Section | null, Word>): Word | undefined {
  if (before.size === 0) return undefined;
  for (let s = section; s; s = s.parent) {
    const word = before.get(s);
    if (word) return word;
  }
  return before.get(null);
}

/** Whether some key stands twice. Nearly no line has that, so nothing is made to find it out. */
function repeats(words: readonly Word[]): boolean {
  for (let i = 1; i < words.length; i++)
    for (let j = 0; j < i && i < MANY; j++) if (words[i]?.key === words[j]?.key) return true;
  return words.length > MANY;
}

/** Lines of more words are looked at in any case. */
const MANY = 12;
