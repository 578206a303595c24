import type { Expr } from '../placeholders/expression.ts';
import { jobsOver, usualValue } from '../placeholders/jobs.ts';
import type { Job, Vocabulary } from '../placeholders/vocabulary.ts';
import type { Finding, Report, Rule, View, When } from '../rules/rule.ts';
import { num } from '../rules/say.ts';
import { simulating } from '../simulate/simulate.ts';
import { between, lineAt, sectionAt } from '../syntax/at.ts';
import type { Line, Tag } from '../syntax/nodes.ts';
import { once } from '../text/once.ts';
import { finish, Pace, PIECE, type Pieces } from '../text/pieces.ts';
import type { Span } from '../text/span.ts';
import { type ExactRun, runsOf } from './beginnings.ts';
import { type Cases, casesOf } from './cases.ts';
import { countingIn, keyed, keyedNames, type Needed, neededFor, stepsIn } from './needed.ts';
import { reachingOf, slicesOf } from './slices.ts';
import { comparedValues, decidingNames, fewestNames, realJob, type Shown } from './witness.ts';

/** Something that may happen by the bounds while no job has shown it. */
export interface Open {
  readonly rule: string;
  readonly span: Span;
  readonly message: string;
}

export interface RuleResults {
  /** In the order of the text. */
  readonly findings: readonly Finding[];
  readonly open: readonly Open[];
}

/** Names that the beginning of every sequence but the start depends on, whether or not a tag names them. */
const BEGINNING = ['last.x', 'last.y', 'part.top', 'layer.top', 'heat.nozzle.later', 'heat.bed.later', 'heat.chamber'];
/** The same where the machine has several tools. */
const TOOL = 'tool.number';
/** Names that pick a tool: much hangs on them, in sections or not. */
const PICKING = [TOOL, 'tool.next'];

/**
 * Runs every rule over the bounds run; what is certain there is a finding. What only may happen is looked for in exact
 * jobs, and is a finding with the first job that shows it. A rule that crashes becomes a finding about that rule.
 */
export const check = (view: View, rules: readonly Rule[]): RuleResults => finish(checking(view, rules));

/** The same in pieces. */
export function* checking(view: View, rules: readonly Rule[]): Pieces<RuleResults> {
  const findings: Finding[] = [];
  const open: Opened = new Map();
  const crashes: Crashes = new Map();
  const told: (readonly [Rule, readonly Report[]])[] = [];
  const pace = new Pace();
  for (const rule of rules) {
    if (pace.due(unitsOf(view))) yield;
    const most = MOST_OF_A_RULE;
    const reports = yield* reportsOf(rule, view, crashes, OVER_BOUNDS, most);
    if (reports.length > 0) told.push([rule, reports]);
    for (const report of reports) {
      if (isCertain(report)) findings.push(finding(rule, report, null));
      else if (!open.has(key(rule, report))) open.set(key(rule, report), { rule, report });
    }
  }
  if (open.size > 0) yield* confirm(view, open, findings, crashes);
  if (open.size > 0)
    yield* ruleOut(view, open, new Set(told.flatMap(([rule, all]) => all.map((one) => key(rule, one)))), crashes);
  findings.push(...crashes.values());
  findings.sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end);
  return {
    findings: unique(findings),
    open: [...open.values()].map(({ rule, report }) => ({ rule: rule.id, span: report.span, message: report.message })),
  };
}

/** What is open, by key. */
type Opened = Map<string, { readonly rule: Rule; readonly report: Report }>;

const isCertain = (report: Report): boolean => (report.certain ?? true) && (report.step?.certain ?? true);
const key = (rule: Rule, report: Report): string =>
  `${rule.id} ${report.span.start} ${report.span.end} ${report.about ?? ''}`;
const finding = (rule: Rule, report: Report, when: When | null): Finding => ({
  rule: rule.id,
  severity: report.severity ?? rule.severity,
  span: { start: report.span.start, end: report.span.end },
  message: report.message,
  when,
  ...(report.related ? { related: report.related } : {}),
  ...(report.about ? { about: report.about } : {}),
});

/** A rule that does not work in pieces looks at each command, most often to see that it is none of its own. */
const unitsOf = ({ commands, tree }: View): number => 1 + ((commands.length + tree.tags.length) >> 4);

/** More findings of one rule than this help nobody: a file of another kind would give one for every line. */
const MOST_OF_A_RULE = 2000;

/** The first crash of each rule, as a finding in its stead. */
type Crashes = Map<Rule, Finding>;

/** What makes the exact job of a run; null: it is over bounds. Asked where a rule crashes. */
type JobOf = () => When | null;
const OVER_BOUNDS: JobOf = () => null;

/** The reports of one rule, `most` at most. A crash inside it is noted, and other rules go on. */
function run(rule: Rule, view: View, crashes: Crashes, job: JobOf, most?: number): Report[] {
  const { reports, add } = collected(most);
  try {
    rule.check(view, add);
  } catch (error) {
    noteCrash(crashes, rule, error, job);
  }
  return reports;
}

/** The same in pieces. */
function* running(rule: Rule, view: View, crashes: Crashes, job: JobOf, most?: number): Pieces<Report[]> {
  const { reports, add } = collected(most);
  try {
    if (rule.pieces) yield* rule.pieces(view, add);
    else rule.check(view, add);
  } catch (error) {
    noteCrash(crashes, rule, error, job);
  }
  return reports;
}

/** The one or the other, as the view is short or long. */
function* reportsOf(rule: Rule, view: View, crashes: Crashes, job: JobOf, most?: number): Pieces<Report[]> {
  return isShort(view) ? run(rule, view, crashes, job, most) : yield* running(rule, view, crashes, job, most);
}

function noteCrash(crashes: Crashes, rule: Rule, error: unknown, job: JobOf): void {
  if (!crashes.has(rule)) crashes.set(rule, crashed(rule, error, job()));
}

/** A view that a rule goes through in one piece: hundreds of jobs are run on it, and a generator for each is a lot. */
const isShort = ({ commands, tree }: View): boolean => commands.length + tree.tags.length <= PIECE;

function collected(most = Number.POSITIVE_INFINITY): { reports: Report[]; add: (report: Report) => void } {
  const reports: Report[] = [];
  const add = (report: Report): void => {
    if (reports.length + 1 < most) reports.push(report);
    else if (reports.length + 1 === most)
      reports.push({
        ...report,
        message: `${report.message} There are more of these further down; only the first ${most} are shown.`,
      });
  };
  return { reports, add };
}

/** The id of the finding that a rule crashed; it is about that rule. */
export const RULE_FAILED = 'rule-failed';

/** A crash of a rule as a finding. `job`: the names that make the exact job in which it crashed; null: over bounds. */
export function crashed(rule: Rule, error: unknown, job: When | null): Finding {
  const reason = error instanceof Error ? error.message : String(error);
  const where = job === null ? '' : ' in one of the jobs that were tried';
  return {
    rule: RULE_FAILED,
    severity: 'error',
    span: { start: 0, end: 0 },
    message: `The rule ${rule.id} failed${where} (${reason}), so what it checks is not known here. The other rules are not affected. Please report this.`,
    when: job,
    about: rule.id,
  };
}

/** Looks for witnesses: moves every open report that an exact job shows from `open` to `findings`. */
function* confirm(view: View, open: Opened, findings: Finding[], crashes: Crashes): Pieces<void> {
  const { names, near } = nearestFirst(view, open);
  const { vocabulary } = view;
  const bed = view.machine?.bed ?? null;
  const rules = [...new Set([...open.values()].map((o) => o.rule))];
  const reports = [...open.values()].map((o) => o.report);
  const needed = neededFor(view, reports);
  const counting = countingIn(view, needed, alwaysCounting(view, reports));
  // Jobs that agree in these are one job to what is open.
  const telling = names.filter((name) => counting.has(name));
  const part: View = { ...view, items: needed.items };
  const { exact, isSpent } = exactRuns(
    part,
    names,
    { telling, runOf: runsOf(part, telling, counting) },
    rules,
    crashes,
  );
  const tried = new Set<string>();
  const more = comparedValues(vocabulary, exprsOf(view, needed), conditionsOf(view, needed), insideKeepOuts(view));
  const tryOut = function* (candidate: Job): Pieces<void> {
    const job = realJob(bed, vocabulary, candidate);
    const id = job && idOf(job, telling);
    if (!job || !id || tried.has(id)) return;
    tried.add(id);
    if (isSpent() && tried.size > FEWEST_JOBS) return;
    yield* show(job);
  };
  const show = function* (job: Job): Pieces<void> {
    for (const [id, report] of yield* exact(job)) {
      const rule = open.get(id)?.rule;
      if (!rule) continue;
      open.delete(id);
      // The simplest job is looked for as long as there is time for it; any other shows the same.
      const shows = function* (other: Job): Pieces<Report | null> {
        if (isSpent() || realJob(bed, vocabulary, other) !== other) return null;
        return (yield* exact(other)).get(id) ?? null;
      };
      const shown = yield* fewestNames(vocabulary, names, { job, report }, shows);
      // A job that there is no time to run counts as showing it: then no name is said to decide it that may not.
      const still = function* (other: Job): Pieces<Report | null> {
        return isSpent() ? report : yield* shows(other);
      };
      const deciding = () => decidingNames(vocabulary, names, still, more);
      const when = yield* whenOf(view, shown, names, deciding);
      findings.push(
        finding(rule, { ...shown.report, message: `${shown.report.message} ${example(vocabulary, when)}` }, when),
      );
    }
  };
  for (const candidate of jobsOver(vocabulary, names, MOST_RANDOM, more, near, counting.reaches)) {
    yield* tryOut(candidate);
    if (open.size === 0) return;
    if (isSpent() && tried.size > FEWEST_JOBS) break;
  }
  // What no job of the search has shown may need a narrow slice of values, which the bounds tell.
  let left = MOST_WORKED_OUT;
  for (const candidate of workedOut(view, open)) {
    const job = realJob(bed, vocabulary, candidate);
    if (!job || tried.has(idOf(job, telling))) continue;
    tried.add(idOf(job, telling));
    yield* show(job);
    if (open.size === 0 || --left === 0) return;
  }
}

/** Jobs that are made for what is open as long as it is. */
function* workedOut(view: View, open: Opened): Generator<Job> {
  yield* reachingOf(view);
  // What is worked out at one place goes through all that is known there, which a long text has much of.
  for (const [id, { report }] of [...open].slice(0, MOST_WORKED_OUT))
    for (const job of report.step ? slicesOf(view, report.step) : []) {
      if (!open.has(id)) break;
      yield job;
    }
}

/**
 * Takes out of `open` what cannot happen after all: it happens in no case of a name, and every job is in one of them.
 * A rule that tells something there which it has not told of all jobs at once is left alone: it may be the same matter,
 * at another place.
 */
function* ruleOut(view: View, open: Opened, reported: ReadonlySet<string>, crashes: Crashes): Pieces<void> {
  const reports = [...open.values()].map((o) => o.report);
  const needed = neededForAll(view, open);
  const size = stepsIn(view, needed);
  const part: View = { ...view, items: needed.items };
  const counting = countingIn(view, needed, alwaysCounting(view, reports));
  const splits = allCases(view, needed).filter(({ name }) => counting.reaches(name));
  for (const { envs } of splits.slice(0, MOST_SPLIT)) {
    if (open.size === 0) return;
    if (size * envs.length > MOST_STEPS) continue;
    const rules = new Set([...open.values()].map((o) => o.rule));
    const happens = new Set<string>();
    for (const env of envs) {
      yield;
      const inCase: View = { ...part, trace: yield* simulating(part, env) };
      for (const rule of rules) {
        const failed: Crashes = new Map();
        const reports = yield* reportsOf(rule, inCase, failed, OVER_BOUNDS);
        for (const [own, crash] of failed) if (!crashes.has(own)) crashes.set(own, crash);
        const keys = reports.map((report) => key(rule, report));
        for (const one of keys) happens.add(one);
        if (failed.size > 0 || keys.some((one) => !reported.has(one))) rules.delete(rule);
      }
    }
    for (const [id, { rule }] of open) if (rules.has(rule) && !happens.has(id)) open.delete(id);
  }
}

/**
 * As much of the text as tells whether what is open happens in a case. A rule that judges a place by the lines up to it
 * tells nothing further down in a case that it has not told of all jobs; any other may tell the same matter there.
 */
function neededForAll(view: View, open: Opened): Needed {
  const isLocal = [...open.values()].every(({ rule }) => rule.scope !== 'whole');
  return neededFor(view, isLocal ? [...open.values()].map((o) => o.report) : [{ span: NOWHERE, message: '' }]);
}

const NOWHERE: Span = { start: 0, end: 0 };

/** The cases of names that pick a tool, and of those on which sections hang. */
function allCases(view: View, needed: Needed): Cases[] {
  const used = new Set(namesUsed(view));
  const picking = PICKING.map((name) => ownName(view, name)).filter((name) => used.has(name));
  return casesOf(view.vocabulary, exprsOf(view, needed), conditionsOf(view, needed), picking);
}

/** Names whose cases are gone through. */
const MOST_SPLIT = 4;

/**
 * Steps of exact jobs that are run in the search, and jobs that are tried in any case: a long text gets fewer of them,
 * so that findings keep up with typing. What is not found within that stays open.
 */
const MOST_STEPS = 4000;
/** Steps that making a job and asking the rules takes as long as, however few it has itself. */
const STEPS_OF_A_RUN = 16;
const FEWEST_JOBS = 8;
const MOST_RANDOM = 16;
/** Jobs that are worked out where the search has shown nothing: each is as good as made for what is open. */
const MOST_WORKED_OUT = 48;

/** Lengths that lie in the middle of a keep-out along one of its axes: jobs that may meet it. */
const insideKeepOuts = ({ machine }: View): number[] =>
  (machine?.keepOut ?? []).flatMap((box) => [
    (box.left + box.right) / 2,
    (box.front + box.back) / 2,
    (box.bottom + box.top) / 2,
  ]);

/** The names that jobs vary: first the `near` ones of the places that are open, since they most likely decide. */
function nearestFirst(
  view: View,
  open: ReadonlyMap<string, { readonly report: Report }>,
): { readonly names: string[]; readonly near: number } {
  const places = new Set<string>();
  const asked = new Set(namesUsed(view));
  for (const { report } of open.values()) {
    for (const name of report.names ?? namesOnLine(view, report.span)) places.add(name);
    // What a rule names decides it, though no tag may hold it.
    for (const name of report.names ?? []) if (view.vocabulary.names.has(name) && hasValue(view, name)) asked.add(name);
  }
  const used = [...asked];
  const near = used.filter((name) => places.has(name));
  const rest = used.filter((name) => !places.has(name));
  return { names: [...near, ...rest], near: near.length > 0 ? near.length : rest.length };
}

const exprsOf = (view: View, { end }: Needed): Expr[] =>
  [...view.expressions].flatMap(([tag, { expr }]) => (expr && tag.span.start < end ? keyed(view, tag, expr) : []));

const conditionsOf = (view: View, { end }: Needed): Expr[] =>
  [...view.expressions].flatMap(([tag, { expr }]) =>
    expr && tag.span.start < end && (tag.kind === 'section' || tag.kind === 'inverted') ? keyed(view, tag, expr) : [],
  );

const idOf = (job: Job, names: readonly string[]): string => JSON.stringify(names.map((name) => job.get(name)));

/** How exact jobs are run, and the names by which one is told from another here. */
interface Running {
  readonly telling: readonly string[];
  readonly runOf: (job: Job) => Pieces<ExactRun>;
}

/** What exact jobs certainly show, by key. Each job is run once, however many findings ask for it. */
function exactRuns(
  view: View,
  names: readonly string[],
  { telling, runOf }: Running,
  rules: readonly Rule[],
  crashes: Crashes,
): Exact {
  const done = new Map<string, Map<string, Report>>();
  let steps = 0;
  const pace = new Pace();
  const exact = function* (job: Job): Pieces<Map<string, Report>> {
    const id = idOf(job, telling);
    const known = done.get(id);
    if (known) return known;
    const shown = new Map<string, Report>();
    const { trace, own } = yield* runOf(job);
    const exactView: View = { ...view, trace };
    const when = (): When => valuesIn(job, awayFromUsual(view, job, names));
    for (const rule of rules) {
      for (const report of yield* reportsOf(rule, exactView, crashes, when))
        if (isCertain(report) && !shown.has(key(rule, report))) shown.set(key(rule, report), report);
    }
    done.set(id, shown);
    // Lists in lists are gone through many times, though a turn may have no step.
    steps += own + trace.passes + STEPS_OF_A_RUN;
    if (pace.due(1 + own)) yield;
    return shown;
  };
  return { exact, isSpent: () => steps > MOST_STEPS };
}

/** Exact runs of one text, and whether as many of them have been made as there is time for. */
interface Exact {
  readonly exact: (job: Job) => Pieces<Map<string, Report>>;
  readonly isSpent: () => boolean;
}

/** Whether a job has a value for this name when a sequence of this role runs. */
function hasValue({ vocabulary, role }: View, name: string): boolean {
  const roles = vocabulary.names.get(name)?.roles;
  return !roles || roles.includes(role);
}

/** What a vocabulary file calls a built-in name. */
const ownName = ({ vocabulary }: View, name: string): string => vocabulary.standIns?.get(name) ?? name;

/** Whether a text of this role begins in the middle of a job. */
const beginsPrinting = ({ role }: View): boolean => role !== 'start' && role !== 'program';

function namesUsed(view: View): string[] {
  const begins = beginsPrinting(view);
  const several = (view.machine?.tools ?? 1) > 1;
  const beginning = begins ? [...BEGINNING, ...(several ? [TOOL] : [])].map((name) => ownName(view, name)) : [];
  const names = new Set<string>(beginning.filter((name) => hasValue(view, name)));
  for (const [tag, { expr }] of view.expressions)
    if (expr) for (const name of keyedNames(view, tag, expr)) names.add(name);
  return [...names];
}

/** Names that count for a run or a rule though no tag may hold them. */
const alwaysCounting = (view: View, reports: readonly Report[]): string[] => [
  ...[...(beginsPrinting(view) ? BEGINNING : []), ...PICKING].map((name) => ownName(view, name)),
  ...reports.flatMap(({ names }) => names ?? []),
];

/** The names that make this job a witness: those away from their usual value; in the usual job those that decide it. */
function* whenOf(
  view: View,
  { job, report }: Shown,
  names: readonly string[],
  deciding: () => Pieces<string[]>,
): Pieces<When> {
  const valuesOf = (chosen: readonly string[]): When => valuesIn(job, chosen);
  const away = awayFromUsual(view, job, names);
  if (away.length > 0) return valuesOf(away);
  const line = lineAt(view.tree, report.span.start);
  for (const near of [() => namesOnLine(view, report.span), () => namesOfLine(view, line)]) {
    const here = valuesOf(report.names ?? near());
    if (Object.keys(here).length > 0) return here;
  }
  return valuesOf(yield* deciding());
}

const valuesIn = (job: Job, names: readonly string[]): When =>
  Object.fromEntries(
    names.flatMap((name) => {
      const value = job.get(name);
      return value === undefined ? [] : [[name, value] as const];
    }),
  );

/** The names that have another value in this job than their usual one. */
const awayFromUsual = ({ vocabulary }: View, job: Job, names: readonly string[]): string[] =>
  names.filter((name) => {
    const known = vocabulary.names.get(name);
    return known && !known.fromMachine && job.get(name) !== usualValue(known);
  });

const NAMES_OF_LINES = once((_: View['expressions']) => new Map<Line, readonly string[]>());

/** The names of the vocabulary on a whole line. It may be very long and have many findings, so that they are kept. */
function namesOfLine(view: View, line: Line): readonly string[] {
  const lines = NAMES_OF_LINES(view.expressions);
  const names = lines.get(line) ?? namesOnLine(view, line.span).filter((name) => view.vocabulary.names.has(name));
  lines.set(line, names);
  return names;
}

/** Sections around a place whose conditions are looked at; further out they say little of what happens there. */
const MOST_AROUND = 16;

/** The names in the tags at a place and in the conditions of the sections around it. */
function namesOnLine(view: View, span: Span): string[] {
  const { tree, expressions } = view;
  const names = new Set<string>();
  const add = (tag: Tag): void => {
    const expr = expressions.get(tag)?.expr;
    if (expr) for (const name of keyedNames(view, tag, expr)) names.add(name);
  };
  const around: Tag[] = [];
  let section = sectionAt(tree, span.start);
  for (let depth = 0; section && depth < MOST_AROUND; depth++) {
    if (section.span.end >= span.end && section.open.span.end < span.start) around.push(section.open);
    section = section.parent;
  }
  around.reverse().forEach(add);
  between(tree.tags, span).forEach(add);
  return [...names];
}

/** "For example when part.top is 243." */
function example(vocabulary: Vocabulary, when: When): string {
  const parts = Object.entries(when).map(([name, value]) => {
    const known = vocabulary.names.get(name);
    const element = /^(.+)\[\]\.(.+)$/.exec(name);
    const what = element
      ? `${element[2]} of ${known?.rising ? 'the first' : 'each'} of ${element[1]}`
      : known?.hidden
        ? known.meaning.replace(/\.$/, '')
        : known?.kind === 'list'
          ? `the number of ${name}`
          : name;
    return `${what} is ${typeof value === 'number' ? num(value) : value === '' ? 'empty' : String(value)}`;
  });
  return parts.length > 0 ? `For example when ${parts.join(' and ')}.` : 'This happens in the usual job.';
}

/** Two runs of one place (a list's turns) say the same thing once. The findings are in the order of their places. */
function unique(findings: readonly Finding[]): Finding[] {
  const samePlace = (a: Finding, b: Finding | undefined): boolean =>
    a.span.start === b?.span.start && a.span.end === b.span.end;
  const seen = new Set<string>();
  return findings.filter((f, i) => {
    const again = samePlace(f, findings[i - 1]);
    if (!again && seen.size > 0) seen.clear();
    // Mostly a place has one finding, of which nothing need be remembered.
    if (!again && !samePlace(f, findings[i + 1])) return true;
    const id = `${f.rule} ${f.message}`;
    if (seen.has(id)) return false;
    seen.add(id);
    return true;
  });
}
