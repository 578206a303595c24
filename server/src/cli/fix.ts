import { readPart } from '../check/part.ts';
import { isSame } from '../files/replaceFile.ts';
import type { Finding } from '../rules/rule.ts';
import { type Analysis, budgetOf } from '../service/analyze.ts';
import { fixAll } from '../service/fixAll.ts';
import { type Decoded, decode } from '../text/decode.ts';
import { encode } from '../text/encode.ts';
import { type LineIndex, lineIndex } from '../text/lines.ts';
import { cannot, type Io } from './io.ts';
import { SPLIT } from './opened.ts';
import { plain } from './plain.ts';
import type { FixedRow } from './report.ts';
import { unifiedDiff } from './unified.ts';

/** A file as it was read. */
export interface ReadFile {
  /** As the person wrote it. */
  readonly path: string;
  readonly absolute: string;
  readonly bytes: Uint8Array;
  readonly decoded: Decoded;
}

export interface FixResult {
  /** As the file now reads, or would read after a dry run. */
  readonly text: string;
  readonly fixed: readonly FixedRow[];
  /** Something should have been written and was not; it has been told. */
  readonly failed: boolean;
}

/**
 * Mends in one file what needs no person to look at it, and writes the file; in a dry run prints the diff instead.
 * Encoding, byte order mark and ends of line stay as they are.
 * @param check Checks a text in the file's role, on its machine.
 */
export async function fixFile(
  file: ReadFile,
  check: (text: string) => Analysis,
  how: 'write' | 'dry run',
  io: Io,
): Promise<FixResult> {
  const { path, decoded, bytes } = file;
  const unchanged = { text: decoded.text, fixed: [], failed: false };
  const refuse = (reason: string, doing: string): FixResult => {
    cannot(io, path, reason, doing);
    return { ...unchanged, failed: true };
  };
  const first = check(decoded.text);
  const part = readPart(first.tree, budgetOf(first.role));
  if (part) return refuse(`it has ${part.has}. ${SPLIT}`, 'fix');
  const { text, fixed } = fixedIn(first, check);
  if (text === decoded.text) return unchanged;
  const after = encode(text, decoded);
  const fault = writingFault(file, text, after);
  if (fault !== null) return refuse(fault, 'fix');
  if (how === 'dry run') {
    printDiff(file, text, io);
    for (const { rule, title, line, column } of fixed)
      io.writeError(`${plain(path)}:${line}:${column}: would fix ${rule}: ${plain(title)}\n`);
    return { text, fixed, failed: false };
  }
  const refused = await io.replaceFile(file.absolute, bytes, after);
  if (refused === null) return { text, fixed, failed: false };
  return refuse(`${refused}; nothing was changed in it`, 'write');
}

/** Makes the fixes, and gives each the place that it had in the text of its round. */
function fixedIn(first: Analysis, check: (text: string) => Analysis): { text: string; fixed: FixedRow[] } {
  const lines = new Map<Finding, LineIndex>();
  const noted = (analysis: Analysis): Analysis => {
    const index = lineIndex(analysis.tree.text);
    for (const finding of analysis.findings) lines.set(finding, index);
    return analysis;
  };
  const made = fixAll(noted(first), (text) => noted(check(text)));
  const rows = made.fixed.map(({ finding, fix }): FixedRow => {
    const { line, character } = (lines.get(finding) ?? lineIndex(first.tree.text)).position(finding.span.start);
    return { rule: finding.rule, title: fix.title, line: line + 1, column: character + 1 };
  });
  return { text: made.text, fixed: rows };
}

/** Why writing it would lose something, as the rest of "cannot fix FILE:"; null where it would not. */
function writingFault({ bytes, decoded }: ReadFile, text: string, after: Uint8Array): string | null {
  if (!isSame(encode(decoded.text, decoded), bytes))
    return `some of its bytes are no ${decoded.encoding.toUpperCase()} and would be lost`;
  if (decode(after).text !== text) return `a fix needs a character that ${decoded.encoding} does not have`;
  return null;
}

/** The diff in the file's own bytes, so that it can be applied to them; on a terminal without control characters. */
function printDiff({ absolute, decoded }: ReadFile, text: string, io: Io): void {
  const mark = decoded.bom && decoded.encoding === 'utf-8' ? '\ufeff' : '';
  const name = io.shorten(absolute).replaceAll(io.separator, '/');
  const diff = unifiedDiff(name, mark + decoded.text, mark + text);
  if (io.terminal) io.write(diff.split('\n').map(plain).join('\n'));
  else if (decoded.encoding !== 'windows-1252') io.write(diff);
  else {
    // The heading's name is not the file's content, and the system writes names in UTF-8.
    const body = diff.indexOf('@@');
    io.write(diff.slice(0, body));
    io.writeBytes(encode(diff.slice(body), { encoding: 'windows-1252', bom: false }));
  }
  if (decoded.encoding.startsWith('utf-16'))
    io.writeError(`bookend: ${name} is in UTF-16, and its diff in UTF-8: read it, it cannot be applied.\n`);
}
