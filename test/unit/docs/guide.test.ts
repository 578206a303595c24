import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { draftVocabulary } from '../../../server/src/drafting/draft.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

// What the guide shows is what a person who follows it gets: each of its texts is made again from those before it.

const guide = readFileSync(new URL('../../../docs/bring-your-own-sequence.md', import.meta.url), 'utf8').replaceAll(
  '\r\n',
  '\n',
);
const shown = (name: string): string =>
  new RegExp(`^\`\`\`\\w+ ${name}\\n([\\s\\S]*?)^\`\`\``, 'm').exec(guide)?.[1] ?? '';

const start = shown('siskin\\.start\\.gcode');
const end = shown('siskin\\.end\\.gcode');
const { machine, problems } = readMachine(shown('siskin\\.machine\\.json'));
const drafted = shown('siskin\\.placeholders\\.json');
const read = readVocabulary(drafted);
const names = vocabularyFor(machine, read.vocabulary);
const told = (text: string, role: 'start' | 'end', by = names): readonly string[] =>
  analyze(text, role, machine, by)
    .findings.filter(({ severity }) => severity === 'error' || severity === 'warning')
    .map(({ message }) => message);

describe('Bring your own sequence', () => {
  it('has a machine file without a problem', () => {
    expect(problems).toEqual([]);
    expect(machine).not.toBeNull();
  });
  it('shows what is told before there is a vocabulary, and nothing else is', () => {
    expect(told(start, 'start', vocabularyFor(machine))).toEqual([shown('check before').trim()]);
  });
  it('shows the draft of its two sequences, which loads without a problem', () => {
    const sources = [
      { name: 'siskin.start.gcode', text: start, role: 'start' as const },
      { name: 'siskin.end.gcode', text: end, role: 'end' as const },
    ];
    expect(draftVocabulary(sources, machine).text).toBe(drafted);
    expect(read.problems).toEqual([]);
  });
  it('shows what is told with it: the one mistake, which its change mends', () => {
    expect(told(start, 'start')).toEqual([shown('check after').trim()]);
    expect(told(end, 'end')).toEqual([]);
    expect(told(start.replace('X«figure_left - 4»', 'X6'), 'start')).toEqual([]);
  });
  it('shows the start sequence filled in for its job', () => {
    const filled = fillIn(analyze(start, 'start', machine, names), names, JSON.parse(shown('job\\.json')), false);
    expect(filled.problems).toEqual([]);
    expect(filled.text).toBe(shown('filled'));
  });
});
