import { once } from '../text/once.ts';
import { elementKey } from './elements.ts';
import type { Job, Vocabulary } from './vocabulary.ts';

/** A name that is the number of one of a list's elements; where a job keeps the first one's number; the lowest and the highest number. */
interface Among {
  readonly name: string;
  readonly list: string;
  readonly first: string;
  readonly least: number;
  readonly most: number;
}

const amongIn = once(({ names }: Vocabulary): readonly Among[] =>
  [...names.values()].flatMap(({ name, among: list }) => {
    const rising = list === undefined ? undefined : names.get(list)?.items?.find((item) => item.rising);
    if (list === undefined || !rising) return [];
    const most = rising.range?.hi ?? Number.POSITIVE_INFINITY;
    const least = rising.range?.lo ?? Number.NEGATIVE_INFINITY;
    return [{ name, list, first: elementKey(list, rising.name), least, most }];
  }),
);

/**
 * Makes each name of `Name.among` the number of one of its list's elements: where the list was chosen and the name was
 * not, the name moves to the nearest one; else the list gets the element.
 */
export function keepAmong(
  vocabulary: Vocabulary,
  job: Map<string, number | string | boolean>,
  chosen: Pick<Job, 'has'>,
): void {
  for (const { name, list, first, least, most } of amongIn(vocabulary)) {
    const [value, from, length] = [job.get(name), job.get(first), job.get(list)];
    if (typeof value !== 'number' || typeof from !== 'number' || typeof length !== 'number' || length < 1) continue;
    // The last of them is one that there is.
    const begin = Math.max(least, Math.min(from, most - length + 1));
    if (begin !== from) job.set(first, begin);
    const last = Math.min(begin + length - 1, most);
    if (value >= begin && value <= last) continue;
    if (!chosen.has(name) && (chosen.has(list) || chosen.has(first))) job.set(name, value < begin ? begin : last);
    else {
      const lowest = Math.min(begin, value);
      job.set(first, lowest);
      job.set(list, Math.max(length, Math.max(last, value) - lowest + 1));
    }
  }
}
