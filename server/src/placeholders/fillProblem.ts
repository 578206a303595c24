import type { Span } from '../text/span.ts';

/** Something that could not be filled in as it is meant. */
export interface FillProblem {
  /**
   * missing: a name without a value. value: no text can be made of it. tag: it cannot be read. rule: what comes out hangs
   * on a rule of the language that its vocabulary does not state. long: stopped half-way. unread: a name of the job that
   * nothing reads.
   */
  readonly kind: 'missing' | 'value' | 'tag' | 'rule' | 'long' | 'unread';
  readonly span: Span;
  readonly message: string;
  /** The name that has no value. */
  readonly name?: string;
  /** The property of the vocabulary file that would decide it. */
  readonly property?: string;
}

/** Said of a name that the job does not give. */
export const missingText = (name: string): string =>
  `“${name}” has no value in this job, so nothing can be filled in here.`;
