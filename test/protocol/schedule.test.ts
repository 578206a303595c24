import { expect, test } from 'vitest';
import { makeSchedule } from '../../server/src/lsp/schedule.ts';

test('of work asked for again before its time only the last is done', () => {
  const due: (() => void)[] = [];
  const schedule = makeSchedule({
    after: (_, run) => {
      due.push(run);
      return () => due.splice(due.indexOf(run), 1);
    },
  });
  const done: string[] = [];
  for (const version of ['2', '3', '4']) schedule.soon('start', 5, () => done.push(version));
  schedule.soon('other', 5, () => done.push('other'));
  for (const run of [...due]) run();
  expect(done).toEqual(['4', 'other']);
});
