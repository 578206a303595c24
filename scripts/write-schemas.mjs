// Writes the JSON Schemas in schemas/ from the one in server/src/machine/schema.ts. Run it after changing that file; a
// test fails while they differ. Usage: node scripts/write-schemas.mjs

import { mkdir, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { importEngine } from './bundle.mjs';

const folder = new URL('../schemas/', import.meta.url);
const { machineSchemaText, editorSchemaText } = await importEngine('server/src/machine/jsonSchema.ts');
await mkdir(folder, { recursive: true });
const files = { 'machine.schema.json': machineSchemaText(), 'machine.editor.schema.json': editorSchemaText() };
for (const [name, text] of Object.entries(files)) {
  const target = new URL(name, folder);
  await writeFile(target, text);
  console.log(`Wrote ${fileURLToPath(target)}`);
}
