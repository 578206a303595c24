import type { Analysis } from './engine.ts';
import type { CheckedDocument, OwnSession } from './session.ts';

/** A sequence with its analysis, both of one version. */
export interface AnalyzedDocument extends CheckedDocument {
  readonly analysis: Analysis;
}

/** Whether the text is still the one that was checked; asked again after every wait, before places in it are given away. */
export const isCurrent = ({ document, version }: Pick<CheckedDocument, 'document' | 'version'>): boolean =>
  document.version === version;

const hasAnalysis = (checked: CheckedDocument): checked is AnalyzedDocument => checked.analysis !== null;

/**
 * The one way in which requests read a sequence: with the analysis of the text as it is now. null: it has none (a machine
 * or vocabulary file, too large, closed), or has changed before it was answered.
 */
export async function analyzedNow(session: OwnSession, uri: string): Promise<AnalyzedDocument | null> {
  const checked = await session.check(uri);
  // The same object: others remember by it what they worked out.
  return checked && hasAnalysis(checked) && isCurrent(checked) ? checked : null;
}
