import type { Grammar } from '../../../../server/src/placeholders/grammar.ts';
import { type Language, languageOf } from '../../../../server/src/placeholders/language.ts';
import type { Tag, Tree } from '../../../../server/src/syntax/nodes.ts';
import { parse } from '../../../../server/src/syntax/parse.ts';
import type { TagStyle } from '../../../../server/src/syntax/tagStyle.ts';
import { type Span, slice, span } from '../../../../server/src/text/span.ts';

// Texts with statements, built on what the syntax room reads: `{% set A = B %}` becomes a tag that sets, `{% if A in B %}`
// one that goes through a list, `{% if choose A %}{% if is B %}` a switch and its case, `{% if unless A %}` what it says. So this room is tested by what it is handed, whoever reads it from which marks.

export const STYLE: TagStyle = {
  delimiters: [
    ['{{', '}}'],
    ['{%', '%}'],
  ],
  keywords: { if: 'if', elseIf: 'elif', else: 'else', end: 'end' },
};

interface Loose {
  kind: string;
  keyword?: string;
  inner: Span;
  slots?: Record<string, Span>;
}

/** Makes statements of a tree's tags, in place. */
export function stateIn(tree: Tree): void {
  for (const tag of tree.tags) {
    const loose = tag as unknown as Loose;
    const text = slice(tree.text, tag.inner);
    const set = /^set\s+(\S+)\s*=\s*/.exec(text);
    const each = /^(\w+)(?:, (\w+))? in (?!.* in )/.exec(text);
    const at = (word: string, from = 0): Span => {
      const start = tag.inner.start + text.indexOf(word, from);
      return span(start, start + word.length);
    };
    if (tag.kind === 'value' && set) {
      loose.slots = { NAME: at(set[1] as string, 4) };
      loose.kind = 'set';
      loose.inner = span(tag.inner.start + set[0].length, tag.inner.end);
    } else if (tag.keyword === 'if' && text.startsWith('choose ')) {
      loose.keyword = 'switch';
      loose.inner = span(tag.inner.start + 7, tag.inner.end);
    } else if ((tag.keyword === 'if' || tag.keyword === 'elseIf') && text.startsWith('is ')) {
      loose.keyword = 'case';
      loose.inner = span(tag.inner.start + 3, tag.inner.end);
    } else if (tag.keyword === 'if' && text.startsWith('unless ')) {
      loose.keyword = 'unless';
      loose.kind = 'inverted';
      loose.inner = span(tag.inner.start + 7, tag.inner.end);
    } else if (tag.keyword === 'if' && each) {
      loose.slots = {
        ITEM: at(each[1] as string),
        ...(each[2] ? { INDEX: at(each[2], (each[1] as string).length) } : {}),
      };
      loose.keyword = 'each';
      loose.inner = span(tag.inner.start + each[0].length, tag.inner.end);
    }
  }
  for (const section of tree.sections) {
    const own = section as unknown as { subject?: Tag; inverted: boolean };
    own.inverted = section.open.kind === 'inverted';
    if ((section.open.keyword as string) === 'case' && section.parent) own.subject = section.parent.open;
  }
}

export function treeOf(source: string, grammar: Grammar, names: readonly string[]): { tree: Tree; language: Language } {
  const tree = parse(source, { tags: STYLE });
  stateIn(tree);
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
  return source.replace(/\{% (if|elif|end)\b([^%]*)%\}/g, (_, word: string, rest: string) => {
    if (rest.startsWith(' is ')) {
      // A case opens nothing of its own there.
      if (word === 'if') open.push('');
      return `{% when${rest.slice(3)}%}`;
    }
    if (word === 'end') {
      const opened = open.pop();
      return opened ? `{% end${opened} %}` : '';
    }
    const [, is = '', of = rest] = /^ (choose|unless)( .*)$/.exec(rest) ?? [];
    open.push(is === 'choose' ? 'case' : is || 'if');
    return `{% ${open.at(-1)}${of}%}`;
  });
}
