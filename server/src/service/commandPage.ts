import { describeCommand } from '../commands/describe.ts';
import type { CommandRecord } from '../commands/record.ts';
import type { Traits } from '../machine/machine.ts';
import { bullets, paragraphs } from './phrase.ts';

/**
 * All there is to know about one command, as Markdown: the reference, and what `explain` prints.
 * @param traits The controller's; null for any, so that what differs between controllers is told.
 */
export function commandPage(record: CommandRecord, traits: Traits | null): string {
  const page = describeCommand(record, traits);
  const notes = traits ? [] : differences(record);
  if (notes.length === 0) return page;
  return paragraphs([page, 'What a machine file says about its controller (`controller`) decides:', bullets(notes)]);
}

/** How controllers differ in this command, by the trait in the machine file that says so. */
function differences(record: CommandRecord): string[] {
  const notes: string[] = [];
  const keysWith = (unit: string): string[] => record.words.filter((w) => w.unit === unit).map((w) => w.key);
  const does = (...kinds: readonly string[]): boolean => record.effects.some((effect) => kinds.includes(effect.do));
  for (const key of keysWith('dwell')) notes.push(`\`dwell\`: whether ${key} counts milliseconds or seconds.`);
  for (const key of keysWith('fan')) notes.push(`\`fanFull\`: which ${key} means full speed: 255, 100 or 1.`);
  if (does('distance')) notes.push('`distanceGovernsE`: whether it holds for E too.');
  if (does('arc')) notes.push('`arcs`: whether it is understood at all; without arcs the line does nothing sure.');
  if (record.freeText && record.group === 'stopping')
    notes.push('`commandsPerLine`: whether a command may stand behind it; then that is no text.');
  return notes;
}
