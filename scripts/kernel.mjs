// From server/kernel/scan.ts, and the rules' numbers, to the text of server/src/program/scanModule.ts.

import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import asc from 'assemblyscript/asc';
import { importEngine } from './bundle.mjs';

const root = fileURLToPath(new URL('..', import.meta.url));
const OUT = 'scan.wasm';

/** Where the kernel reads the rules' numbers, from the repository's root. */
export const NUMBERS_SOURCE = 'server/kernel/numbers.ts';

/** That source: the numbers as the rules export them. */
export async function numbersText() {
  const { numbersSource, scanNumbers } = await importEngine('server/src/program/scanNumbers.ts');
  return `// Written by scripts/write-kernel.mjs from what the rules declare: do not edit.\n\n${numbersSource(scanNumbers())}`;
}

/**
 * The module's bytes, with the rules' numbers as they are now. Throws with the compiler's messages where a source does
 * not compile.
 * @param numbers The source of the numbers.
 */
export async function compileKernel(numbers) {
  const written = new Map();
  const { error, stderr } = await asc.main(
    [
      'server/kernel/scan.ts',
      ...['--outFile', OUT, '-O3', '--converge', '--noAssert', '--runtime', 'stub'],
      // The memory is made outside, as large as a check needs it.
      ...['--importMemory', '--initialMemory', '1', '--zeroFilledMemory', '--use', 'abort='],
    ],
    {
      readFile: (name, folder) =>
        name === NUMBERS_SOURCE
          ? numbers
          : readFile(new URL(`${folder}/${name}`, `file://${root}`), 'utf8').catch(() => null),
      writeFile: (name, bytes) => void written.set(name, bytes),
      listFiles: () => [],
    },
  );
  if (error) throw new Error(`${stderr.toString()}${error.message}`);
  return written.get(OUT);
}

/** The module as a source, in lines of the formatter's length. */
export function moduleText(bytes) {
  const lines = Buffer.from(bytes)
    .toString('base64')
    .match(/.{1,114}/g)
    .map((part) => `  '${part}'`);
  return `// Written by scripts/write-kernel.mjs from server/kernel/scan.ts: do not edit.

/** The scan of a finished program as WebAssembly, base64. */
export const SCAN_MODULE = [
${lines.join(',\n')},
].join('');
`;
}
