import { type Profiler, Session } from 'node:inspector';
import { setFlagsFromString } from 'node:v8';

// Work as a figure that is the same on every machine: how often each stretch of JavaScript ran, as V8 counts it for
// code coverage, plus what its built-in functions went through on their own. No clock, so a busy machine changes nothing.

/** What was counted, by the place in the code. */
export type Work = ReadonlyMap<string, number>;

/** All of it together. */
export const sumOf = (work: Work): number => [...work.values()].reduce((sum, count) => sum + count, 0);

/** Counts what happens until `run` has come to its end. Everything else in this thread counts, too. */
export async function countWork(run: () => unknown): Promise<Work> {
  const session = new Session();
  session.connect();
  const post = (method: string, params: object = {}): unknown => {
    let answer: unknown;
    // Within one thread the answer is there at once.
    session.post(method, params, (error, result) => {
      if (error) throw error;
      answer = result;
    });
    return answer;
  };
  // Optimized code calls without counting.
  setFlagsFromString('--no-opt');
  post('Profiler.enable');
  post('Profiler.startPreciseCoverage', { callCount: true, detailed: true });
  const builtIn = new Map<string, number>();
  const restore = watchBuiltIns(builtIn);
  try {
    await run();
    restore();
    const { result } = post('Profiler.takePreciseCoverage') as Profiler.TakePreciseCoverageReturnType;
    return new Map([...blocksOf(result), ...builtIn]);
  } finally {
    restore();
    post('Profiler.stopPreciseCoverage');
    post('Profiler.disable');
    setFlagsFromString('--opt');
    session.disconnect();
  }
}

function blocksOf(scripts: readonly Profiler.ScriptCoverage[]): Map<string, number> {
  const blocks = new Map<string, number>();
  for (const { scriptId, url, functions } of scripts) {
    // This file's own, and Node's.
    if (url.startsWith('node:') || url.includes('/test/work/counting.ts')) continue;
    for (const { functionName, ranges } of functions) {
      for (const { startOffset, endOffset, count } of ranges) {
        if (count === 0) continue;
        const key = `${url || scriptId} ${functionName} ${startOffset}-${endOffset}`;
        blocks.set(key, (blocks.get(key) ?? 0) + count);
      }
    }
  }
  return blocks;
}

type Method = (this: unknown, ...given: unknown[]) => unknown;
/** How many items or characters a call went through. */
type Cost = (self: { readonly length: number }, given: readonly unknown[], result: unknown) => number;

const whole: Cost = ({ length }) => length;
const result: Cost = (_, __, made) => (made as { readonly length: number }).length;
const cutOff: Cost = ({ length }, _, left) => length - (left as string).length + 1;
const upTo: Cost = ({ length }, given, found) => {
  const from = typeof given[1] === 'number' ? given[1] : 0;
  return Math.max(0, (typeof found === 'number' && found >= 0 ? found : length) - from);
};

const ARRAY: Readonly<Record<string, Cost>> = {
  ...{ includes: whole, indexOf: upTo, join: whole, reverse: whole, shift: whole, unshift: whole },
  ...{ slice: result, concat: result, splice: whole, flat: result, fill: whole },
};
const STRING: Readonly<Record<string, Cost>> = {
  ...{ split: whole, trim: cutOff, trimStart: cutOff, trimEnd: cutOff, normalize: whole },
  ...{ toUpperCase: whole, toLowerCase: whole, includes: whole, indexOf: upTo, replaceAll: whole, repeat: result },
};

/** Until the returned function is called, calls of built-in functions add what they go through to `counts`. */
function watchBuiltIns(counts: Map<string, number>): () => void {
  const add = (name: string, cost: number): void => void counts.set(name, (counts.get(name) ?? 0) + cost);
  const undo: (() => void)[] = [];
  const watch = (of: object, name: string | symbol, shown: string, cost: Cost): void => {
    const own = of as Record<string | symbol, Method>;
    const original = own[name] as Method;
    Object.defineProperty(of, name, {
      ...{ configurable: true, writable: true },
      value(this: unknown, ...given: unknown[]) {
        const made = Reflect.apply(original, this, given);
        add(shown, cost(this as { length: number }, given, made));
        return made;
      },
    });
    undo.push(() => void Object.defineProperty(of, name, { ...plain, value: original }));
  };
  for (const [name, cost] of Object.entries(ARRAY)) watch(Array.prototype, name, `Array ${name}`, cost);
  watch(Array.prototype, Symbol.iterator, 'Array iterator', whole);
  for (const [name, cost] of Object.entries(STRING)) watch(String.prototype, name, `String ${name}`, cost);
  const exec = RegExp.prototype.exec;
  RegExp.prototype.exec = function (this: RegExp, text: string) {
    const from = this.global || this.sticky ? this.lastIndex : 0;
    const found = exec.call(this, text);
    add('RegExp exec', searched(this, from, text, found));
    return found;
  };
  undo.push(() => void Object.defineProperty(RegExp.prototype, 'exec', { ...plain, value: exec }));
  return () => {
    for (const one of undo.splice(0)) one();
  };
}

const plain = { configurable: true, writable: true, enumerable: false };

/** Characters that a search went through: up to the end of what it found, or all, where it is not tied to one place. */
function searched(
  { source, sticky, multiline }: RegExp,
  from: number,
  text: string,
  found: RegExpExecArray | null,
): number {
  const tied = sticky || (source.startsWith('^') && !multiline);
  if (found) return (tied ? 0 : found.index - from) + found[0].length;
  return tied ? 1 : Math.max(0, String(text).length - from);
}

/** What ran more often than it may where the text is twice as long: more than 2.5 times, since sorting adds a little. */
export const grownBeyond = (before: Work, after: Work): string[] =>
  [...after]
    .filter(([place, count]) => count > 2.5 * (before.get(place) ?? 0) + 2000)
    .map(([place, count]) => `${place}: ${before.get(place) ?? 0}, then ${count}`);
