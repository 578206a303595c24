import { RULES } from '../rules/all.ts';
import type { Severity } from '../rules/rule.ts';
import type { Chosen } from './choose.ts';
import type { FileReport, ReportPlace, ToldFinding } from './report.ts';

/** SARIF 2.1.0 section 3.27.10: of our four severities the two weakest are notes. */
const LEVEL: Readonly<Record<Severity, 'error' | 'warning' | 'note'>> = {
  error: 'error',
  warning: 'warning',
  info: 'note',
  hint: 'note',
};

/** What else the run has to tell. */
export interface RunFacts {
  readonly version: string;
  readonly exitCode: number;
  /** Why something could not be checked, as it was told. */
  readonly failures: readonly string[];
}

/** The reports as a SARIF 2.1.0 log (OASIS Standard, 27 March 2020), one run. */
export function toSarif(reports: readonly Chosen[], { version, exitCode, failures }: RunFacts): string {
  const artifacts = artifactsOf(reports.map(({ told }) => told));
  const rules = rulesOf(reports.map(({ told }) => told));
  const ids = rules.map(({ id }) => id);
  const results = reports.flatMap(({ told }) => {
    const index = artifacts.indexOf(told);
    return [
      ...told.findings.map((one) => resultOf(one, ids.indexOf(one.rule), index)),
      ...told.undecided.map((one) => openOf(one, ids.indexOf(one.rule), index)),
    ];
  });
  const log = {
    $schema: 'https://json.schemastore.org/sarif-2.1.0.json',
    version: '2.1.0',
    runs: [
      {
        tool: { driver: { name: 'Bookend', version, rules } },
        columnKind: 'utf16CodeUnits',
        invocations: [
          {
            executionSuccessful: exitCode !== 2,
            exitCode,
            toolExecutionNotifications: failures.map((text) => ({ level: 'error', message: { text } })),
          },
        ],
        artifacts: artifacts.list,
        results,
      },
    ],
  };
  return `${JSON.stringify(log, null, 2)}\n`;
}

/** Only those that found something: a log of one file need not carry the whole reference. */
function rulesOf(reports: readonly FileReport[]) {
  const used = new Set(
    reports.flatMap(({ findings, undecided }) => [...findings, ...undecided].map(({ rule }) => rule)),
  );
  return [...used].map((id) => {
    const rule = RULES.find((one) => one.id === id);
    if (!rule) return { id };
    return {
      id,
      shortDescription: { text: rule.title },
      fullDescription: { text: rule.why },
      defaultConfiguration: { level: LEVEL[rule.severity] },
    };
  });
}

/** Files and packages, and behind them what lies in packages (3.24.3: `parentIndex`). */
function artifactsOf(reports: readonly FileReport[]) {
  const list: { location: { uri: string }; roles?: string[]; parentIndex?: number }[] = [];
  const byName = new Map<string, number>();
  const add = (key: string, uri: string, more: { parentIndex?: number }): number => {
    const at = byName.get(key) ?? list.push({ location: { uri }, roles: ['analysisTarget'], ...more }) - 1;
    byName.set(key, at);
    return at;
  };
  for (const { path, entry } of reports) {
    const parentIndex = add(path, uriOf(path), {});
    if (entry !== null) add(`${path}\n${entry}`, encoded(entry), { parentIndex });
  }
  return {
    list,
    indexOf({ path, entry }: FileReport): { uri: string; index: number } {
      const index = byName.get(entry === null ? path : `${path}\n${entry}`) ?? 0;
      return { uri: list[index]?.location.uri ?? '', index };
    },
  };
}

type ArtifactPlace = { readonly uri: string; readonly index: number };

function resultOf(one: ToldFinding, ruleIndex: number, artifact: ArtifactPlace) {
  return {
    ruleId: one.rule,
    ruleIndex,
    level: LEVEL[one.severity],
    message: { text: one.message },
    locations: [locationOf(one, artifact)],
    ...(one.related.length > 0
      ? {
          relatedLocations: one.related.map((other, id) => ({
            id,
            ...locationOf(other, artifact),
            message: { text: other.message },
          })),
        }
      : {}),
    properties: { severity: one.severity, when: one.when, ...(one.count > 1 ? { countOfRule: one.count } : {}) },
  };
}

/** 3.27.9: "open" is what was looked into without an answer; its level is "none". */
function openOf(one: FileReport['undecided'][number], ruleIndex: number, artifact: ArtifactPlace) {
  return {
    ruleId: one.rule,
    ruleIndex,
    kind: 'open',
    level: 'none',
    message: { text: `The bounds allow this, and no job was found that shows it. Should it happen: ${one.message}` },
    locations: [locationOf(one, artifact)],
  };
}

function locationOf({ line, column, endLine, endColumn }: ReportPlace, artifactLocation: ArtifactPlace) {
  const region = { startLine: line, startColumn: column, endLine, endColumn };
  return { physicalLocation: { artifactLocation, region } };
}

/** RFC 3986 with slashes kept; a drive letter or a leading slash makes it a file URI. */
function uriOf(path: string): string {
  const slashed = /^[A-Za-z]:[\\/]/.test(path) ? `/${path.replaceAll('\\', '/')}` : path;
  return slashed.startsWith('/') ? `file://${encoded(slashed)}` : encoded(slashed);
}

const encoded = (path: string): string =>
  path
    .replaceAll('\\', '/')
    .split('/')
    .map((part) => encodeURIComponent(wellFormed(part)))
    .join('/');

/** A half of a surrogate pair cannot be encoded. */
const wellFormed = (text: string): string =>
  text.replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, '\ufffd');
