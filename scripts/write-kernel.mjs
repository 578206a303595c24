// Writes the rules' numbers into server/kernel/numbers.ts, compiles server/kernel/scan.ts to WebAssembly and writes it into
// server/src/program/scanModule.ts. Run it after changing one of the sources; a test fails while they differ. Usage: node scripts/write-kernel.mjs

import { writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { compileKernel, moduleText, NUMBERS_SOURCE, numbersText } from './kernel.mjs';

const target = fileURLToPath(new URL('../server/src/program/scanModule.ts', import.meta.url));
const numbers = await numbersText();
await writeFile(fileURLToPath(new URL(`../${NUMBERS_SOURCE}`, import.meta.url)), numbers);
const bytes = await compileKernel(numbers);
await writeFile(target, moduleText(bytes));
console.log(`Wrote ${target}: ${bytes.length} bytes of WebAssembly`);
