// Writes the reference pages docs/*.md and docs/rules/*.md and the README's index from the engine's own records, and
// takes pages away whose rule is gone. Run it after changing a rule, a command or a file's schema; a test fails while
// the two differ. Usage: node scripts/write-docs.mjs

import { mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { importEngine } from './bundle.mjs';

const docs = new URL('../docs/', import.meta.url);
const { referencePages, withReadmeIndex } = await importEngine('server/src/service/reference.ts');
const pages = referencePages();
await mkdir(new URL('rules/', docs), { recursive: true });
for (const [name, text] of pages) await writeFile(new URL(name, docs), text);
console.log(`Wrote ${pages.size} pages in ${fileURLToPath(docs)}`);

// docs/rules/ holds nothing else.
for (const name of await readdir(new URL('rules/', docs))) {
  if (pages.has(`rules/${name}`)) continue;
  await rm(new URL(`rules/${name}`, docs), { recursive: true });
  console.log(`Took away docs/rules/${name}`);
}

const readme = new URL('../README.md', import.meta.url);
const renewed = withReadmeIndex(await readFile(readme, 'utf8'));
if (renewed === null) {
  console.error('README.md lacks the marks of its index, which server/src/service/reference.ts names.');
  process.exitCode = 1;
} else await writeFile(readme, renewed);
