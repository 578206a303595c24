import { MachineFileSchema } from '../machineFile/schema.ts';
import { VocabularyFileSchema } from '../vocabulary/schema.ts';

/**
 * The machine file's schema as JSON Schema 2020-12 text, as schemas/machine.schema.json holds it. The schema library
 * writes fixed lists in an older draft's form; 2020-12 calls them `prefixItems` (JSON Schema 2020-12, 10.3.1.1).
 */
export function machineSchemaText(): string {
  return `${JSON.stringify(toDraft2020(MachineFileSchema), null, 2)}\n`;
}

/**
 * The same for editors that show Bookend's own findings: it names, explains and completes, and leaves out what only
 * rejects, so that one mistake is not told twice.
 */
export function editorSchemaText(): string {
  return `${JSON.stringify(withoutLimits(toDraft2020(MachineFileSchema)))}\n`;
}

/** The vocabulary file's schema, as schemas/placeholders.schema.json holds it, and its form for editors. */
export const vocabularySchemaText = (): string => `${JSON.stringify(toDraft2020(VocabularyFileSchema), null, 2)}\n`;
export const vocabularyEditorSchemaText = (): string =>
  `${JSON.stringify(withoutLimits(toDraft2020(VocabularyFileSchema)))}\n`;

const LIMITS: ReadonlySet<string> = new Set([
  'minimum',
  'maximum',
  'exclusiveMinimum',
  'exclusiveMaximum',
  'minItems',
  'maxItems',
  'uniqueItems',
  'minLength',
  'maxLength',
  'pattern',
  'required',
  'additionalProperties',
]);

function withoutLimits(value: unknown, isMap = false): unknown {
  if (Array.isArray(value)) return value.map((one) => withoutLimits(one));
  if (typeof value !== 'object' || value === null) return value;
  // The keys of `properties` are names of the machine file, not keywords.
  const kept = Object.entries(value).filter(([key]) => isMap || !LIMITS.has(key));
  return Object.fromEntries(kept.map(([key, one]) => [key, withoutLimits(one, !isMap && key === 'properties')]));
}

function toDraft2020(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(toDraft2020);
  if (typeof value !== 'object' || value === null) return value;
  const { items, additionalItems, ...rest } = value as { readonly items?: unknown; readonly additionalItems?: unknown };
  const entries = Object.entries(rest).map(([key, one]) => [key, toDraft2020(one)]);
  if (Array.isArray(items)) entries.push(['prefixItems', items.map(toDraft2020)], ['items', additionalItems ?? false]);
  else if (items !== undefined) entries.push(['items', toDraft2020(items)]);
  return Object.fromEntries(entries);
}
