import { afterAll, describe, expect, test } from 'vitest';
import { bindingLines } from '../../../server/src/commands/bind.ts';
import { type Catalog, catalogFor } from '../../../server/src/commands/catalog.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { boundsEnv } from '../../../server/src/placeholders/environment.ts';
import type { Env } from '../../../server/src/placeholders/value.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import type { View } from '../../../server/src/rules/rule.ts';
import { acting } from '../../../server/src/service/actions.ts';
import { analyze, analyzing, prepare } from '../../../server/src/service/analyze.ts';
import { fillingIn } from '../../../server/src/service/fillIn.ts';
import { fixAll, fixingAll } from '../../../server/src/service/fixAll.ts';
import { format, formatting } from '../../../server/src/service/format.ts';
import { findingTokens, semanticTokens } from '../../../server/src/service/semanticTokens.ts';
import { simulating } from '../../../server/src/simulate/simulate.ts';
import type { Step } from '../../../server/src/simulate/trace.ts';
import { parsing } from '../../../server/src/syntax/parse.ts';
import { finish, PIECE, type Pieces } from '../../../server/src/text/pieces.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

// Long work can be left off every so many commands or tags. What is counted is work, never time.

const machine = readMachine(
  JSON.stringify({
    name: 'Dunlin 204',
    bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    reach: { shape: 'rectangle', left: 0, right: 208, front: 0, back: 192, bottom: 0, top: 226 },
    heat: { nozzle: { max: 271, minExtrude: 168 }, bed: { max: 93 } },
    speed: { x: 210, y: 210, z: 9, e: 55 },
  }),
).machine;
const vocabulary = vocabularyFor(machine);

const LINES = 8 * PIECE;
/** Moves with and without tags, sections, and now and then a fault. */
const LONG = `G21\nG90\nM83\nG28\nM109 S{{ heat.nozzle.first }}\n${Array.from({ length: LINES }, (_, i) =>
  i % 7 === 0
    ? `G1 X{{ bed.left + ${i % 90} }} Y${i % 150} E0.1 F900`
    : i % 91 === 0
      ? '{{# tool.number == 0 }}\nM104 S215\n{{/}}'
      : i % 401 === 0
        ? 'G1 X1,5'
        : `G1 X${i % 190} Y${(i * 7) % 180} E0.03`,
).join('\n')}\n`;
/** The same on one line each. */
const ONE_LINE = `G28\n${Array.from({ length: LINES }, (_, i) => `G1 X${i % 190}`).join(' ')}\n`;

/** The most that `count` grows from one piece to the next, and how many pieces there are. */
function stretch<T>(work: Pieces<T>, count: () => number): { most: number; pieces: number; result: T } {
  let most = 0;
  for (let pieces = 1; ; pieces++) {
    const before = count();
    const step = work.next();
    most = Math.max(most, count() - before);
    if (step.done) return { most, pieces, result: step.value };
  }
}

describe('between two pieces', () => {
  test('parsing looks at a few rows', () => {
    const work = { steps: 0 };
    const grown: number[] = [];
    const iterator = parsing(LONG, { work });
    for (let step = iterator.next(); !step.done; step = iterator.next()) grown.push(work.steps);
    const jumps = grown.map((steps, i) => steps - (grown[i - 1] ?? 0)).sort((a, b) => b - a);
    expect(jumps.length).toBeGreaterThan(LINES / PIECE);
    // A row is some 20 code units, looked at a few times. Once each, that there is no CR and no further tag is found out.
    expect(jumps[2]).toBeLessThan(PIECE * 100);
    expect(work.steps).toBeGreaterThan(LONG.length);
  });

  test('binding looks up a few hundred commands', () => {
    const { tree } = prepare(LONG, 'start', machine);
    let found = 0;
    const catalog = catalogFor(machine);
    const counting: Catalog = {
      ...catalog,
      find: (code) => {
        found++;
        return catalog.find(code);
      },
    };
    const { most, pieces } = stretch(bindingLines(tree.lines, counting), () => found);
    expect(found).toBeGreaterThan(LINES / 2);
    expect(most).toBeLessThanOrEqual(PIECE);
    expect(pieces).toBeGreaterThan(LINES / PIECE);
  });

  test.each([
    ['rows', LONG],
    ['one row', ONE_LINE],
  ])('running goes through a few hundred commands: %s', (_name, text) => {
    let asked = 0;
    const all = boundsEnv(vocabulary);
    const env: Env = (name) => {
      asked++;
      return all(name);
    };
    const prepared = prepare(text, 'start', machine);
    // What runs is a command; each command that is bound is asked for once.
    let run = 0;
    const bound = new Proxy(prepared.bound, {
      get: (target, key) => {
        if (key === 'on')
          return (line: never) => {
            const commands = target.on(line);
            return new Proxy(commands, {
              get: (list, at) => {
                if (typeof at === 'string' && /^\d+$/.test(at)) run++;
                return Reflect.get(list, at);
              },
            });
          };
        return Reflect.get(target, key);
      },
    });
    const { most, result } = stretch(simulating({ ...prepared, bound }, env), () => run);
    expect(result.steps.length).toBeGreaterThan(LINES / 2);
    if (text === LONG) expect(asked).toBeGreaterThan(LINES / 10);
    // A command may be looked at twice; the row's commands are all looked at once for what they share.
    expect(most).toBeLessThanOrEqual(text === LONG ? 3 * PIECE : LINES + 3 * PIECE);
  });

  const a = analyze(LONG, 'start', machine, vocabulary);
  let all = 0;
  afterAll(() => expect(all).toBeGreaterThan(10 * LINES));
  test.each(RULES.filter(({ pieces }) => pieces).map((rule) => [rule.id, rule] as const))(
    '%s looks at a few hundred commands',
    (_, rule) => {
      let looked = 0;
      /** Counts what is looked at of the list. */
      const counted = <T extends object>(list: readonly T[]): readonly T[] =>
        new Proxy(list, {
          get(target, key) {
            if (typeof key === 'string' && /^\d+$/.test(key)) looked++;
            return Reflect.get(target, key);
          },
        });
      const { trace } = a;
      const view: View = {
        ...a,
        commands: counted(a.commands),
        trace: { ...trace, totals: trace.totals, steps: counted<Step>(trace.steps), settings: counted(trace.settings) },
      };
      const reported: unknown[] = [];
      const { most } = stretch(rule.pieces?.(view, (report) => reported.push(report)) as Pieces<void>, () => looked);
      all += looked;
      // Some look a second time at what comes behind a place.
      expect(most).toBeLessThanOrEqual(2 * PIECE);
      const alone: unknown[] = [];
      rule.check(a, (report) => alone.push(report));
      expect(reported).toEqual(alone);
    },
  );
});

describe('work in pieces', () => {
  const a = finish(analyzing(LONG, 'start', machine, vocabulary));

  test('gives what it gives at once', () => {
    expect(a.findings.length).toBeGreaterThan(10);
    expect(finish(formatting(a))).toEqual(format(a));
    expect(finish(findingTokens(a))).toEqual(semanticTokens(a));
  });

  test.each<readonly [string, () => Pieces<unknown>, number]>([
    ['an analysis', () => analyzing(LONG, 'start', machine, vocabulary), (4 * LINES) / PIECE],
    ['formatting', () => formatting(a), LINES / PIECE],
    ['semantic tokens', () => findingTokens(a), LINES / PIECE],
    ['filling in', () => fillingIn(a, vocabulary, {}, true), LINES / 7 / PIECE],
    ['the actions at all findings', () => acting(a, { start: 0, end: LONG.length }), 20],
  ])('%s can be left off many times', (_name, work, least) => {
    let pieces = 0;
    const iterator = work();
    for (let step = iterator.next(); !step.done; step = iterator.next()) pieces++;
    expect(pieces).toBeGreaterThanOrEqual(Math.floor(least));
  });

  test('fixing all comes in the pieces of its checks, and gives what it gives at once', () => {
    const text = 'G21\nG90\nG28\nG1 X10 Y10 F6000\nM220 S50\nM221 S80\nG1 X20\n';
    const first = analyze(text, 'start', machine, vocabulary);
    let checks = 0;
    const again = function* (changed: string) {
      checks++;
      yield;
      return yield* analyzing(changed, 'start', machine, vocabulary);
    };
    const { pieces, result } = stretch(fixingAll(first, again), () => 0);
    expect(result).toEqual(fixAll(first, (changed) => analyze(changed, 'start', machine, vocabulary)));
    expect(result.fixed.length).toBeGreaterThan(0);
    expect(pieces).toBeGreaterThan(checks);
  });

  test('left off half-way it leaves nothing behind', () => {
    const work = analyzing(LONG, 'start', machine, vocabulary);
    for (let i = 0; i < 5; i++) work.next();
    work.return(undefined as never);
    expect(work.next()).toEqual({ done: true, value: undefined });
    expect(finish(analyzing(LONG, 'start', machine, vocabulary)).findings).toEqual(a.findings);
  });
});
