import { readFileSync } from 'node:fs';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import type { Finding } from '../../../server/src/rules/rule.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

/** A machine of test/fixtures/machines, by its file name without ending. */
export function fixtureMachine(name: string): Machine {
  const text = readFileSync(new URL(`../../fixtures/machines/${name}.machine.json`, import.meta.url), 'utf8');
  const { machine, problems } = readMachine(text);
  if (!machine || problems.length > 0) throw new Error(`${name}: ${JSON.stringify(problems)}`);
  return machine;
}

export const findingsOn = (text: string, role: Role, machine: Machine | null): readonly Finding[] =>
  analyze(text, role, machine, vocabularyFor(machine)).findings;

const MARK = /^; *(\^+) ?(.*)$/;

/**
 * A fixture without its marks. A mark is a comment line of carets under the line above it, then `rule: message`
 * (`; ^^^ off-bed: …`); in front of the rule stands its severity where that is not the rule's own. A span in the first
 * column needs a blank in front of its line, since the mark's own `;` stands there.
 */
export function unmark(fixture: string): string {
  return fixture
    .split('\n')
    .filter((line) => !MARK.test(line))
    .join('\n');
}

/** The text with a mark for every finding, as the fixture should read. */
export function mark(text: string, findings: readonly Finding[]): string {
  const lines = text.split('\n');
  const starts: number[] = [0];
  for (const line of lines) starts.push((starts[starts.length - 1] ?? 0) + line.length + 1);
  const out: string[] = [];
  lines.forEach((line, i) => {
    out.push(line);
    const from = starts[i] ?? 0;
    const to = from + line.length;
    for (const f of findings.filter((x) => x.span.start >= from && x.span.start <= to)) {
      const column = f.span.start - from;
      if (column === 0)
        throw new Error(`line ${i + 1} needs a blank in front, so that ${f.rule} can be marked: ${f.message}`);
      const width = Math.max(1, Math.min(f.span.end, to) - f.span.start);
      const when = f.when ? ` ${JSON.stringify(f.when)}` : '';
      out.push(`;${' '.repeat(column - 1)}${'^'.repeat(width)} ${f.severity} ${f.rule}: ${f.message}${when}`);
    }
  });
  return out.join('\n');
}
