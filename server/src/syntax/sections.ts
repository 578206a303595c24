import { span } from '../text/span.ts';
import { Building, type DeepSection } from './building.ts';
import { isNumeric } from './chars.ts';
import { partners } from './forms.ts';
import { extentOf, type Tag } from './nodes.ts';
import type { ProblemList } from './problems.ts';
import { reportCrossed, reportNoBranch, reportStray, reportUnclosedSection, type Told } from './sectionProblems.ts';
import { MUSTACHE, type StatementForm, type TagLanguage } from './tagStyle.ts';

export interface Pairing {
  readonly sections: readonly DeepSection[];
  /** For each tag: the innermost section that holds what follows the tag. */
  readonly after: readonly (DeepSection | null)[];
}

/**
 * Pairs opening and closing tags. A closing tag closes the innermost open section where it is empty or repeats that
 * section's text; otherwise the innermost one with its text, and what was open inside ends there too. One that is named
 * after what it closes closes the innermost of that kind. An else-if, else or case tag closes the branch before it and
 * opens the next one at the same depth; what closes a branch of a `switch` closes that too.
 * Works in linear time for any nesting: open sections are also listed by their text and their form.
 * @param goesOn The text goes on behind this: nothing is said of sections that are still open.
 */
export function pairSections(
  text: string,
  tags: readonly Tag[],
  problems: ProblemList,
  language: TagLanguage = MUSTACHE,
  goesOn = false,
): Pairing {
  const pairing = new SectionPairing({ text, language, problems });
  const after = tags.map((tag, i) => pairing.take(tag, tags[i + 1]));
  pairing.tellOpen(goesOn);
  return { sections: pairing.sections, after };
}

/** Sections without an end, and ends without a section, that are told of one text. */
const MOST_ALIKE = 20;

class SectionPairing {
  readonly sections: Building[] = [];
  readonly #open: Building[] = [];
  readonly #byText = new Map<string, Building[]>();
  readonly #byForm = new Map<StatementForm, Building[]>();
  /** Sections that ended where one around them was closed, and the same by what would have closed them. */
  readonly #cut: Building[] = [];
  readonly #cutBy = new Map<string | StatementForm, Building[]>();
  readonly #partners: ReadonlyMap<StatementForm, ReadonlySet<StatementForm>>;

  constructor(private readonly told: Told) {
    this.#partners = partners(told.language.statements);
  }

  /** Takes the next tag; the innermost section that holds what follows it. */
  take(tag: Tag, next: Tag | undefined): Building | null {
    const { keyword } = tag;
    if (keyword === 'elseIf' || keyword === 'else' || keyword === 'case') this.#branch(tag, keyword);
    else if (tag.kind === 'section' || tag.kind === 'inverted') this.#begin(tag, null);
    else if (tag.kind === 'close') this.#close(tag, followsDirectly(this.told.text, tag, next));
    return this.#open.at(-1) ?? null;
  }

  /** Whether one more tag that closes or parts nothing is told: a thousand of them have one cause. */
  #isTold(): boolean {
    return this.#strays++ < MOST_ALIKE;
  }
  #strays = 0;

  /** Tells the sections that are never closed. A branch of a switch is not told beside it. */
  tellOpen(goesOn: boolean): void {
    // A tag that is still being written has been told itself.
    const never = [...(goesOn ? [] : this.#open), ...this.#cut]
      .filter(({ subject, met, open }) => subject === null && !met && open.closed)
      .sort((a, b) => a.open.span.start - b.open.span.start);
    const told = never.slice(0, MOST_ALIKE);
    for (const [i, section] of told.entries()) {
      const left = i === MOST_ALIKE - 1 ? never.length - MOST_ALIKE : 0;
      reportUnclosedSection(this.told, section, section.cutBy, left);
    }
  }

  #begin(tag: Tag, before: Building | null): void {
    const section = new Building(tag, this.#open.at(-1) ?? null, before, this.told.text.length);
    this.sections.push(section);
    this.#open.push(section);
    const { chain } = section;
    push(this.#byText, this.#textOf(chain), section);
    if (chain.form) push(this.#byForm, chain.form, section);
  }

  #drop(section: Building): void {
    this.#open.pop();
    const { chain } = section;
    this.#byText.get(this.#textOf(chain))?.pop();
    if (chain.form) this.#byForm.get(chain.form)?.pop();
  }

  #branch(tag: Tag, keyword: 'elseIf' | 'else' | 'case'): void {
    const before = this.#open.at(-1);
    const opensSwitch = before?.open.keyword === 'switch';
    const fits =
      before !== undefined &&
      before.open.keyword !== 'else' &&
      (keyword === 'case'
        ? opensSwitch || before.subject !== null
        : keyword === 'else' || !(opensSwitch || before.subject)) &&
      this.#belongs(tag, before);
    if (!fits) {
      if (tag.closed && this.#isTold()) reportNoBranch(this.told, tag, before);
    } else if (opensSwitch) this.#begin(tag, null);
    else {
      this.#end(before, tag);
      this.#begin(tag, before);
    }
  }

  /** Whether an else that is named after a kind of section stands in one of that kind. */
  #belongs({ form }: Tag, before: Building): boolean {
    const wanted = form && this.#partners.get(form);
    const origin = before.subject?.form ?? before.chain.form;
    return !wanted || (origin !== undefined && wanted.has(origin));
  }

  #close(tag: Tag, followed: boolean): void {
    const name = this.#textOf(tag);
    const target = this.#targetOf(tag, name);
    if (!target) {
      if (!tag.closed || !this.#isTold()) return;
      const cut = this.#cutFor(tag, name);
      if (cut) reportCrossed(this.told, tag, cut.open, cut.cutBy);
      else reportStray(this.told, tag, this.#open.at(-1));
      return;
    }
    const outer = target.subject ? (target.parent as Building) : target;
    for (let inner = this.#open.at(-1); inner && inner !== outer; inner = this.#open.at(-1)) {
      if (inner.subject && inner.parent === outer) this.#end(inner, tag, followed);
      else this.#cutShort(inner, tag);
    }
    this.#end(outer, tag, followed);
  }

  #targetOf(tag: Tag, name: string): Building | undefined {
    const wanted = tag.form && this.#partners.get(tag.form);
    if (name !== '') return this.#byText.get(name)?.at(-1);
    if (!wanted) return this.#open.at(-1);
    let innermost: Building | undefined;
    for (const form of wanted) {
      const last = this.#byForm.get(form)?.at(-1);
      if (last && last.depth > (innermost?.depth ?? 0)) innermost = last;
    }
    return innermost;
  }

  #end(section: Building, tag: Tag, followed = false): void {
    section.close = tag;
    section.span = span(section.open.span.start, tag.span.end);
    if (followed) section.first.followed = true;
    this.#drop(section);
  }

  #cutShort(inner: Building, tag: Tag): void {
    inner.span = span(inner.open.span.start, tag.span.start);
    inner.cutBy = tag;
    this.#drop(inner);
    this.#cut.push(inner);
    push(this.#cutBy, this.#textOf(inner.open), inner);
    if (inner.chain.form) push(this.#cutBy, inner.chain.form, inner);
  }

  /** The section that was cut short and that this tag would have closed. */
  #cutFor(tag: Tag, name: string): Building | undefined {
    const wanted = (name === '' && tag.form && this.#partners.get(tag.form)) || [];
    for (const key of [name, ...wanted]) {
      const list = this.#cutBy.get(key) ?? [];
      for (let cut = list.pop(); cut; cut = list.pop()) {
        if (cut.met) continue;
        cut.met = true;
        return cut;
      }
    }
    return undefined;
  }

  /** What a tag says, runs of blanks counted as one, so that `{{# a }}` and `{{/a}}` meet. */
  #textOf({ inner }: Tag): string {
    return this.told.text.slice(inner.start, inner.end).replace(/\s+/g, ' ');
  }
}

/** Whether a tag, or what can be part of a number, stands directly behind another tag. */
function followsDirectly(text: string, tag: Tag, next: Tag | undefined): boolean {
  const { end } = extentOf(tag);
  return (next !== undefined && extentOf(next).start === end) || (end < text.length && isNumeric(text.charCodeAt(end)));
}

function push<K>(map: Map<K, Building[]>, key: K, value: Building): void {
  const list = map.get(key);
  if (list) list.push(value);
  else map.set(key, [value]);
}
