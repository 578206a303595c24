// Writes schemas/machine.schema.json from the schema in server/src/machine/schema.ts. Run it after changing that file;
// a test fails while the two differ. Usage: node scripts/write-schemas.mjs

import { mkdir, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('..', import.meta.url));
const target = new URL('../schemas/machine.schema.json', import.meta.url);

// Node 20 does not read TypeScript: bundle in memory, then import the result.
const { outputFiles } = await build({
  absWorkingDir: root,
  entryPoints: ['server/src/machine/jsonSchema.ts'],
  bundle: true,
  write: false,
  format: 'esm',
  platform: 'node',
  logLevel: 'warning',
});
const code = Buffer.from(outputFiles[0].contents).toString('base64');
const { machineSchemaText } = await import(`data:text/javascript;base64,${code}`);

await mkdir(new URL('.', target), { recursive: true });
await writeFile(target, machineSchemaText());
console.log(`Wrote ${fileURLToPath(target)}`);
