import { withoutTexts } from './features.ts';
import type { ExpressionSource, LoopWord, WrittenForms } from './written.ts';

/** Names that mean something in every loop of one general template language or another. */
const WORDS: readonly (readonly [LoopWord, readonly string[]])[] = [
  ['item', ['this']],
  ['indexFrom0', ['@index', 'loop.index0', 'forloop.index0']],
  ['indexFrom1', ['loop.index', 'forloop.index']],
  ['isFirst', ['@first', 'loop.first', 'forloop.first']],
  ['isLast', ['@last', 'loop.last', 'forloop.last']],
];

/** The words of loops that the sources use. */
export function loopWords(sources: readonly Pick<ExpressionSource, 'text'>[]): WrittenForms['loops'] {
  const texts = sources.map(({ text }) => withoutTexts(text));
  const found = WORDS.map(
    ([is, words]) =>
      [
        is,
        words.filter((word) => {
          const form = new RegExp(`(?<![\\p{L}\\p{N}_.@$])${word.replace('.', '\\.')}(?![\\p{L}\\p{N}_])`, 'u');
          return texts.some((text) => form.test(text));
        }),
      ] as const,
  );
  return Object.fromEntries(found.filter(([, words]) => words.length > 0));
}
