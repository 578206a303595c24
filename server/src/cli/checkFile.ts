import { entryBytes, listPackage, recognise } from '../packages/package.ts';
import type { ByteSource } from '../packages/source.ts';
import { isMachineName, isVocabularyName } from '../service/machineSearch.ts';
import { type Role, roleOfName } from '../syntax/role.ts';
import { decode } from '../text/decode.ts';
import type { FileCheck, FileOutcome } from './fileCheck.ts';
import { type FixResult, fixFile } from './fix.ts';
import { cannot, type Io, type OpenFile, type Refusal } from './io.ts';
import { machineFiles } from './machineLimit.ts';
import type { Finder, FoundMachine } from './machines.ts';
import { bytesOf, inputText, LARGE, LONGEST_TEXT, NO_TEXT, reasonOf, withFile } from './opened.ts';
import { checkStream, withExcerpts } from './programText.ts';
import { type FileReport, toldOf, type Whole } from './report.ts';
import { analyzed, machineReport, notFollowedReport, textReport, unreadReport, vocabularyReport } from './wholeText.ts';

/** Checks one file, whatever it is. Never rejects. */
export async function checkFile(job: FileCheck, world: Io, finder: Finder): Promise<FileOutcome> {
  let errors = '';
  const io: Io = {
    ...world,
    writeError: (text) => {
      errors += text;
    },
  };
  const reports: FileReport[] = [];
  const used = new Map<string, FileReport>();
  let failed = false;
  const fail = (reason: string, what = job.path, doing = 'check'): void => {
    cannot(io, what, reason, doing);
    failed = true;
  };
  const tell = (whole: Whole): void => void reports.push(toldOf(whole, job.withFixes));
  const contextOf = async (): Promise<FoundMachine> => {
    const found = await finder.find(job.absolute, job.pick);
    const note = (path: string, whole: Whole): void => void used.set(path, toldOf(whole, job.withFixes));
    if (found.path !== null && found.unread === null)
      note(found.path, machineReport(io.shorten(found.path), found.text, found));
    for (const { path, reason } of found.faults) note(path, unreadReport(io.shorten(path), reason));
    if (found.names) note(found.names.path, vocabularyReport(io.shorten(found.names.path), found.names.text));
    return found;
  };
  const stream = async (
    bytes: AsyncIterable<Uint8Array>,
    entry: string | null,
    role: Role,
    source: ByteSource | null,
  ): Promise<void> => {
    const { path, withFixes } = job;
    const found = await contextOf();
    const told = await checkStream(bytes, { path, entry, role, withFixes, longest: LONGEST_TEXT }, found);
    reports.push(source && told.program ? await withExcerpts(told, source) : told);
  };
  const name = io.name(job.absolute);

  const checkText = async (file: OpenFile): Promise<void> => {
    const role = job.role ?? roleOfName(name);
    if (role !== 'program' && file.size > LARGE) io.spareMemory();
    if (job.fix === null) return stream(bytesOf(file), null, role, file);
    if (file.size > LONGEST_TEXT) return fail(`it is longer than ${LONGEST_TEXT / 1e6} MB`, job.path, 'fix');
    const found = await contextOf();
    const bytes = await file.read(0, file.size);
    await file.close(); // an open file cannot be replaced on every system
    const again = (text: string) => analyzed(text, role, found);
    const read = { path: job.path, absolute: job.absolute, bytes, decoded: decode(bytes) };
    const result: FixResult = await fixFile(read, again, job.fix, io);
    if (result.failed) failed = true;
    tell({ ...textReport(job.path, null, result.text, role, found), fixed: result.fixed });
  };

  const checkPackage = async (file: OpenFile): Promise<void> => {
    if (job.fix !== null)
      return fail('it is a package; take the program out of it first with "bookend extract"', job.path, 'fix');
    const listed = await listPackage(file, io.inflate, job.limits);
    if (!listed.ok) return fail(listed.message);
    // What cannot be read may be a program, too; where nobody asked for the package, only beside one that can.
    const unread = listed.entries.filter(({ problem }) => problem !== null);
    if (listed.programs.length === 0) {
      if (!job.found && unread.length === 0)
        fail(`there is no program in this ${listed.what}; "bookend list" tells what it holds`);
      if (job.found) return;
    }
    for (const { name, problem } of unread) fail(problem ?? '', `${job.path}(${name})`);
    for (const entry of listed.programs) {
      try {
        const bytes = entryBytes(file, entry, io.inflate, job.limits);
        await stream(bytes, entry.name, job.role ?? 'program', null);
      } catch (error) {
        fail(reasonOf(error), `${job.path}(${entry.name})`);
      }
    }
  };

  const checkOpen = async (file: OpenFile): Promise<void> => {
    if (isMachineName(name) || isVocabularyName(name)) {
      const bytes = await io.readFile(job.absolute, machineFiles(job.largestMachineFile));
      if ('reason' in bytes) return fail(bytes.reason);
      const { text } = decode(bytes);
      if (isVocabularyName(name)) return tell(vocabularyReport(job.path, text));
      return tell(machineReport(job.path, text, await finder.namesOf(job.absolute, text)));
    }
    const kind = await recognise(file);
    if (kind === 'zip' || kind === 'gzip') return checkPackage(file);
    const role = job.role ?? roleOfName(name);
    if (kind === 'empty' && role === 'program')
      return fail('it is empty: it has 0 bytes. Its copy or download probably failed; make it again');
    if (kind === 'binary' && role === 'program') return fail(NO_TEXT);
    return checkText(file);
  };

  const checkInput = async (): Promise<Refusal | null> => {
    const role = job.role ?? roleOfName(name);
    const bytes = await inputText(io, role);
    if ('reason' in bytes) return bytes;
    await stream(bytes, null, role, null);
    return null;
  };
  const checkOnDisk = () =>
    withFile(io, job.absolute, async (file) => {
      await checkOpen(file);
      const changed = job.fix === null ? await file.changed() : null;
      if (changed === null) return null;
      // What was read is neither the old file nor the new one.
      reports.length = 0;
      return { reason: changed };
    });
  const refused = job.input
    ? await checkInput().catch((error: unknown) => ({ reason: reasonOf(error) }))
    : await checkOnDisk();
  if (refused !== null) fail(refused.reason);
  const unread = reports.flatMap((report) => report.notFollowed ?? []);
  const { names } = unread.length > 0 ? await finder.find(job.absolute, job.pick) : { names: null };
  const notFollowed = names
    ? [{ path: names.path, told: toldOf(notFollowedReport(io.shorten(names.path), names.text, unread), false) }]
    : [];
  return { reports, used: [...used].map(([path, told]) => ({ path, told })), notFollowed, failed, errors };
}
