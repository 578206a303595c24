import type { CheckRequest } from './arguments.ts';
import { type Chosen, chooser, hasError } from './choose.ts';
import { checkAll, type Sized } from './crew.ts';
import { expand, type Input } from './expand.ts';
import type { FileCheck } from './fileCheck.ts';
import { cannot, type ExitCode, type Io } from './io.ts';
import { toJson } from './json.ts';
import { toJunit } from './junit.ts';
import { makeFinder } from './machines.ts';
import { progressOf } from './progress.ts';
import type { FileReport } from './report.ts';
import { toSarif } from './sarif.ts';
import { countText, toText } from './text.ts';

/**
 * Checks files and prints what was found. With `fix`, mends first what needs no person to look at it, or prints as a
 * diff what it would change.
 */
export async function checkFiles(request: CheckRequest, world: Io): Promise<ExitCode> {
  const failures: string[] = [];
  const io: Io = {
    ...world,
    writeError(text) {
      failures.push(...linesOf(text));
      world.writeError(text);
    },
  };
  const pick = request.machine === null ? null : io.resolve(request.machine);
  if (pick !== null) {
    const bytes = await io.readFile(pick);
    // Without it every answer would be about another machine than the one that was asked for.
    if ('reason' in bytes) return cannot(io, `machine file ${request.machine}`, bytes.reason);
  }
  const expanded = await expand(request.files, io);
  const all = expanded.inputs.map((input): Sized => ({ job: jobOf(input, request, pick, io), size: input.size }));
  const sizes = all.map(({ size }) => size);
  const total = sizes.some((size) => size === null) ? null : sizes.reduce<number>((sum, size) => sum + (size ?? 0), 0);
  const progress = progressOf(world, total, request.quiet);
  const choose = chooser(request.severity, request.most);
  const look = { color: io.color && request.color, quiet: request.quiet };
  const asked = new Set(expanded.inputs.map(({ absolute }) => absolute));
  const used = new Map<string, FileReport>();
  const notFollowed = new Map<string, FileReport>();
  const reports: FileReport[] = [];
  const chosen: Chosen[] = [];
  const inText = request.format === 'text' && request.fix !== 'dry run';
  let failed = expanded.failed;
  const take = (told: FileReport): void => {
    const one = choose(told);
    reports.push(told);
    chosen.push(one);
    if (inText) io.write(toText(one, look));
  };
  for await (const checked of checkAll(all, io, makeFinder(io), progress.read)) {
    progress.clear();
    if (checked.errors !== '') io.writeError(checked.errors);
    if (checked.failed) failed = true;
    for (const told of checked.reports) take(told);
    for (const { path, told } of checked.used) if (!used.has(path)) used.set(path, told);
    for (const { path, told } of checked.notFollowed) notFollowed.set(path, joined(told, notFollowed.get(path)));
  }
  progress.clear();
  // A machine file that is wrong in places gives wrong answers: its findings are told even where nobody asked for it.
  for (const [path, told] of used) {
    const whole = joined(told, notFollowed.get(path));
    if (!asked.has(path) && whole.findings.length > 0) take(whole);
  }
  // What a file that was asked for has itself is told already.
  for (const [path, told] of notFollowed) if (asked.has(path)) take(told);
  const code = failed ? 2 : reports.some(hasError) ? 1 : 0;
  finish(reports, chosen, { request, code, failures, io });
  return code;
}

/** Two reports of one file as one, with each finding once. */
function joined(one: FileReport, more: FileReport | undefined): FileReport {
  if (!more) return one;
  const told = new Set(one.findings.map(({ message }) => message));
  return { ...one, findings: [...one.findings, ...more.findings.filter(({ message }) => !told.has(message))] };
}

/** What is printed when all files are done. */
function finish(
  reports: readonly FileReport[],
  chosen: readonly Chosen[],
  run: { request: CheckRequest; code: ExitCode; failures: readonly string[]; io: Io },
): void {
  const { request, code, failures, io } = run;
  const left = chosen.reduce((sum, one) => sum + one.left, 0);
  // The output of a dry run is a diff and nothing else, so that `patch` can read it.
  if (request.fix === 'dry run') {
    const count = reports.reduce((sum, { fixed }) => sum + (fixed?.length ?? 0), 0);
    io.writeError(`${count} ${count === 1 ? 'finding' : 'findings'} would be fixed; nothing was written.\n`);
  } else if (request.format === 'json') io.write(toJson(chosen));
  else if (request.format === 'sarif') io.write(toSarif(chosen, { version: io.version, exitCode: code, failures }));
  else if (request.format === 'junit') io.write(toJunit(chosen, failures));
  else if (reports.length > 0 && !request.quiet) io.write(countText(reports, left));
}

function jobOf(
  input: Input,
  { role, format, fix, name, limits, largestMachineFile }: CheckRequest,
  pick: string | null,
  io: Io,
): FileCheck {
  const rest = { role, pick, fix, withFixes: format === 'json', found: input.found, limits, largestMachineFile };
  if (input.path !== '-') return { ...rest, path: input.path, absolute: input.absolute, input: false };
  return { ...rest, path: name ?? '-', absolute: io.resolve(name ?? 'standard input'), input: true };
}

const linesOf = (text: string): string[] => text.split('\n').filter((row) => row !== '');
