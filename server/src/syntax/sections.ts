import { type Span, span } from '../text/span.ts';
import type { Block, Item, Line, Related, Section, Tag } from './nodes.ts';
import { type ProblemList, quote, report } from './problems.ts';
import { MUSTACHE, type TagStyle } from './tagStyle.ts';

/** A section while and after it is read, with its nesting depth (1 = top level). */
export interface DeepSection extends Section {
  readonly depth: number;
}

const NONE: readonly Tag[] = Object.freeze([]);

/** A section while it is read. What comes earlier in its chain is linked, so that a long chain takes no more room. */
class Building implements DeepSection {
  close: Tag | null = null;
  /** Closes a section around this one while this one is still open. */
  cutBy: Tag | null = null;
  readonly open: Tag;
  readonly inverted: boolean;
  readonly parent: Building | null;
  readonly depth: number;
  readonly chain: Tag;
  readonly #before: Building | null;
  span: Span;

  constructor(open: Tag, parent: Building | null, before: Building | null, end: number) {
    this.open = open;
    this.inverted = open.kind === 'inverted';
    this.parent = parent;
    this.depth = (parent?.depth ?? 0) + 1;
    this.chain = before?.chain ?? open;
    this.#before = before;
    this.span = span(open.span.start, end);
  }

  get unless(): readonly Tag[] {
    if (!this.#before) return NONE;
    const tags: Tag[] = [];
    for (let earlier: Building | null = this.#before; earlier; earlier = earlier.#before) tags.push(earlier.open);
    return tags.reverse();
  }
}

export interface Pairing {
  readonly sections: readonly DeepSection[];
  /** For each tag: the innermost section that holds what follows the tag. */
  readonly after: readonly (DeepSection | null)[];
}

/**
 * Pairs opening and closing tags. A closing tag closes the innermost open section where it is empty or repeats that
 * section's text; otherwise the innermost one with its text, and what was open inside ends there too.
 * An else-if or else tag closes the branch before it and opens the next one at the same depth.
 * Works in linear time for any nesting: open sections are also listed by their text.
 * @param goesOn The text goes on behind this: nothing is said of sections that are still open.
 */
export function pairSections(
  text: string,
  tags: readonly Tag[],
  problems: ProblemList,
  style: TagStyle = MUSTACHE,
  goesOn = false,
): Pairing {
  const sections: Building[] = [];
  const after: (Building | null)[] = new Array(tags.length);
  const open: Building[] = [];
  const openByText = new Map<string, Building[]>();
  const crossed = new Map<string, Building[]>();

  const drop = (section: Building): void => {
    open.pop();
    openByText.get(textOf(text, section.open))?.pop();
  };

  const closing = closingTag(style);

  const begin = (tag: Tag, before: Building | null): void => {
    const section = new Building(tag, open.at(-1) ?? null, before, text.length);
    sections.push(section);
    open.push(section);
    push(openByText, textOf(text, tag), section);
  };

  tags.forEach((tag, i) => {
    if (tag.keyword === 'elseIf' || tag.keyword === 'else') {
      const before = open.at(-1);
      if (!before || before.open.keyword === 'else') reportNoBranch(text, tag, before, closing, problems);
      else {
        before.close = tag;
        before.span = span(before.open.span.start, tag.span.end);
        drop(before);
        begin(tag, before);
      }
    } else if (tag.kind === 'section' || tag.kind === 'inverted') {
      begin(tag, null);
    } else if (tag.kind === 'close') {
      const name = textOf(text, tag);
      const target = name === '' ? open.at(-1) : openByText.get(name)?.at(-1);
      if (!target) reportStray(text, tag, name, open.at(-1), crossed, closing, problems);
      else {
        for (let inner = open.at(-1); inner && inner !== target; inner = open.at(-1)) {
          inner.span = span(inner.open.span.start, tag.span.start);
          inner.cutBy = tag;
          drop(inner);
          push(crossed, textOf(text, inner.open), inner);
        }
        target.close = tag;
        target.span = span(target.open.span.start, tag.span.end);
        drop(target);
      }
    }
    after[i] = open.at(-1) ?? null;
  });

  const never = [...(goesOn ? [] : open), ...[...crossed.values()].flat()].sort(
    (a, b) => a.open.span.start - b.open.span.start,
  );
  for (const section of never) {
    const { start, end } = section.open.span;
    const shown = quote(text, start, end);
    report(
      problems,
      'unclosed-section',
      start,
      end,
      `The section ${shown} is never closed. Put ${closing} where it is to end.`,
      undefined,
      section.cutBy ? [{ span: section.cutBy.span, message: 'The section around it is closed here.' }] : [],
    );
  }
  return { sections, after };
}

/** What a tag says, runs of blanks counted as one, so that `{{# a }}` and `{{/a}}` meet. */
const textOf = (text: string, tag: Tag): string => text.slice(tag.inner.start, tag.inner.end).replace(/\s+/g, ' ');

function push(map: Map<string, Building[]>, key: string, value: Building): void {
  const list = map.get(key);
  if (list) list.push(value);
  else map.set(key, [value]);
}

function reportStray(
  text: string,
  tag: Tag,
  name: string,
  innermost: Section | undefined,
  crossed: Map<string, Building[]>,
  closing: string,
  problems: ProblemList,
): void {
  const { start, end } = tag.span;
  const shown = quote(text, start, end);
  const cut = crossed.get(name)?.pop();
  if (cut) {
    const message = `${shown} comes after the section around it was already closed: sections may nest, but not cross. Close the inner section first.`;
    const related = [{ span: cut.open.span, message: 'The inner section is opened here.' }];
    if (cut.cutBy) related.push({ span: cut.cutBy.span, message: 'The section around it is closed here.' });
    report(problems, 'crossed-sections', start, end, message, undefined, related);
    return;
  }
  const hint = innermost
    ? ` The section that is open here is ${quote(text, innermost.open.span.start, innermost.open.span.end)}: close it with ${closing}${closing === '{{/}}' ? ' or repeat its text' : ''}.`
    : ' No section is open here: remove it, or open one before it.';
  report(
    problems,
    'stray-close',
    start,
    end,
    `${shown} closes a section that was never opened.${hint}`,
    undefined,
    opening(innermost),
  );
}

/** An else or else-if without a branch before it. */
function reportNoBranch(
  text: string,
  tag: Tag,
  before: Section | undefined,
  closing: string,
  problems: ProblemList,
): void {
  const { start, end } = tag.span;
  const shown = quote(text, start, end);
  const why = before
    ? `stands behind ${quote(text, before.open.span.start, before.open.span.end)}, which already takes all other cases. Only ${closing} can follow there: remove it, or move it up.`
    : 'belongs to no section: none is open here. Remove it, or open one before it.';
  report(problems, 'stray-close', start, end, `${shown} ${why}`, undefined, opening(before));
}

const opening = (section: Section | undefined): Related[] =>
  section ? [{ span: section.open.span, message: 'The section that is open is opened here.' }] : [];

/** How a section is closed in this style, for messages. */
function closingTag({ delimiters, keywords }: TagStyle): string {
  const [open, close] = delimiters[0] ?? ['{{', '}}'];
  return keywords?.end === undefined ? `${open}/${close}` : `${open}${keywords.end}${close}`;
}

/**
 * Puts lines into blocks. `holders[i]` is the innermost section whose content (between its tags) holds line i whole,
 * or null. The rows of the tags themselves therefore stay outside the block. No recursion, whatever the depth.
 */
export function nestLines(lines: readonly Line[], holders: readonly (DeepSection | null)[]): Item[] {
  const top: Item[] = [];
  const stack: { section: DeepSection; items: Item[] }[] = [];
  lines.forEach((line, i) => {
    const path: DeepSection[] = [];
    let holder = holders[i] ?? null;
    while (holder && holder.depth > (stack.at(-1)?.section.depth ?? 0)) {
      path.push(holder);
      holder = holder.parent as DeepSection | null;
    }
    while (stack.length > (holder?.depth ?? 0)) stack.pop();
    while (holder && stack.at(-1)?.section !== holder) {
      path.push(holder);
      stack.pop();
      holder = holder.parent as DeepSection | null;
    }
    for (let section = path.pop(); section; section = path.pop()) {
      const items: Item[] = [];
      const block: Block = { type: 'block', section, items };
      (stack.at(-1)?.items ?? top).push(block);
      stack.push({ section, items });
    }
    (stack.at(-1)?.items ?? top).push(line);
  });
  return top;
}
