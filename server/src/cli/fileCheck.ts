import type { PackageLimits } from '../packages/package.ts';
import type { Role } from '../syntax/role.ts';
import type { FileReport } from './report.ts';

/** One file to be checked, as plain data that can go to another thread. */
export interface FileCheck {
  /** As the person wrote it. */
  readonly path: string;
  /** Of what comes from standard input: the place that its name would have. */
  readonly absolute: string;
  /** It comes from standard input. */
  readonly input: boolean;
  /** The file lay in a folder that was named: no program in it is no failure. */
  readonly found: boolean;
  /** Absolute path of the machine file that was asked for. */
  readonly pick: string | null;
  readonly role: Role | null;
  /** Whether what can be done about findings is reckoned, too. */
  readonly withFixes: boolean;
  readonly fix: 'write' | 'dry run' | null;
  /** What a package may ask for. */
  readonly limits: PackageLimits;
  /** Bytes of a machine or vocabulary file that are read at most. */
  readonly largestMachineFile: number;
}

/** What came of it, as plain data. */
export interface FileOutcome {
  readonly reports: readonly FileReport[];
  /** Machine and vocabulary files that were used, by absolute path. */
  readonly used: readonly { readonly path: string; readonly told: FileReport }[];
  /** What a vocabulary file is told by the texts that were read with it, by its absolute path. */
  readonly notFollowed: FileOutcome['used'];
  /** Whether something could not be done. */
  readonly failed: boolean;
  /** What is to be written to standard error. */
  readonly errors: string;
}
