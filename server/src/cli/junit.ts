import type { Chosen } from './choose.ts';
import { type FileReport, nameOf, type ToldFinding } from './report.ts';

/**
 * The reports as JUnit XML, which has no standard: a suite for each file, in it a case for each rule that found something.
 * An error fails its case; what is weaker passes and is told in the case's output. What could not be checked is a case
 * with an error, in a suite of its own.
 */
export function toJunit(reports: readonly Chosen[], failures: readonly string[]): string {
  const suites = reports.map(({ told }) => suiteOf(told));
  if (failures.length > 0) suites.push(failuresOf(failures));
  const sum = (of: (suite: Suite) => number): number => suites.reduce((all, suite) => all + of(suite), 0);
  const heads = `tests="${sum((s) => s.tests)}" failures="${sum((s) => s.failures)}" errors="${sum((s) => s.errors)}"`;
  const rows = suites.map((suite) => suite.xml).join('');
  return `<?xml version="1.0" encoding="UTF-8"?>\n<testsuites name="Bookend" ${heads}>\n${rows}</testsuites>\n`;
}

interface Suite {
  readonly tests: number;
  readonly failures: number;
  readonly errors: number;
  readonly xml: string;
}

function suiteOf(told: FileReport): Suite {
  const name = nameOf(told);
  const rules = new Map<string, ToldFinding[]>();
  for (const finding of told.findings) rules.set(finding.rule, [...(rules.get(finding.rule) ?? []), finding]);
  const cases = [...rules].map(([rule, found]) => {
    const errors = found.filter(({ severity }) => severity === 'error');
    const rows = found.map((one) => `${name}:${one.line}:${one.column}: ${one.severity}: ${one.message}`).join('\n');
    const open = `    <testcase classname="${xml(name)}" name="${xml(rule)}">`;
    const [first] = errors;
    if (!first) return `${open}\n      <system-out>${xml(rows)}</system-out>\n    </testcase>\n`;
    const message = `message="${xml(`line ${first.line}: ${first.message}`)}"`;
    return `${open}\n      <failure type="${xml(rule)}" ${message}>${xml(rows)}</failure>\n    </testcase>\n`;
  });
  const failures = [...rules.values()].filter((found) => found.some(({ severity }) => severity === 'error')).length;
  if (cases.length === 0) cases.push(`    <testcase classname="${xml(name)}" name="no finding"/>\n`);
  return suite(name, { tests: cases.length, failures, errors: 0 }, cases.join(''));
}

function failuresOf(failures: readonly string[]): Suite {
  const cases = failures.map(
    (text, i) =>
      `    <testcase classname="bookend" name="could be checked ${i + 1}">\n      <error message="${xml(text)}"/>\n    </testcase>\n`,
  );
  return suite('bookend', { tests: cases.length, failures: 0, errors: cases.length }, cases.join(''));
}

function suite(name: string, counts: Omit<Suite, 'xml'>, cases: string): Suite {
  const { tests, failures, errors } = counts;
  const heads = `tests="${tests}" failures="${failures}" errors="${errors}"`;
  return { ...counts, xml: `  <testsuite name="${xml(name)}" ${heads}>\n${cases}  </testsuite>\n` };
}

const MARKUP: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  '\n': '&#10;',
};

/** Text in XML 1.0 (section 2.2): characters that it cannot hold become U+FFFD. */
const xml = (text: string): string =>
  text
    .replace(/[^\t\n\u0020-\ud7ff\ue000-\ufffd]/gu, (char) => (char.length === 2 ? char : '\ufffd'))
    .replace(/[&<>"\n]/g, (char) => MARKUP[char] ?? char);
