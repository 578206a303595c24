import { isExact } from '../placeholders/bounds.ts';
import { unknownIn } from './blind.ts';
import { withValue, wordOf } from './edits.ts';
import { both, isAbove, isBelow } from './jobs.ts';
import type { Rule } from './rule.ts';
import { num, wordSpan } from './say.ts';
import { wordMeant } from './words.ts';

/** Speeds in mm/s are written with such figures; as mm/min nobody travels like that. Common practice, no source. */
const SLOWEST = 10;
export const FASTEST = 250;

/** Only a long move shows that it crawls, mm. Common practice, no source. */
const LONG = 30;

/** An F that looks like mm per second. */
export const feedMmS: Rule = {
  id: 'feed-mm-s',
  severity: 'info',
  title: 'A speed that looks like mm per second',
  scope: 'line',
  check(view, report) {
    for (const step of view.trace.steps) {
      const { feed } = step.after;
      if (!feed || feed.lo > FASTEST || feed.hi < SLOWEST) continue;
      const { move, before } = step;
      if (!move || move.kind === 'home' || !(move.moves.x || move.moves.y) || before.inverseFeed !== false) continue;
      if (!wordMeant(step, 'feed') || !move.length) continue;
      const happens = both(
        both(isAbove(feed, SLOWEST - 1e-9), isBelow(feed, FASTEST + 1e-9)),
        isAbove(move.length, LONG),
      );
      if (happens === 'none') continue;
      report({
        span: wordSpan(step, 'feed'),
        step,
        certain: happens === 'all' && isExact(before.unit),
        message: `F is in mm per minute: at ${num(feed.hi)} this is ${num(feed.hi / 60)} mm/s, and the move takes ${num(Math.round((move.length.hi / feed.hi) * 60))} s. If ${num(feed.hi)} mm/s is meant, write F${num(feed.hi * 60)}.`,
      });
    }
  },
  ofMove: {
    beyond: { feed: FASTEST },
    says({ moves, length }, { namesF, feed }) {
      const crawls = namesF && feed >= SLOWEST && feed <= FASTEST && length !== null && length.lo > LONG;
      return crawls && (moves.x || moves.y) ? 1 : 0;
    },
  },
  blind: (view) =>
    unknownIn(
      view,
      (step) => {
        const { move, after, before } = step;
        return (
          move !== null &&
          (move.moves.x || move.moves.y) &&
          // A short move is no matter, however slow.
          (move.length === null || move.length.hi > LONG) &&
          wordMeant(step, 'feed') !== undefined &&
          (!after.feed || before.inverseFeed === null || (after.feed.lo <= FASTEST && !move.length))
        );
      },
      'a speed, or how far the move with it goes, is not known',
    ),
  fix(view, finding) {
    const word = wordOf(view, finding);
    if (word?.value?.type !== 'number' || word.value.number === null) return [];
    const faster = num(word.value.number * 60);
    return [{ title: `Write F${faster}`, edits: [withValue(word, faster)], safe: false, preferred: true }];
  },
};
