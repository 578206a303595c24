import { inCase } from '../commands/named.ts';
import type { Traits } from '../machine/machine.ts';
import { lineAt } from '../syntax/at.ts';
import type { Line, Tree } from '../syntax/nodes.ts';
import { type Span, slice } from '../text/span.ts';
import { noMachine } from './blind.ts';
import type { Rule } from './rule.ts';
import { strayStarts } from './stray.ts';

/** Letters in a case that the controller does not read. */
export const lowerCase: Rule = {
  id: 'lower-case',
  severity: 'error',
  title: 'Letters in a case that the controller does not read',
  scope: 'spelling',
  check(view, report) {
    const { machine, tree } = view;
    const traits = machine?.controller;
    if (!traits || (!traits.upperCase && !namedCase(traits))) return;
    const onlyCapitals = traits.upperCase && namedCase(traits) === 'upper';
    const stray = strayStarts(tree);
    for (const line of tree.lines) {
      if (onlyCapitals && !hasSmall(tree.text, line.span)) continue;
      const [first] = misread(tree, line, traits);
      if (!first || first.span.start > stray(line)) continue;
      const { read, named } = first;
      const what = read === 'lower' ? 'small letters' : 'capitals';
      report({
        span: first.span,
        message: `${machine.name} reads ${what} only${named && traits.namedCommands.case ? ' in named commands' : ''}, so this line is passed over or refused. Write it in ${read} case.`,
      });
    }
  },
  blind: noMachine,
  fix({ tree, machine }, { span }) {
    const line = lineAt(tree, span.start);
    if (!machine) return [];
    const wrong = misread(tree, line, machine.controller);
    const edits = wrong.map((one) => ({ span: one.span, text: inCase(slice(tree.text, one.span), one.read) }));
    const [only, ...others] = new Set(wrong.map(({ read }) => read));
    const title = `Write the line in ${others.length > 0 ? 'the case that is read' : `${only} case`}`;
    // A checksum counts the letters as they stand.
    return edits.length > 0 ? [{ title, edits, safe: !line.checksum, preferred: true }] : [];
  },
};

/** Whether there is a small letter at all: true of few lines, and found without taking them apart. */
function hasSmall(text: string, { start, end }: Span): boolean {
  for (let i = start; i < end; i++) {
    const c = text.charCodeAt(i);
    if (c >= 97 && c <= 122) return true;
  }
  return false;
}

/** The only case in which names and words of named commands are read; null where both are. */
const namedCase = ({ namedCommands, upperCase }: Traits): 'upper' | 'lower' | null =>
  namedCommands.case === 'any' ? null : (namedCommands.case ?? (upperCase ? 'upper' : null));

/** A code, name or key in another case than the one that is read. */
interface Misread {
  readonly span: Span;
  readonly read: 'upper' | 'lower';
  /** It belongs to a named command. */
  readonly named: boolean;
}

/** Codes, names and keys of a line that are in the wrong case, in order. */
function misread({ text }: Tree, line: Line, traits: Traits): Misread[] {
  const ofCodes = traits.upperCase ? 'upper' : null;
  const found: Misread[] = [];
  const look = (span: Span, read: 'upper' | 'lower' | null, named: boolean): void => {
    if (read && inCase(slice(text, span), read) !== slice(text, span)) found.push({ span, read, named });
  };
  if (line.number) look(line.number.keySpan, ofCodes, false);
  for (const { codeSpan, named, words } of line.commands) {
    const end = named ? codeSpan.end : Math.min(codeSpan.end, codeSpan.start + 1);
    const read = named ? namedCase(traits) : ofCodes;
    look({ start: codeSpan.start, end }, read, named);
    for (const { keySpan } of words) if (keySpan.start >= codeSpan.end) look(keySpan, read, named);
  }
  return found;
}
