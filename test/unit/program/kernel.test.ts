import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { compileKernel, moduleText, NUMBERS_SOURCE, numbersText } from '../../../scripts/kernel.mjs';
import { checkProgram } from '../../../server/src/program/checkProgram.ts';
import { SCAN_MODULE } from '../../../server/src/program/scanModule.ts';
import { numbersSource, scanNumbers } from '../../../server/src/program/scanNumbers.ts';
import { Flag, Slot } from '../../../server/src/program/slots.ts';
import { NUMBERS, newStore, SIDES } from '../../../server/src/program/store.ts';
import * as blob from '../../../server/src/rules/blob.ts';
import * as feedMmS from '../../../server/src/rules/feedMmS.ts';
import * as retraction from '../../../server/src/rules/longRetraction.ts';
import type { Beyond, Rule } from '../../../server/src/rules/rule.ts';
import { fromBase64 } from '../../../server/src/text/base64.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { wholeProgram } from '../../program/programs.ts';
import { randomOf } from '../analyze/random.ts';
import { fixtureMachine } from '../rules/support.ts';

const ROOT = new URL('../../../', import.meta.url);
const egret = fixtureMachine('egret');
const encoder = new TextEncoder();

function checked(text: string) {
  const check = checkProgram(egret, vocabularyFor(egret));
  check.push(encoder.encode(text));
  return { report: check.end(), state: check.state() };
}

afterEach(() => {
  vi.unstubAllGlobals();
});

describe('the compiled scan', () => {
  it('is what its sources give', async () => {
    const committed = readFileSync(new URL('../../../server/src/program/scanModule.ts', import.meta.url), 'utf8');
    expect(committed, 'Run: node scripts/write-kernel.mjs').toBe(moduleText(await compileKernel(await numbersText())));
  });

  it('has its numbers where they are looked for, and all it holds in front of the program', () => {
    const memory = new WebAssembly.Memory({ initial: 4 });
    const nothing = () => 0;
    const { exports } = new WebAssembly.Instance(new WebAssembly.Module(fromBase64(SCAN_MODULE)), {
      env: { memory },
      scan: { commentEnd: nothing, arcPath: nothing, countHeight: nothing },
    });
    expect((exports.SLOTS as WebAssembly.Global).value).toBe(NUMBERS);
    const last = Math.max(...Object.values(Slot).filter((value) => typeof value === 'number'));
    expect(NUMBERS + 8 * (last + 1)).toBeLessThanOrEqual(2048);
    // What the module puts into its memory when it is made.
    const made = new Uint8Array(memory.buffer);
    const highest = made.findLastIndex((byte) => byte !== 0);
    expect(highest).toBeGreaterThan(NUMBERS);
    expect(highest).toBeLessThan(SIDES);
  });

  it('takes nearly all lines of an ordinary program', () => {
    const { report } = checked(wholeProgram({ seed: 3, bytes: 200_000 }));
    expect(report.fastLines / report.lines).toBeGreaterThan(0.98);
  });

  it('reads numbers as JavaScript does, in every form', () => {
    const random = randomOf(11);
    const digits = (most: number): string =>
      Array.from({ length: random.whole(0, most) }, () => random.whole(0, 9)).join('');
    const check = checkProgram(null, vocabularyFor(null));
    check.push(encoder.encode('G21\nG90\nM82\nG28\nG92 E0\nG1 X9 Y9 Z9 F3000\n'));
    let plain = 0;
    for (let i = 0; i < 5000; i++) {
      const whole = random.chance(0.1) ? '0'.repeat(random.whole(0, 9)) + digits(2) : digits(5);
      const fraction = random.chance(0.8) ? `.${digits(random.pick([3, 5, 8, 12]))}` : '';
      if (!/\d/.test(whole + fraction)) continue;
      const word = `${random.chance(0.2) ? '-' : ''}${whole}${fraction}`;
      check.push(encoder.encode(`G1 X${word} Y${i}\n`));
      expect(check.state().at.x?.lo, word).toBe(Number(word) + 0);
      plain++;
    }
    expect(check.end().fastLines).toBeGreaterThan(plain * 0.95);
  });
});

describe('without WebAssembly', () => {
  it.each([1, 2, 3])('all is the same, line by line: program %i', (seed) => {
    const text = wholeProgram({
      ...{ seed, bytes: 20_000, arcs: seed > 1, relativeE: seed > 2 },
      ...{ mistakes: ['off-bed', 'flow', 'cold'], rate: 0.1 },
    });
    const withIt = checked(text);
    vi.stubGlobal('WebAssembly', undefined);
    expect(newStore(1).scan).toBeNull();
    const without = checked(text);
    const { fastLines: _, ...own } = withIt.report;
    const { fastLines: __, ...theirs } = without.report;
    expect(theirs.findings).toEqual(own.findings);
    expect(theirs.counts).toEqual(own.counts);
    expect(theirs.totals.moves).toBe(own.totals.moves);
    expect(theirs.totals.extent).toEqual(own.totals.extent);
    expect(theirs.totals.seconds).toBeCloseTo(own.totals.seconds ?? Number.NaN, 6);
    expect(theirs.totals.filament).toBeCloseTo(own.totals.filament ?? Number.NaN, 6);
    expect({ ...theirs.start, ...theirs.end }).toEqual({ ...own.start, ...own.end });
  });
});

describe('the numbers of the compiled scan', () => {
  it('are those that the rules declare, and stand nowhere else', async () => {
    const committed = readFileSync(new URL(NUMBERS_SOURCE, ROOT), 'utf8');
    expect(committed, 'Run: node scripts/write-kernel.mjs').toBe(await numbersText());
    const { pushedStanding, feed, retracted } = scanNumbers();
    expect([pushedStanding, feed, retracted]).toEqual([blob.BLOB, feedMmS.FASTEST, retraction.LONG]);
    // Both compilers read `slots.ts`: what rules know stands in none of the two by hand.
    for (const path of ['server/kernel/scan.ts', 'server/src/program/slots.ts'])
      expect(readFileSync(new URL(path, ROOT), 'utf8'), path).not.toMatch(
        /\b(PUSHED|PUSHED_STANDING|RETRACTED|FEED|LENGTH)\b *[:=] *(f64 *= *)?\d/,
      );
  });

  it('are the nearest of all rules', () => {
    const says = () => 0;
    const rule = (beyond: Beyond): Rule => ({ ...blob.blob, ofMove: { beyond, says } });
    const all = [rule({ pushed: 90, feed: 40 }), rule({ pushed: 70.5 }), rule({ feed: 60, length: 900 })];
    expect(scanNumbers(all)).toMatchObject({ pushed: 70.5, feed: 60, length: 900, retracted: Number.MAX_VALUE });
  });

  it.each(['pushed', 'pushedStanding', 'retracted', 'length'] as const)(
    'a rule that asks for %s makes another module, which stops there',
    async (name) => {
      const own = await compileKernel(numbersSource({ ...scanNumbers(), [name]: 7.25 }));
      const beyond = { pushed: 'X50 E7.5', pushedStanding: 'E7.5', retracted: 'E-7.5', length: 'X50 E0.5' }[name];
      const within = { pushed: 'X50 E7', pushedStanding: 'E7', retracted: 'E-7', length: 'X7 E0.1' }[name];
      expect(stopsAt(own, `G1 ${within}\n`)).toBe(false);
      expect(stopsAt(own, `G1 ${beyond}\n`)).toBe(true);
      expect(stopsAt(fromBase64(SCAN_MODULE), `G1 ${beyond}\n`)).toBe(false);
    },
  );
});

/** Whether a module does not take this line for plain, from a state at zero in relative modes with an F. */
function stopsAt(module: Uint8Array, line: string): boolean {
  const memory = new WebAssembly.Memory({ initial: 4 });
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(module as BufferSource), {
    env: { memory },
    scan: { commentEnd: () => 0, arcPath: () => -1, countHeight: () => 0 },
  });
  const numbers = new Float64Array(memory.buffer, NUMBERS);
  for (const slot of [Slot.unit, Slot.speedFactor, Slot.flowFactor]) numbers[slot] = 1;
  numbers[Slot.feed] = 3000;
  for (const low of [Slot.left, Slot.front, Slot.bottom, Slot.bedLeft, Slot.bedFront]) numbers[low] = -1e6;
  for (const high of [Slot.right, Slot.back, Slot.top, Slot.bedRight, Slot.bedBack]) numbers[high] = 1e6;
  for (const most of [Slot.topX, Slot.topY, Slot.topZ, Slot.topE, Slot.acceleration, Slot.fastest])
    numbers[most] = Number.POSITIVE_INFINITY;
  [numbers[Slot.outLeft], numbers[Slot.outRight]] = [1, -1];
  [numbers[Slot.outFront], numbers[Slot.outBack], numbers[Slot.outTop]] = [1, -1, -1];
  const bytes = new Uint8Array(memory.buffer);
  const from = SIDES + 4096;
  bytes.set(encoder.encode(line), from);
  const flags = Flag.relative | Flag.relativeE | Flag.extrudes;
  return (exports.scan as (...args: number[]) => number)(from, from + line.length, 0, flags, 256) === from;
}
