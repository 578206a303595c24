import type { Documents } from './documents.ts';

/** Texts from here on are large: what one check of them leaves behind is worth clearing away early. UTF-16 code units. */
export const LARGE = 1_000_000;

/**
 * Tells the host whether to be sparing with memory: while a large text is open, and no longer, since clearing away more
 * often makes every keystroke slower. To be called whenever a document has come, changed or gone.
 * @param spare The host's own; it is told changes only.
 */
export function makeSparing(documents: Pick<Documents, 'all'>, spare: (on: boolean) => void): () => void {
  let isOn = false;
  return () => {
    const wanted = documents.all().some((document) => document.getText().length > LARGE);
    if (wanted === isOn) return;
    isOn = wanted;
    spare(wanted);
  };
}
