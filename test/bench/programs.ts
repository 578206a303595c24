import { execFileSync, spawnSync } from 'node:child_process';
import {
  appendFileSync,
  closeSync,
  linkSync,
  mkdtempSync,
  openSync,
  readFileSync,
  readSync,
  rmSync,
  statSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Toolpath from 'gcode-toolpath';
import { readMachine } from '../../server/src/machineFile/load.ts';
import { checkProgram } from '../../server/src/program/checkProgram.ts';
import { vocabularyFor } from '../../server/src/vocabulary/vocabulary.ts';
import { zip } from '../program/packages.ts';
import { type Mistake, programText } from '../program/programs.ts';

// The check of finished programs, held against gcode-toolpath 3 and `grep -c E` on the same bytes in one run. Ratios
// count: seconds are of this machine at this moment.

const MACHINE = JSON.stringify({
  name: 'Bench 226',
  bed: { shape: 'rectangle', left: 0, right: 226, front: 0, back: 217 },
  reach: { shape: 'rectangle', left: 0, right: 237, front: 0, back: 229, bottom: 0, top: 263 },
  keepOut: [{ name: 'clip', left: 100, right: 120, front: 205, back: 220, bottom: 0, top: 6 }],
  heat: { nozzle: { max: 279, minExtrude: 168 }, bed: { max: 103 } },
  mostFlow: 15,
  speed: { x: 295, y: 270, z: 13, e: 57 },
  acceleration: 1630,
});

export interface ProgramRow {
  readonly what: string;
  readonly figure: string;
  readonly goal: string;
  readonly met: boolean | null;
}

const MB = 1e6;
const CHUNK = 1 << 18;

/** What one check of a file says, run in a process of its own: see `runOne`. */
interface One {
  readonly seconds: number;
  readonly peak: number;
  readonly lines: number;
  readonly fast: number;
}

/** Checks a file, `times` over as one program, and prints how long it took and how much memory it had at most. */
export function runOne(path: string, times: number): One {
  const machine = readMachine(MACHINE).machine;
  const buffer = new Uint8Array(CHUNK);
  const begun = performance.now();
  const check = checkProgram(machine, vocabularyFor(machine));
  for (let i = 0; i < times; i++) {
    const file = openSync(path, 'r');
    for (let n = readSync(file, buffer); n > 0; n = readSync(file, buffer)) check.push(buffer.subarray(0, n));
    closeSync(file);
  }
  const { lines, fastLines } = check.end();
  const seconds = (performance.now() - begun) / 1000;
  return { seconds, peak: process.resourceUsage().maxRSS * 1024, lines, fast: fastLines };
}

function write(path: string, bytes: number, more: { arcs?: boolean; mistakes?: Mistake[]; rate?: number } = {}): void {
  const file = openSync(path, 'w');
  for (const chunk of programText({ seed: 7, bytes, ...more })) writeSync(file, chunk);
  closeSync(file);
}

const best = <T>(times: number, run: () => T, of: (result: T) => number): T =>
  Array.from({ length: times }, run).reduce((a, b) => (of(b) < of(a) ? b : a));

/**
 * @param self This file's bundle, which is started anew for each measurement.
 * @param cli The command line, as people run it.
 */
export function runPrograms(self: string, cli: string): ProgramRow[] {
  const folder = mkdtempSync(join(tmpdir(), 'bookend-programs-'));
  const rows: ProgramRow[] = [];
  const check = (path: string, times = 1): One =>
    JSON.parse(execFileSync(process.execPath, [self, 'one', path, String(times)], { encoding: 'utf8' })) as One;
  const fastest = (path: string, times = 1): One =>
    best(
      3,
      () => check(path, times),
      (one) => one.seconds,
    );
  const timed = (run: () => void): number => {
    const begun = performance.now();
    run();
    return (performance.now() - begun) / 1000;
  };
  try {
    const [small, large] = [join(folder, 'small.gcode'), join(folder, 'large.gcode')];
    write(small, 10 * MB);
    write(large, 200 * MB);
    const size = statSync(large).size;
    const one = fastest(large);
    const rate = size / MB / one.seconds;
    rows.push({
      what: `check, 200 MB (${one.lines} lines, ${one.lines - one.fast} of them not by the fast path)`,
      figure: `${one.seconds.toFixed(2)} s, ${rate.toFixed(0)} MB/s`,
      goal: '',
      met: null,
    });
    const part = readText(small);
    const theirs = best(
      3,
      () => timed(() => new Toolpath({ addLine() {}, addArcCurve() {} }).loadFromStringSync(part)),
      (s) => s,
    );
    const faster = rate / (part.length / MB / theirs);
    rows.push({
      what: 'times the throughput of gcode-toolpath 3',
      figure: faster.toFixed(1),
      goal: '40',
      met: faster >= 40,
    });
    const grep = best(
      3,
      () => timed(() => execFileSync('grep', ['-c', 'E', large])),
      (s) => s,
    );
    const slower = one.seconds / grep;
    rows.push({ what: 'times the wall time of grep -c E', figure: slower.toFixed(2), goal: '4', met: slower <= 4 });
    rows.push(memory('peak memory, 200 MB', one.peak));
    const two = check(large, 10);
    rows.push(memory('peak memory, 2 GB', two.peak));
    const linear = two.seconds / 10 / one.seconds;
    rows.push({
      what: 'time for each MB, 2 GB against 200 MB',
      figure: linear.toFixed(2),
      goal: '1.2',
      met: linear <= 1.2,
    });
    rows.push(...commandLine(cli, folder, large));
    const arcs = join(folder, 'arcs.gcode');
    write(arcs, 50 * MB, { arcs: true });
    rows.push(plain('with arcs, 50 MB', check(arcs)));
    const wrong = join(folder, 'wrong.gcode');
    write(wrong, 50 * MB, { mistakes: ['off-bed'], rate: 1 });
    rows.push(plain('every line off the bed, 50 MB', check(wrong)));
    const unhomed = join(folder, 'unhomed.gcode');
    write(unhomed, 50 * MB, { mistakes: ['not-homed', 'cold'] });
    rows.push(plain('never homed and cold, 50 MB', check(unhomed)));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  return rows;
}

/** The command line on a file, on a package, and on two files, as ratios of wall times. */
function commandLine(cli: string, folder: string, large: string): ProgramRow[] {
  writeFileSync(join(folder, 'bench.machine.json'), MACHINE);
  const run = (command: string, ...args: string[]): number => {
    const begun = performance.now();
    const { status, error } = spawnSync(command, args, { stdio: ['ignore', 'ignore', 'inherit'] });
    // 1: there are findings.
    if (error || (status !== 0 && status !== 1)) throw error ?? new Error(`${command} ended with ${status}.`);
    return (performance.now() - begun) / 1000;
  };
  const least = (measure: () => number): number => best(3, measure, (s) => s);
  const check = (...files: string[]): string[] => [cli, 'check', '--quiet', ...files];
  const packed = join(folder, 'packed.zip');
  writeFileSync(packed, zip([{ name: 'tray/job', bytes: readFileSync(large) }]));
  const alone = least(() => run(process.execPath, ...check(large)));
  const unpack = least(() => run('unzip', '-p', packed));
  const inside = least(() => run(process.execPath, ...check(packed)));
  // Long enough that the rate counts and not the start. A second name is a second file to the check.
  const [long, same] = [join(folder, 'long.gcode'), join(folder, 'same.gcode')];
  for (let i = 0; i < 3; i++) appendFileSync(long, readFileSync(large));
  linkSync(long, same);
  const onBoth = least(() => run(process.execPath, ...check(long)));
  const oneCore = least(() => run('taskset', '-c', '0', process.execPath, ...check(long)));
  const both = least(() => run(process.execPath, ...check(long, same)));
  const packageRatio = inside / (unpack + alone);
  const rate = (2 * oneCore) / both;
  return [
    { what: 'command line, 200 MB', figure: `${alone.toFixed(2)} s`, goal: '', met: null },
    {
      what: `in a zip, against unzip -p (${unpack.toFixed(2)} s) and the check`,
      figure: packageRatio.toFixed(2),
      goal: '1.3',
      met: packageRatio <= 1.3,
    },
    {
      what: `two files of 600 MB on two cores, times the rate of one core (${oneCore.toFixed(2)} s a file)`,
      figure: rate.toFixed(2),
      goal: '1.7',
      met: rate >= 1.7,
    },
    {
      what: `the same, times the rate of one file that has both cores (${onBoth.toFixed(2)} s)`,
      figure: ((2 * onBoth) / both).toFixed(2),
      goal: '',
      met: null,
    },
  ];
}

const plain = (what: string, one: One): ProgramRow => ({
  what,
  figure: `${one.seconds.toFixed(2)} s`,
  goal: '',
  met: null,
});
const memory = (what: string, bytes: number): ProgramRow => ({
  what,
  figure: `${(bytes / MB).toFixed(0)} MB`,
  goal: '200 MB',
  met: bytes <= 200 * MB,
});

function readText(path: string): string {
  const file = openSync(path, 'r');
  const bytes = new Uint8Array(statSync(path).size);
  readSync(file, bytes);
  closeSync(file);
  return new TextDecoder().decode(bytes);
}
