import type { Edit, Finding, When } from '../rules/rule.ts';
import { finish, type Pieces } from '../text/pieces.ts';
import type { Span } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import { fixesOf } from './fixes.ts';
import { ignoresFor } from './ignore.ts';

/** Something that can be done about a finding with one click. */
export interface Action {
  readonly title: string;
  readonly edits: readonly Edit[];
  /** The one thing that is clearly meant. */
  readonly preferred: boolean;
  /** The finding that it is for. */
  readonly finding: Finding;
  /** Instead of edits: show the sequence filled in for this job. */
  readonly show: When | null;
}

/** More findings than these at one place get no more actions: nobody reads such a list. */
const MOST_FINDINGS = 20;

/** What can be done about the findings that the span touches, in the order of the findings. */
export const actions = (a: Analysis, at: Span, findings: readonly Finding[] = a.findings): Action[] =>
  finish(acting(a, at, findings));

/** The same in pieces. */
export function* acting(a: Analysis, at: Span, findings: readonly Finding[] = a.findings): Pieces<Action[]> {
  const near = findings.filter(({ span }) => span.start <= at.end && span.end >= at.start);
  const all: Action[] = [];
  for (const finding of near.slice(0, MOST_FINDINGS)) {
    all.push(...fixed(a, finding), ...shown(finding), ...ignored(a, finding));
    yield;
  }
  return all;
}

function shown(finding: Finding): Action[] {
  const title = 'Show the sequence filled in for this job';
  return finding.when ? [{ title, edits: [], preferred: false, finding, show: finding.when }] : [];
}

function fixed(a: Analysis, finding: Finding): Action[] {
  return fixesOf(a, finding).map(({ title, edits, safe, preferred = safe }) => ({
    ...{ title, edits, preferred, finding },
    show: null,
  }));
}

function ignored(a: Analysis, finding: Finding): Action[] {
  return ignoresFor(a, finding).map(({ title, edit }) => ({
    ...{ title, edits: [edit], preferred: false, finding },
    show: null,
  }));
}
