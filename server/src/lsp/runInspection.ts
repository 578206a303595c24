import { readMachine } from '../machineFile/load.ts';
import {
  entryBytes,
  listPackage,
  type PackageEntry,
  type PackageLimits,
  proposedName,
  recognise,
} from '../packages/package.ts';
import { type ByteSource, passingPieces } from '../packages/source.ts';
import { checkProgram } from '../program/checkProgram.ts';
import { readVocabulary } from '../vocabulary/read.ts';
import { vocabularyFor } from '../vocabulary/vocabulary.ts';
import type { InspectedFile } from './inspectedFiles.ts';
import type { EntryChoice, InspectedEntry, InspectionAnswer } from './inspectionMessages.ts';
import { type InspectionContext, tellInspection } from './inspectionReport.ts';
import { type SumWorld, sumBeside, sumInside, summed } from './inspectionSums.ts';

// One "Check this job…" from the file's bytes to the report. It knows neither protocol nor disk, so that it runs in a
// thread of its own, in the server, and in a browser's worker.

/** All that a check depends on, as plain data that can go from one thread to another. */
export interface InspectionRequest extends Omit<InspectionContext, 'machine'> {
  readonly uri: string;
  /** The file's name, for people. */
  readonly name: string;
  readonly entry: EntryChoice | null;
  /** URI of the file that the program is written to; null: it is only checked. */
  readonly target: string | null;
  /** The machine file's text; null: no machine. */
  readonly machine: string | null;
  /** The vocabulary file's text; null: the built-in names. */
  readonly vocabulary: string | null;
  readonly limits: PackageLimits;
}

/** What a check takes from the world. */
export interface InspectionWorld extends SumWorld {
  /** Told every now and then. `total` null: not known before the end. */
  progress(done: number, total: number | null): void;
  cancelled(): boolean;
  /** Lets others do their work for a moment. */
  pause(): Promise<void>;
}

/** Checks a program, lists a package, or checks one of its entries. Never rejects. */
export async function runInspection(request: InspectionRequest, world: InspectionWorld): Promise<InspectionAnswer> {
  try {
    const source = await world.files.open(request.uri);
    try {
      const answer = await answerFrom(request, source, world);
      const changed = answer.kind === 'report' ? await source.changed() : null;
      return changed === null ? answer : { kind: 'failed', message: changed };
    } finally {
      await source.close();
    }
  } catch (error) {
    if (error instanceof Cancelled) return { kind: 'cancelled' };
    return { kind: 'failed', message: error instanceof Error ? error.message : String(error) };
  }
}

/** Thrown where the person does not want to know any more. */
class Cancelled extends Error {}

async function answerFrom(
  request: InspectionRequest,
  source: InspectedFile,
  world: InspectionWorld,
): Promise<InspectionAnswer> {
  const { name, limits, entry: choice } = request;
  const kind = await recognise(source);
  switch (kind) {
    case 'empty':
      return failed(`${name} is empty: there is no program in it.`);
    case 'binary':
      return failed(
        `${name} holds neither text nor a package, so there is no program to read in it. Was it saved by the right program, and copied whole?`,
      );
    case 'text': {
      if (choice) return failed(CHANGED);
      const { bytes, note } = summed(all(source), await sumBeside(request.uri, name, world), name, world);
      return check(request, name, bytes, source.size, world, [note]);
    }
    default: {
      const listed = await listPackage(source, world.inflate, limits);
      if (world.cancelled()) throw new Cancelled();
      if (!listed.ok) return failed(listed.message);
      if (!choice) return { kind: 'package', what: listed.what, entries: listed.entries.map(toRow) };
      const entry = listed.entries[choice.index];
      if (!entry || entry.name !== choice.name) return failed(CHANGED);
      if (entry.problem) return failed(entry.problem);
      const whole = summed(all(source), await sumBeside(request.uri, name, world), name, world);
      if (whole.note && world.hasher) await readAll(whole.bytes, source.size, world, async () => {});
      const sum = await sumInside(source, entry, listed.entries, world, limits);
      const inside = entryBytes(source, entry, world.inflate, limits);
      const { bytes, note } = summed(inside, sum, `The entry “${entry.name}”`, world);
      // A gzip file tells its size by the remainder only.
      const total = kind === 'gzip' && entry.size < entry.packed ? null : entry.size;
      return check(request, entry.name || name, bytes, total, world, [whole.note, note]);
    }
  }
}

const all = (source: ByteSource): AsyncIterable<Uint8Array> => passingPieces(source, 0, source.size);

const CHANGED = 'The package is no longer as it was when it was listed: check it once more.';
const failed = (message: string): InspectionAnswer => ({ kind: 'failed', message });

const toRow = (entry: PackageEntry, index: number): InspectedEntry => ({
  ...{ index, name: entry.name, size: entry.size, packed: entry.packed, date: entry.date, what: entry.what },
  ...{ program: entry.program, problem: entry.problem, proposed: programName(entry.name) },
});

/** A plain file name that machines know for a program's. */
function programName(name: string): string {
  const proposed = proposedName(name);
  return /\.(gcode|gco|g)$/i.test(proposed) ? proposed : `${proposed}.gcode`;
}

/** Reads to the end; writes what it reads where that is wanted, and keeps it only once all of it was there. */
async function check(
  request: InspectionRequest,
  title: string,
  pieces: AsyncIterable<Uint8Array>,
  total: number | null,
  world: InspectionWorld,
  notes: readonly (string | null)[],
): Promise<InspectionAnswer> {
  const machine = request.machine === null ? null : readMachine(request.machine).machine;
  const names = request.vocabulary === null ? null : readVocabulary(request.vocabulary).vocabulary;
  const checking = checkProgram(machine, vocabularyFor(machine, names));
  const target = request.target === null ? null : await world.files.create(request.target, request.uri);
  try {
    await readAll(pieces, total, world, async (bytes) => {
      await target?.write(bytes);
      await inSlices(bytes, world, (slice) => checking.push(slice));
    });
    const report = checking.end();
    await target?.keep();
    return tellInspection({ ...request, machine }, title, report, target !== null, notes);
  } finally {
    await target?.drop();
  }
}

async function readAll(
  pieces: AsyncIterable<Uint8Array>,
  total: number | null,
  world: InspectionWorld,
  take: (bytes: Uint8Array) => Promise<void>,
): Promise<void> {
  let done = 0;
  world.progress(0, total);
  for await (const bytes of pieces) {
    if (world.cancelled()) throw new Cancelled();
    await take(bytes);
    await world.pause();
    done += bytes.length;
    world.progress(done, total);
  }
  if (world.cancelled()) throw new Cancelled();
}

/** So many bytes are checked at a time before others have their turn. */
const SLICE = 1 << 16;

async function inSlices(bytes: Uint8Array, world: InspectionWorld, take: (slice: Uint8Array) => void): Promise<void> {
  for (let at = 0; at < bytes.length; at += SLICE) {
    if (world.cancelled()) throw new Cancelled();
    take(bytes.subarray(at, at + SLICE));
    await world.pause();
  }
}
