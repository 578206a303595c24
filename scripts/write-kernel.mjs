// Compiles server/kernel/scan.ts to WebAssembly and writes it into server/src/program/scanModule.ts. Run it after changing
// one of the sources; a test fails while the two differ. Usage: node scripts/write-kernel.mjs

import { writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { compileKernel, moduleText } from './kernel.mjs';

const target = fileURLToPath(new URL('../server/src/program/scanModule.ts', import.meta.url));
const bytes = await compileKernel();
await writeFile(target, moduleText(bytes));
console.log(`Wrote ${target}: ${bytes.length} bytes of WebAssembly`);
