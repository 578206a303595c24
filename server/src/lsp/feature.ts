import type { Urgency } from './asked.ts';
import type { RequestContext } from './requestContext.ts';

/** One row of the table: a request, its answer, and what is answered where nothing can be said. */
export interface Feature {
  readonly method: string;
  readonly empty: unknown;
  readonly urgency: Urgency;
  /** What is answered where the text has changed before there was an answer; absent: the protocol's `ContentModified`. */
  readonly outdated?: () => unknown;
  answer(context: RequestContext, params: unknown): Promise<unknown>;
}
