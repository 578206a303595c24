import { LARGEST } from '../files/read.ts';
import type { RuleSeverity } from '../machine/machine.ts';
import { LIMITS, type PackageLimits } from '../packages/entry.ts';

/** The settings that hold for one document. */
export interface Settings {
  /** Path or URI of a machine file; '' for none. */
  readonly defaultMachine: string;
  /** Severity by rule id; a rule that is absent keeps its own. */
  readonly rules: ReadonlyMap<string, RuleSeverity>;
  /** UTF-16 code units above which a text is not checked. */
  readonly largestText: number;
  /** Bytes above which a machine or vocabulary file is not read. */
  readonly largestMachineFile: number;
  /** Upper bounds on what a package may hold. */
  readonly packages: PackageSettings;
}

/** The limits of `program/entry.ts` that a person may set. */
export type PackageSettings = Pick<PackageLimits, 'size' | 'ratio' | 'entries' | 'members' | 'raise'>;

const SEVERITIES: readonly unknown[] = ['error', 'warning', 'info', 'hint', 'off'];
const DEFAULT_MEGABYTES = 5;
const MEGABYTE = 1_000_000;
const GIGABYTE = 1e9;
/** Machine files above it are refused by who reads their JSON, whatever the setting says. */
const MOST_MEGABYTES = 10;
/** What a person raises where a text, or a machine file, is too large. */
export const RAISE_LARGEST_TEXT = 'the setting bookend.largestFile';
export const RAISE_LARGEST_MACHINE_FILE = 'the setting bookend.largestMachineFile';
const RAISE: PackageLimits['raise'] = {
  entries: 'the setting bookend.packages.mostEntries',
  size: 'the setting bookend.packages.largestEntry',
  ratio: 'the setting bookend.packages.highestRatio',
  members: 'the setting bookend.packages.mostMembers',
};

/** Reads the section `bookend`. What is absent or makes no sense counts as not set. */
export function readSettings(section: unknown): Settings {
  const raw = isRecord(section) ? section : {};
  const rules = new Map<string, RuleSeverity>();
  for (const [id, severity] of Object.entries(isRecord(raw.rules) ? raw.rules : {})) {
    if (SEVERITIES.includes(severity)) rules.set(id, severity as RuleSeverity);
  }
  const megabytes = typeof raw.largestFile === 'number' && raw.largestFile > 0 ? raw.largestFile : DEFAULT_MEGABYTES;
  const defaultMachine = typeof raw.defaultMachine === 'string' ? raw.defaultMachine.trim() : '';
  const machine = raw.largestMachineFile;
  const largestMachineFile =
    typeof machine === 'number' && machine > 0 ? Math.min(machine, MOST_MEGABYTES) * MEGABYTE : LARGEST;
  const largestText = megabytes * MEGABYTE;
  return { defaultMachine, rules, largestText, largestMachineFile, packages: readPackages(raw.packages) };
}

function readPackages(section: unknown): PackageSettings {
  const raw = isRecord(section) ? section : {};
  const positive = (value: unknown, usual: number): number =>
    typeof value === 'number' && Number.isFinite(value) && value > 0 ? value : usual;
  return {
    size: positive(raw.largestEntry, LIMITS.size / GIGABYTE) * GIGABYTE,
    ratio: positive(raw.highestRatio, LIMITS.ratio),
    entries: positive(raw.mostEntries, LIMITS.entries),
    members: positive(raw.mostMembers, LIMITS.members),
    raise: RAISE,
  };
}

/** Settings by document, never kept in a global: two folders may differ. */
export interface SettingsStore {
  of(uri: string): Promise<Settings>;
  /** Settings changed; `section` is the new value where the client sends it along. */
  changed(section: unknown): void;
  forget(uri: string): void;
}

/** `ask`: reads the section for one resource; null where the client cannot, so that `initial` and changes hold. */
export function makeSettings(ask: ((uri: string) => Promise<unknown>) | null, initial: unknown): SettingsStore {
  let shared = readSettings(initial);
  const byUri = new Map<string, Promise<Settings>>();
  return {
    of(uri) {
      if (!ask) return Promise.resolve(shared);
      const cached = byUri.get(uri);
      if (cached) return cached;
      const asked = ask(uri).then(readSettings, () => shared);
      byUri.set(uri, asked);
      return asked;
    },
    changed(section) {
      byUri.clear();
      if (!ask && isRecord(section)) shared = readSettings(section);
    },
    forget: (uri) => void byUri.delete(uri),
  };
}

export const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
