import { lastBefore, lineAt } from '../syntax/at.ts';
import type { Line, Tree } from '../syntax/nodes.ts';
import { slice } from '../text/span.ts';
import type { Report, Rule } from './rule.ts';

/** Line numbers and checksums of a numbered text that do not fit. */
export const numberedText: Rule = {
  id: 'numbered-text',
  severity: 'warning',
  title: 'A line number or checksum that does not fit',
  scope: 'whole',
  awaitsRest: true,
  check({ tree, leftOut = 0 }, report) {
    const { lines } = tree;
    if (!lines.some(({ number, checksum }) => number || checksum)) return;
    for (const line of lines) if (line.checksum) checkSum(tree, line, report);
    const filled = lines.filter(({ commands, number }) => commands.length > 0 || number);
    const all = filled.length + leftOut;
    const summed = filled.filter(({ checksum }) => checksum).length;
    const numbered = filled.filter(({ number }) => number).length;
    for (const line of filled) {
      const span = line.commands[0]?.codeSpan ?? line.span;
      // Most lines have it: then those without were forgotten.
      if (!line.number && numbered * 2 > all && summed > 0)
        report({
          span,
          about: 'number',
          message: 'This line has no number, and the lines around it do: a controller that counts them rejects it.',
        });
      else if (!line.checksum && summed * 2 > all)
        report({
          span,
          about: 'sum',
          message: 'This line has no checksum, and the lines around it do: a controller that checks them rejects it.',
        });
    }
    // Which lines a job has depends on its sections.
    if (tree.sections.length === 0) checkOrder(filled, summed > 0, report);
  },
  fix({ tree }, { span, about }) {
    const line = lineAt(tree, span.start);
    if (about !== 'sum' || hasTag(tree, line)) return [];
    const wrong = line.checksum?.span;
    const at = wrong ?? { start: contentEnd(tree, line), end: contentEnd(tree, line) };
    const text = `*${sumOf(contentOf(tree, line, at.start))}`;
    // A wrong one may also tell that the line itself was damaged, so a person looks first.
    return [{ title: `Write the checksum ${text}`, edits: [{ span: at, text }], safe: false, preferred: true }];
  },
};

/** Exclusive or of the bytes in front of the `*`. Common practice, no source. */
const sumOf = (text: string): number => new TextEncoder().encode(text).reduce((sum, byte) => sum ^ byte, 0);

/** What a checksum counts: from the line's first character that is no blank. */
const contentOf = ({ text }: Tree, { span }: Line, end: number): string =>
  slice(text, { start: span.start, end }).replace(/^[\ufeff \t]+/, '');

const hasTag = ({ tags }: Tree, { span }: Line): boolean =>
  (lastBefore(tags, span.end - 1)?.span.end ?? 0) > span.start;

/** Behind the line's last command, word or number. */
function contentEnd({ text }: Tree, { span, comments }: Line): number {
  const end = comments.find((comment) => !slice(text, { start: comment.span.end, end: span.end }).trim())?.span.start;
  const content = slice(text, { start: span.start, end: end ?? span.end });
  return span.start + content.trimEnd().length;
}

function checkSum(tree: Tree, line: Line, report: (finding: Report) => void): void {
  const { checksum } = line;
  if (!checksum || checksum.value === null) return;
  if (hasTag(tree, line)) {
    report({
      span: checksum.span,
      about: 'tag',
      message:
        'A placeholder changes this line with every job, so that its checksum fits one job at most. Leave it out.',
    });
    return;
  }
  const content = contentOf(tree, line, checksum.span.start);
  const right = sumOf(content);
  // Some count the blanks in front as well.
  const indent = checksum.span.start - line.span.start - content.length;
  if (
    checksum.value === right ||
    checksum.value === (right ^ sumOf(slice(tree.text, { start: line.span.start, end: line.span.start + indent })))
  )
    return;
  report({
    span: checksum.span,
    about: 'sum',
    severity: 'error',
    message: `The checksum of this line is ${right}, not ${checksum.value}: the controller rejects the line. Write *${right}, or leave it out.`,
  });
}

/** Numbers may be skipped and repeated (NISTIR 6556 3.3.1); a controller that is sent checksums wants the next one. */
function checkOrder(lines: readonly Line[], strict: boolean, report: (finding: Report) => void): void {
  let before: number | null = null;
  for (const { number, commands } of lines) {
    const value = number?.value;
    if (!number || value?.type !== 'number') continue;
    const fits =
      before === null || commands[0]?.code === 'M110' || (strict ? value.number === before + 1 : value.number > before);
    if (!fits && before !== null)
      report({
        span: number.span,
        about: 'order',
        severity: strict ? 'warning' : 'info',
        message: `Line number ${value.number} follows ${before}. ${strict ? 'A controller that checks the lines wants the next one, and asks for it again and again' : 'Numbers that fall or repeat are allowed, but they mislead whoever looks for a line'}: number the lines anew, or leave the numbers out.`,
      });
    before = value.number;
  }
}
