import type { Grammar } from '../../../../server/src/placeholders/grammar.ts';
import { type Language, languageOf } from '../../../../server/src/placeholders/language.ts';
import type { Tree } from '../../../../server/src/syntax/nodes.ts';
import { parse } from '../../../../server/src/syntax/parse.ts';
import { languageOf as tagLanguageOf } from '../../../../server/src/syntax/tagLanguage.ts';
import type { TagLanguage } from '../../../../server/src/syntax/tagStyle.ts';

// Texts with statements, as the syntax room reads them: `{% set A = B %}` sets, `{% if A in B %}` goes through a list.

export const STYLE: TagLanguage = tagLanguageOf({
  delimiters: [
    ['{{', '}}'],
    ['{%', '%}', 'statements'],
  ],
  keywords: {
    if: 'if',
    elseIf: 'elif',
    else: 'else',
    each: ['if ITEM in LIST', 'if ITEM, INDEX in LIST'],
    unless: 'unless',
    switch: 'choose VALUE',
    case: 'is VALUE',
    set: 'set NAME = VALUE',
    end: 'end',
  },
});

export function treeOf(source: string, grammar: Grammar, names: readonly string[]): { tree: Tree; language: Language } {
  const tree = parse(source, { tags: STYLE });
  return { tree, language: languageOf(grammar, names) };
}

/** The same text for nunjucks, whose loops and ends have words of their own. */
export function asNunjucks(source: string): string {
  const open: string[] = [];
  return source.replace(/\{% (if|end)\b([^%]*)%\}/g, (_, word: string, rest: string) => {
    if (word === 'end') return `{% end${open.pop()} %}`;
    const isLoop = /^ [\w, ]+ in /.test(rest);
    open.push(isLoop ? 'for' : 'if');
    return `{% ${isLoop ? 'for' : 'if'}${rest}%}`;
  });
}

/** The same for Liquid: `case` and `when`, `unless`. */
export function asLiquid(source: string): string {
  const open: string[] = [];
  return source.replace(/\{% (if|elif|end|choose|is|unless)\b([^%]*)%\}/g, (_, word: string, rest: string) => {
    if (word === 'is') return `{% when${rest}%}`;
    if (word === 'end') return `{% end${open.pop()} %}`;
    const own = word === 'choose' ? 'case' : word === 'elif' ? 'elsif' : word;
    if (word !== 'elif') open.push(own);
    return `{% ${own}${rest}%}`;
  });
}
