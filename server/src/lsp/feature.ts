import type { ServerCapabilities } from 'vscode-languageserver';
import type { ClientAbilities } from './abilities.ts';
import type { Urgency } from './asked.ts';
import type { RequestContext } from './requestContext.ts';
import type { MessageShape } from './shape.ts';

/** One row of the table: a request, its answer, and what is answered where nothing can be said. */
export interface Feature {
  readonly method: string;
  /** What of its parameters is read; of another form, it is answered with an error by itself. */
  readonly shape: MessageShape;
  readonly empty: unknown;
  readonly urgency: Urgency;
  /** What is answered where the text has changed before there was an answer; absent: the protocol's `ContentModified`. */
  readonly outdated?: () => unknown;
  /** How the client learns that it can be asked; absent: another row says it, or it is Bookend's own. */
  readonly offer?: (abilities: ClientAbilities) => ServerCapabilities;
  answer(context: RequestContext, params: unknown): Promise<unknown>;
}

/** Types one row; the table itself holds rows of different requests. */
export function feature<P>(
  method: string,
  shape: MessageShape,
  empty: unknown,
  urgency: Urgency,
  answer: (context: RequestContext, params: P) => Promise<unknown>,
  more: Pick<Feature, 'outdated' | 'offer'> = {},
): Feature {
  return { method, shape, empty, urgency, answer: (context, params) => answer(context, params as P), ...more };
}
