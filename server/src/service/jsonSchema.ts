import { MachineFileSchema } from '../machineFile/schema.ts';
import { VocabularyFileSchema } from '../vocabulary/schema.ts';

/**
 * The machine file's schema as JSON Schema 2020-12 text, as schemas/machine.schema.json holds it. The schema library
 * writes fixed lists in an older draft's form; 2020-12 calls them `prefixItems` (JSON Schema 2020-12, 10.3.1.1).
 */
export function machineSchemaText(): string {
  return `${JSON.stringify(toDraft2020(MachineFileSchema), null, 2)}\n`;
}

/** The vocabulary file's schema, as schemas/placeholders.schema.json holds it. */
export const vocabularySchemaText = (): string => `${JSON.stringify(toDraft2020(VocabularyFileSchema), null, 2)}\n`;

/** Both as values, for who completes and explains such files. */
export const jsonSchemas = (): { readonly machine: object; readonly vocabulary: object } => ({
  machine: toDraft2020(MachineFileSchema) as object,
  vocabulary: toDraft2020(VocabularyFileSchema) as object,
});

function toDraft2020(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(toDraft2020);
  if (typeof value !== 'object' || value === null) return value;
  const { items, additionalItems, ...rest } = value as { readonly items?: unknown; readonly additionalItems?: unknown };
  const entries = Object.entries(rest).map(([key, one]) => [key, toDraft2020(one)]);
  if (Array.isArray(items)) entries.push(['prefixItems', items.map(toDraft2020)], ['items', additionalItems ?? false]);
  else if (items !== undefined) entries.push(['items', toDraft2020(items)]);
  return Object.fromEntries(entries);
}
