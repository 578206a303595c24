import type { Finding, Rule } from '../rules/rule.ts';
import { SUBJECTS } from '../rules/subjects.ts';
import { lineIndex } from '../text/lines.ts';
import { slice } from '../text/span.ts';
import { vocabularyFor } from '../vocabulary/vocabulary.ts';
import { type Analysis, analyze } from './analyze.ts';
import { exampleMachine } from './exampleMachine.ts';
import { fixesOf } from './fixes.ts';
import { bullets, code, figure, paragraphs, plain } from './phrase.ts';

/** Findings of the example that are told; more teach nothing. */
const MOST_FOUND = 3;

/** All there is to know about one rule, as Markdown: the reference page, and what `explain` prints. */
export function rulePage(rule: Rule): string {
  const { machine, special } = exampleMachine(rule.id);
  const a = analyze(rule.bad.text, rule.bad.role, machine, vocabularyFor(machine));
  const found = a.findings.filter((finding) => finding.rule === rule.id);
  const subject = SUBJECTS.find(({ ids }) => ids.includes(rule.id))?.title;
  return paragraphs([
    `# ${rule.id}`,
    `**${plain(rule.title)}**`,
    `Severity: ${rule.severity}.${subject ? ` Subject: ${subject}.` : ''}`,
    '## Why',
    prose(rule.why),
    '## Found',
    `A sequence in the role ${rule.bad.role}${machine ? `, on the example machine ${plain(machine.name)}` : ''}${special && ` ${special}`}:`,
    block(rule.bad.text),
    bullets(found.slice(0, MOST_FOUND).map((finding) => findingText(a, finding))),
    '## Put right',
    block(rule.good.text),
    '## Fix',
    fixText(a, rule, found),
    '## Where it does not count',
    'Where a line is meant as it is, a comment says so, with the reason behind the colon. It counts for its own line, for the next one, or for the whole file:',
    block(['', '-next-line', '-file'].map((where) => `; bookend-ignore${where} ${rule.id}: the reason`).join('\n')),
    `For a folder, the setting ${code(`"bookend.rules": { "${rule.id}": "off" }`)}; for one machine, ${code(`"rules": { "${rule.id}": "off" }`)} in its file. Instead of \`off\` stands \`error\`, \`warning\`, \`info\` or \`hint\` where it should only count for more or less.`,
  ]);
}

/** Sentences in which only code spans are Markdown. */
const prose = (text: string): string =>
  text
    .split(/(\x60[^\x60]+\x60)/)
    .map((part, i) => (i % 2 === 1 ? part : plain(part)))
    .join('');

function findingText(a: Analysis, { span, message, when }: Finding): string {
  const { line } = lineIndex(a.tree.text).position(span.start);
  const at = slice(a.tree.text, span).split(/[\r\n]/)[0] ?? '';
  const job = Object.entries(when ?? {}).map(
    ([name, value]) => `${code(name)} = ${plain(typeof value === 'number' ? figure(value) : String(value))}`,
  );
  const place = `Line ${line + 1}${at === '' ? '' : `, ${code(at)}`}`;
  return `${place}: ${plain(message)}${job.length > 0 ? ` Such a job: ${job.join(', ')}.` : ''}`;
}

function fixText(a: Analysis, rule: Rule, found: readonly Finding[]): string {
  const fixes = found.slice(0, MOST_FOUND).flatMap((finding) => fixesOf(a, finding));
  const told = new Map(fixes.map(({ title, safe }) => [title, safe]));
  if (told.size === 0)
    return rule.fix ? 'It depends on the place; the example has none.' : 'None: what is meant, only a person can say.';
  return bullets(
    [...told].map(([title, safe]) =>
      safe
        ? `${plain(title)}. \`bookend check --fix\` does it.`
        : `${plain(title)}. Offered in the editor: look at it before you take it.`,
    ),
  );
}

const block = (text: string): string => `\`\`\`gcode\n${text.trimEnd()}\n\`\`\``;
