import { findRecordWord, writtenKey } from '../commands/record.ts';
import { namesIn } from '../placeholders/expression.ts';
import { RULES } from '../rules/all.ts';
import { commandAt } from '../rules/edits.ts';
import { breaksNumbers } from '../rules/lines.ts';
import type { Edit, Finding, Fix } from '../rules/rule.ts';
import { likelyNames } from '../rules/unknownPlaceholder.ts';
import { lastBefore, lineAt, wordAt } from '../syntax/at.ts';
import type { Problem, Tree } from '../syntax/nodes.ts';
import { nearest } from '../text/nearest.ts';
import { once } from '../text/once.ts';
import { type Span, slice } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import { clampEdit } from './clamp.ts';
import { closeSectionEdit, closeTagEdit } from './closeTags.ts';
import { ownerOf } from './steps.ts';

/** What can be done about a finding, best first: what its rule offers, and what needs more than a rule knows. */
export function fixesOf(a: Analysis, finding: Finding): readonly Fix[] {
  return [...ofRule(a, finding), ...others(a, finding)];
}

const BY_ID = new Map(RULES.map((rule) => [rule.id, rule]));

/** A rule that crashes here has no fix; the finding stays. */
function ofRule(a: Analysis, finding: Finding): readonly Fix[] {
  try {
    const fixes = BY_ID.get(finding.rule)?.fix?.(a, finding) ?? [];
    return fixes.map((fix) => (fix.safe && breaksNumbers(a.tree, fix.edits) ? { ...fix, safe: false } : fix));
  } catch {
    return [];
  }
}

function others(a: Analysis, finding: Finding): Fix[] {
  const edit = (title: string, ...edits: Edit[]): Fix[] => [{ title, edits, safe: false, preferred: true }];
  switch (finding.rule) {
    case 'unknown-placeholder':
      return candidates(a, finding.span, namesFor(a, finding)).map((fix) => withClosingTag(a, fix));
    case 'unknown-command':
      return candidates(a, finding.span, commandsFor(a, finding));
    case 'unknown-word': {
      const word = wordAt(lineAt(a.tree, finding.span.start), finding.span.start);
      return word ? candidates(a, word.keySpan, wordsFor(a, finding)) : [];
    }
    case 'bad-number':
    case 'unclosed-placeholder':
    case 'stray-text': {
      const problem = problemsAt(a.tree)
        .get(finding.span.start)
        ?.find(({ span, message }) => isAt(finding, span) && message === finding.message);
      if (!problem) return [];
      const { replacement, kind, span } = problem;
      const close = kind === 'unclosed-tag' ? closeTagEdit(a, span) : null;
      if (close) return edit('Close the tag', close);
      if (replacement !== undefined)
        return edit(kind === 'unclosed-tag' ? 'Close the tag' : writeTitle(replacement), { span, text: replacement });
      const end = kind === 'unclosed-section' ? closeSectionEdit(a, span) : null;
      return end ? edit(`Close the section with ${short(end.text.trim())}`, end) : [];
    }
    case 'beyond-reach': {
      const clamp = clampEdit(a, finding);
      return clamp ? edit(`Keep it within the machine’s reach: ${short(clamp.text)}`, clamp) : [];
    }
    case 'off-bed': {
      const clamp = clampEdit(a, finding, 'bed');
      return clamp ? edit(`Keep it on the bed: ${short(clamp.text)}`, clamp) : [];
    }
    default:
      return [];
  }
}

const problemsAt = once(({ problems }: Tree) => {
  const found = new Map<number, Problem[]>();
  for (const one of problems) {
    const same = found.get(one.span.start);
    if (same) same.push(one);
    else found.set(one.span.start, [one]);
  }
  return found;
});

const isAt = ({ span }: Finding, at: Span): boolean => span.start === at.start && span.end === at.end;
const short = (text: string): string => (text.length > 60 ? `${text.slice(0, 60)}…` : text);

/** Replacements of look-alikes may be a blank, or nothing at all. */
const writeTitle = (text: string): string =>
  text === '' ? 'Remove what cannot be seen here' : text.trim() === '' ? 'Write a plain space' : `Write ${short(text)}`;

/** A closing tag that repeats the section's text changes with it: else the section would no longer be closed. */
function withClosingTag({ tree }: Analysis, fix: Fix): Fix {
  const [edit] = fix.edits;
  if (!edit) return fix;
  const { start, end } = edit.span;
  const section = lastBefore(tree.sections, start);
  const close = section?.close;
  if (
    !section ||
    section.open.inner.start > start ||
    section.open.inner.end < end ||
    close?.kind !== 'close' ||
    close.inner.start === close.inner.end
  )
    return fix;
  const { inner } = section.open;
  const text = tree.text.slice(inner.start, start) + edit.text + tree.text.slice(end, inner.end);
  return { ...fix, edits: [edit, { span: close.inner, text }] };
}

function candidates(a: Analysis, span: Span, names: readonly string[]): Fix[] {
  const written = slice(a.tree.text, span);
  return names
    .filter((name) => name !== written)
    .map((name) => ({
      title: `Change “${short(written)}” to “${name}”`,
      edits: [{ span, text: name }],
      safe: false,
      preferred: names.length === 1,
    }));
}

function namesFor(a: Analysis, finding: Finding): readonly string[] {
  const tag = lastBefore(a.tree.tags, finding.span.start);
  const expr = tag && a.expressions.get(tag)?.expr;
  const use = expr && namesIn(expr).find(({ span }) => isAt(finding, span));
  return tag && use && use.name !== '.' ? likelyNames(a, tag, use.name) : [];
}

function commandsFor(a: Analysis, finding: Finding): readonly string[] {
  const found = commandAt(a, finding.span.start);
  const { record, node } = found ?? {};
  return found && !record && node?.code && isAt(finding, node.codeSpan) ? a.catalog.suggest(found.code) : [];
}

function wordsFor(a: Analysis, finding: Finding): readonly string[] {
  const line = lineAt(a.tree, finding.span.start);
  const word = wordAt(line, finding.span.start);
  const record = word && ownerOf(a, line, word)?.record;
  if (!record || word.key.length < 2 || findRecordWord(record, word.key)) return [];
  const given = new Set(ownerOf(a, line, word)?.words.map(({ key }) => key));
  const keys = record.words.map(({ key }) => key).filter((key) => !given.has(key));
  return nearest(word.key, keys).map((key) => writtenKey(record, key));
}
