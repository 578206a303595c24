import { expect, test } from 'vitest';
import { makeGuard } from '../../server/src/lsp/guard.ts';
import { makeSchedule, type Timers } from '../../server/src/lsp/schedule.ts';

/** A clock that stands until `pass` is called. */
function standing() {
  const due: (() => void)[] = [];
  const timers: Timers = {
    after: (_, run) => {
      due.push(run);
      return () => due.splice(due.indexOf(run), 1);
    },
    turn: (run) => run(),
    now: () => 0,
  };
  const pass = () => {
    for (const run of [...due]) run();
  };
  return { timers, pass };
}

test('of work asked for again before its time only the last is done', () => {
  const { timers, pass } = standing();
  const log: string[] = [];
  const schedule = makeSchedule(
    timers,
    makeGuard((line) => log.push(line)),
  );
  const done: string[] = [];
  for (const version of ['2', '3', '4']) schedule.soon('start', 5, () => void done.push(version));
  schedule.soon('other', 5, () => void done.push('other'));
  pass();
  expect(done).toEqual(['4', 'other']);
  expect(log).toEqual([]);
});

test('what a timer starts may fail at once or later: it is logged, and the next is done', async () => {
  const { timers, pass } = standing();
  const log: string[] = [];
  const schedule = makeSchedule(
    timers,
    makeGuard((line) => log.push(line)),
  );
  const done: string[] = [];
  schedule.soon('one', 1, () => {
    throw new Error('at once');
  });
  schedule.soon('two', 1, async () => {
    await Promise.resolve();
    throw new Error('later');
  });
  schedule.soon('three', 1, () => void done.push('three'));
  pass();
  await new Promise((resolve) => setImmediate(resolve));
  expect(done).toEqual(['three']);
  expect(log.map((line) => /(one|two).*(at once|later)/.exec(line)?.slice(1))).toEqual([
    ['one', 'at once'],
    ['two', 'later'],
  ]);
});
