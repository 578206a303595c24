import { type Span, span } from '../text/span.ts';
import type { Each, Section, Tag } from './nodes.ts';

/** A section while and after it is read, with its nesting depth (1 = top level). */
export interface DeepSection extends Section {
  readonly depth: number;
  /** Whether text follows the end of its chain directly, so that what stands in front of it may go on there. */
  readonly joins: boolean;
}

const NONE: readonly Tag[] = Object.freeze([]);

/** A section while it is read. What comes earlier in its chain is linked, so that a long chain takes no more room. */
export class Building implements DeepSection {
  close: Tag | null = null;
  /** Closes a section around this one while this one is still open. */
  cutBy: Tag | null = null;
  /** Whether what would have closed it came all the same. */
  met = false;
  readonly open: Tag;
  readonly inverted: boolean;
  readonly parent: Building | null;
  readonly subject: Tag | null;
  readonly depth: number;
  /** Of the chain: its first branch. */
  readonly first: Building;
  readonly #before: Building | null;
  span: Span;
  /** Of the first branch: whether text follows the chain's end directly. */
  followed = false;

  constructor(open: Tag, parent: Building | null, before: Building | null, end: number) {
    this.open = open;
    this.inverted = open.kind === 'inverted';
    this.parent = parent;
    this.subject = isBranchOfSwitch(open, parent, before) ? (parent as Building).open : null;
    this.depth = (parent?.depth ?? 0) + 1;
    this.first = before?.first ?? this;
    this.#before = before;
    this.span = span(open.span.start, end);
  }

  get chain(): Tag {
    return this.first.open;
  }

  get joins(): boolean {
    return this.first.followed;
  }

  get each(): Each | null {
    const { keyword, slots = {}, inner } = this.open;
    return keyword === 'each' ? { item: slots.ITEM ?? null, index: slots.INDEX ?? null, list: inner } : null;
  }

  get unless(): readonly Tag[] {
    if (!this.#before) return NONE;
    const tags: Tag[] = [];
    for (let earlier: Building | null = this.#before; earlier; earlier = earlier.#before) tags.push(earlier.open);
    return tags.reverse();
  }
}

const isBranchOfSwitch = ({ keyword }: Tag, parent: Building | null, before: Building | null): boolean =>
  parent?.open.keyword === 'switch' && (keyword === 'case' || keyword === 'else' || before?.subject != null);
