import { describe, expect, test } from 'vitest';
import { Asked, cancelled, Ended, Urgency } from '../../server/src/lsp/asked.ts';
import { makeRunner, TURN } from '../../server/src/lsp/runner.ts';
import type { Pieces } from '../../server/src/text/pieces.ts';

// The runner with a clock of its own: a piece of work takes a millisecond of it. No real time passes.

function stand() {
  let now = 0;
  let served = 0;
  let turns = 0;
  /** What comes in while others have their turn; each is a message. */
  const arriving: (() => void)[] = [];
  const runner = makeRunner(
    {
      now: () => now,
      async turn() {
        turns++;
        const message = arriving.shift();
        if (!message) return;
        served++;
        message();
      },
    },
    () => served,
  );
  const done: string[] = [];
  /** Work of so many pieces, each of which is noted. */
  function* work(name: string, pieces: number): Pieces<string> {
    try {
      for (let i = 0; i < pieces; i++) {
        now++;
        done.push(name);
        yield;
      }
      return name;
    } finally {
      done.push(`${name} is over`);
    }
  }
  const count = (name: string): number => done.filter((one) => one === name).length;
  return { runner, arriving, done, work, count, turns: () => turns };
}

const code = (answer: Promise<unknown>): Promise<unknown> =>
  answer.then(
    () => null,
    (error: unknown) => (error instanceof Ended ? error.code : error),
  );

describe('work in pieces', () => {
  test('lets messages in after some milliseconds of it, and goes on', async () => {
    const { runner, work, turns } = stand();
    expect(await runner.start(work('long', 10 * TURN)).for(new Asked(Urgency.Later))).toBe('long');
    expect(turns()).toBeGreaterThanOrEqual(10);
  });

  test('that is more urgent overtakes between two pieces', async () => {
    const { runner, arriving, done, work, count } = stand();
    const all: Promise<unknown>[] = [];
    arriving.push(() => {
      all.push(runner.start(work('key', 3 * TURN)).for(new Asked(Urgency.Typing)));
    });
    all.push(runner.start(work('long', 100)).for(new Asked(Urgency.Later)));
    await all[0];
    await Promise.all(all);
    // One turn of the long work was done before the key came, and all the rest after it.
    expect(done.indexOf('key')).toBe(TURN);
    expect(done.slice(TURN, done.lastIndexOf('key')).every((one) => one === 'key')).toBe(true);
    expect(count('long')).toBe(100);
  });

  test('a message behind many others is reached in one pause', async () => {
    const { runner, arriving, done, work } = stand();
    const all: Promise<unknown>[] = [];
    const hover = () => void all.push(runner.start(work('hover', 50)).for(new Asked(Urgency.Cursor)));
    for (let i = 0; i < 40; i++) arriving.push(hover);
    arriving.push(() => void all.push(runner.start(work('key', 2)).for(new Asked(Urgency.Typing))));
    await runner.start(work('long', 100)).for(new Asked(Urgency.Later));
    await Promise.all(all);
    expect(done.indexOf('key')).toBe(TURN);
    expect(all).toHaveLength(41);
  });

  test('that nobody waits for any more is left off before its next piece', async () => {
    const { runner, arriving, work, count, done } = stand();
    const asked = new Asked(Urgency.Cursor);
    arriving.push(() => asked.over(cancelled()));
    const answer = code(runner.start(work('long', 1000)).for(asked));
    const other = runner.start(work('other', 1)).for(new Asked(Urgency.Later));
    // LSP 3.17: RequestCancelled.
    expect(await answer).toBe(-32800);
    expect(await other).toBe('other');
    expect(count('long')).toBe(TURN);
    expect(done).toContain('long is over');
  });

  test('that two wait for goes on for one of them', async () => {
    const { runner, arriving, work } = stand();
    const [one, two] = [new Asked(Urgency.Cursor), new Asked(Urgency.Later)];
    const task = runner.start(work('long', 100));
    arriving.push(() => one.over(cancelled()));
    const answers = [code(task.for(one)), task.for(two)];
    expect(await answers[0]).toBe(-32800);
    expect(await answers[1]).toBe('long');
    expect(task.isOver()).toBe(true);
  });

  test('is as urgent as the most urgent of those who wait', async () => {
    const { runner, arriving, work, done } = stand();
    const text = runner.start(work('text', 30));
    const all = [text.for(new Asked(Urgency.Later)), runner.start(work('hover', 30)).for(new Asked(Urgency.Cursor))];
    arriving.push(() => void all.push(text.for(new Asked(Urgency.Typing))));
    await Promise.all(all);
    await Promise.all(all);
    expect(done.slice(TURN, TURN + 30)).toEqual(Array(30).fill('text'));
  });

  test('as urgent as other work goes on beside it, so that the short one is done first', async () => {
    const { runner, work, count } = stand();
    const long = runner.start(work('long', 200)).for(new Asked(Urgency.Cursor));
    expect(await runner.start(work('short', 5)).for(new Asked(Urgency.Cursor))).toBe('short');
    expect(count('long')).toBeLessThan(10 + TURN);
    await long;
  });

  test('that fails tells those who wait for it, and the next is done', async () => {
    const { runner, work } = stand();
    // biome-ignore lint/correctness/useYield: it does not get so far
    const broken = function* (): Pieces<string> {
      throw new Error('broke');
    };
    const answer = runner.start(broken()).for(new Asked(Urgency.Typing));
    const next = runner.start(work('next', 3)).for(new Asked(Urgency.Later));
    await expect(answer).rejects.toThrow('broke');
    expect(await next).toBe('next');
  });
});
