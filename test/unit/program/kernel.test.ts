import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { compileKernel, moduleText } from '../../../scripts/kernel.mjs';
import { checkProgram } from '../../../server/src/program/checkProgram.ts';
import { SCAN_MODULE } from '../../../server/src/program/scanModule.ts';
import { BLOB, FASTEST_MM_S, LONG_RETRACTION, Slot } from '../../../server/src/program/slots.ts';
import { NUMBERS, newStore, SIDES } from '../../../server/src/program/store.ts';
import * as blob from '../../../server/src/rules/blob.ts';
import * as feed from '../../../server/src/rules/feedMmS.ts';
import * as retraction from '../../../server/src/rules/longRetraction.ts';
import { fromBase64 } from '../../../server/src/text/base64.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { wholeProgram } from '../../program/programs.ts';
import { randomOf } from '../analyze/random.ts';
import { fixtureMachine } from '../rules/support.ts';

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
    expect(committed, 'Run: node scripts/write-kernel.mjs').toBe(moduleText(await compileKernel()));
  }, 60_000);

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

it('the compiled scan looks closer where the rules do', () => {
  // Both compilers read `slots.ts`, so that it imports nothing.
  expect({ BLOB, FASTEST_MM_S, LONG_RETRACTION }).toEqual({
    BLOB: blob.BLOB,
    FASTEST_MM_S: feed.FASTEST,
    LONG_RETRACTION: retraction.LONG,
  });
});
