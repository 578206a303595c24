import type { ByteSource } from '../packages/source.ts';
import { checkProgram } from '../program/checkProgram.ts';
import { NO_PROGRAM } from '../program/reading.ts';
import { ofPartsAlone, type ProgramFinding, type ProgramOptions, type ProgramReport } from '../program/report.ts';
import type { Role } from '../syntax/role.ts';
import { decode } from '../text/decode.ts';
import { lineIndex } from '../text/lines.ts';
import { excerptAt, excerptOf } from './excerpt.ts';
import type { FoundMachine } from './machines.ts';
import { begin } from './opened.ts';
import { type FileReport, type ToldFinding, toldOf } from './report.ts';
import { textReport } from './wholeText.ts';

/** Up to here a program is checked in one piece, as in the editor, bytes; above it is streamed. */
export const IN_ONE_PIECE = 300_000;

/** What is known of a stream beside its bytes. */
export interface Stream {
  readonly path: string;
  readonly entry: string | null;
  readonly role: Role;
  readonly withFixes: boolean;
  /** How long a text may be that is no program, bytes. */
  readonly longest: number;
  /** What the filament is, for the mass of a program; undefined: usual materials. */
  readonly material?: string | undefined;
}

/** Checks a stream of bytes: whole where it is short or no program, else piece by piece. Rejects where the stream does. */
export async function checkStream(
  bytes: AsyncIterable<Uint8Array>,
  stream: Stream,
  found: FoundMachine,
): Promise<FileReport> {
  const { path, entry, role, withFixes, longest, material } = stream;
  const options = material === undefined ? {} : { material };
  const begun = await begin(bytes, role === 'program' ? IN_ONE_PIECE : longest);
  if (begun.whole) {
    const { text, encoding } = decode(begun.whole);
    const told = toldOf(textReport(path, entry, text, role, found), withFixes);
    if (role !== 'program') return told;
    return withParts(
      told,
      text,
      encoding.startsWith('utf-16') ? new TextEncoder().encode(text) : begun.whole,
      found,
      options,
    );
  }
  if (role !== 'program') {
    await begun.end();
    throw new Error(`it is longer than the ${longest / 1e6} MB that a sequence may have; is it a program?`);
  }
  const check = checkProgram(found.machine, found.vocabulary, options);
  for await (const piece of begun.all()) check.push(piece);
  return programTold(path, entry, check.end(), found);
}

/** A program that was checked in one piece, with what only streaming tells: layers, its start and end by their rules, that it is none. */
function withParts(
  told: FileReport,
  text: string,
  bytes: Uint8Array,
  found: FoundMachine,
  options: ProgramOptions,
): FileReport {
  const check = checkProgram(found.machine, found.vocabulary, options);
  check.push(bytes);
  const program = check.end();
  const lines = lineIndex(text);
  const placed = (one: ProgramFinding): ToldFinding[] => {
    const finding = toldFinding(one, found);
    if (!finding) return [];
    const start = lines.start(one.line - 1) + one.column - 1;
    return [{ ...finding, count: 1, offset: null, excerpt: excerptOf(text, lines, { start, end: start + 1 }) }];
  };
  const before = program.findings.filter(({ rule }) => rule === NO_PROGRAM).flatMap(placed);
  const more = ofPartsAlone(program, told.findings).flatMap(placed);
  return { ...told, program, findings: [...before, ...told.findings, ...more].sort(byPlace) };
}

const byPlace = (a: ToldFinding, b: ToldFinding): number => a.line - b.line || a.column - b.column;

/** A streamed program as it is told: what the rules say of the whole, of its start and of its end, in order. */
export function programTold(
  path: string,
  entry: string | null,
  report: ProgramReport,
  found: FoundMachine,
): FileReport {
  const findings = [...report.findings, ...ofPartsAlone(report, report.findings)].flatMap(
    (one) => toldFinding(one, found) ?? [],
  );
  return {
    path,
    entry,
    role: 'program',
    machine: found.machine?.name ?? null,
    note: found.note,
    findings: findings.sort(byPlace),
    undecided: [],
    fixed: null,
    summary: null,
    program: report,
  };
}

/** With the severity that the machine file chooses; null where it chooses none. */
function toldFinding(one: ProgramFinding, { machine }: FoundMachine): ToldFinding | null {
  const severity = machine?.rules.get(one.rule) ?? one.severity;
  if (severity === 'off') return null;
  const { rule, line, column, offset, message, count } = one;
  const place = { line, column, endLine: line, endColumn: column };
  return {
    rule,
    severity,
    message,
    count,
    offset,
    ...place,
    when: null,
    related: [],
    fixes: [],
    fixesLeftOut: false,
    excerpt: null,
  };
}

/** The same with the source lines, which are still there to be read. */
export async function withExcerpts(told: FileReport, source: ByteSource): Promise<FileReport> {
  const findings: ToldFinding[] = [];
  for (const one of told.findings) {
    const { offset } = one;
    findings.push(offset === null ? one : { ...one, excerpt: await excerptAt(source, offset) });
  }
  return { ...told, findings };
}
