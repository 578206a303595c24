// Writes the JSON Schemas in schemas/ from server/src/machineFile/schema.ts and vocabularySchema.ts. Run it after changing them; a
// test fails while they differ. Usage: node scripts/write-schemas.mjs

import { mkdir, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { importEngine } from './bundle.mjs';

const folder = new URL('../schemas/', import.meta.url);
const schemas = await importEngine('server/src/service/jsonSchema.ts');
await mkdir(folder, { recursive: true });
const files = {
  'machine.schema.json': schemas.machineSchemaText(),
  'machine.editor.schema.json': schemas.editorSchemaText(),
  'placeholders.schema.json': schemas.vocabularySchemaText(),
  'placeholders.editor.schema.json': schemas.vocabularyEditorSchemaText(),
};
for (const [name, text] of Object.entries(files)) {
  const target = new URL(name, folder);
  await writeFile(target, text);
  console.log(`Wrote ${fileURLToPath(target)}`);
}
