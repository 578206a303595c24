// Writes the reference pages docs/rules.md, docs/commands.md, docs/machine-file.md and
// docs/placeholders-file.md from the engine's own records.
// Run it after changing a rule, a command or a file's schema; a test fails while the two differ.
// Usage: node scripts/write-docs.mjs

import { mkdir, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { importEngine } from './bundle.mjs';

const docs = new URL('../docs/', import.meta.url);
const { referencePages } = await importEngine('server/src/service/reference.ts');
await mkdir(docs, { recursive: true });
for (const [name, text] of referencePages()) {
  await writeFile(new URL(name, docs), text);
  console.log(`Wrote ${fileURLToPath(new URL(name, docs))}`);
}
