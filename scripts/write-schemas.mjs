// Writes schemas/machine.schema.json from the schema in server/src/machine/schema.ts. Run it after changing that file;
// a test fails while the two differ. Usage: node scripts/write-schemas.mjs

import { mkdir, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { importEngine } from './bundle.mjs';

const target = new URL('../schemas/machine.schema.json', import.meta.url);
const { machineSchemaText } = await importEngine('server/src/machine/jsonSchema.ts');
await mkdir(new URL('.', target), { recursive: true });
await writeFile(target, machineSchemaText());
console.log(`Wrote ${fileURLToPath(target)}`);
