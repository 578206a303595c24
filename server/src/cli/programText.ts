import { checkProgram } from '../program/checkProgram.ts';
import type { ProgramFinding, ProgramReport } from '../program/report.ts';
import type { Role } from '../syntax/role.ts';
import { decode } from '../text/decode.ts';
import type { Found } from './machines.ts';
import { begin } from './opened.ts';
import { type Told, type ToldFinding, toldOf } from './report.ts';
import { textReport } from './wholeText.ts';

/** Up to here a program is checked in one piece, as in the editor, bytes; above it is streamed. */
export const IN_ONE_PIECE = 1_000_000;

/** What is known of a stream beside its bytes. */
export interface Stream {
  readonly path: string;
  readonly entry: string | null;
  readonly role: Role;
  readonly withFixes: boolean;
  /** How long a text may be that is no program, bytes. */
  readonly longest: number;
  /** Whether a short program is streamed, too, to know what only that reckons, such as its layers. */
  readonly streamed?: boolean;
}

/** Checks a stream of bytes: whole where it is short or no program, else piece by piece. Rejects where the stream does. */
export async function checkStream(
  bytes: AsyncIterable<Uint8Array>,
  { path, entry, role, withFixes, longest, streamed = false }: Stream,
  found: Found,
): Promise<Told> {
  const begun = await begin(bytes, role === 'program' ? IN_ONE_PIECE : longest);
  if (begun.whole && !(streamed && role === 'program'))
    return toldOf(textReport(path, entry, decode(begun.whole).text, role, found), withFixes);
  if (role !== 'program') {
    await begun.end();
    throw new Error(`it is longer than the ${longest / 1e6} MB that a sequence may have; is it a program?`);
  }
  const check = checkProgram(found.machine, found.vocabulary);
  for await (const piece of begun.all()) check.push(piece);
  return programTold(path, entry, check.end(), found);
}

/** A streamed program as it is told: what the rules say of the whole, of its start and of its end, in order. */
export function programTold(path: string, entry: string | null, report: ProgramReport, found: Found): Told {
  const parts = [report.findings, report.start?.findings ?? [], report.end?.findings ?? []];
  const all = new Map<string, ToldFinding>();
  for (const one of parts.flat()) {
    const finding = toldFinding(one, found);
    if (finding) all.set(`${one.rule} ${one.line} ${one.column} ${one.message}`, finding);
  }
  return {
    path,
    entry,
    role: 'program',
    machine: found.machine?.name ?? null,
    note: found.note,
    findings: [...all.values()].sort((a, b) => a.line - b.line || a.column - b.column),
    undecided: [],
    fixed: null,
    summary: null,
    program: report,
  };
}

/** With the severity that the machine file chooses; null where it chooses none. */
function toldFinding(one: ProgramFinding, { machine }: Found): ToldFinding | null {
  const severity = machine?.rules.get(one.rule) ?? one.severity;
  if (severity === 'off') return null;
  const { rule, line, column, message, count } = one;
  const place = { line, column, endLine: line, endColumn: column };
  return { rule, severity, message, count, ...place, when: null, related: [], fixes: [], excerpt: null };
}
