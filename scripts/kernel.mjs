// From server/kernel/scan.ts to the text of server/src/program/scanModule.ts.

import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import asc from 'assemblyscript/asc';

const root = fileURLToPath(new URL('..', import.meta.url));
const OUT = 'scan.wasm';

/** The module's bytes. Throws with the compiler's messages where a source does not compile. */
export async function compileKernel() {
  const written = new Map();
  const { error, stderr } = await asc.main(
    [
      'server/kernel/scan.ts',
      ...['--outFile', OUT, '-O3', '--converge', '--noAssert', '--runtime', 'stub'],
      // The memory is made outside, as large as a check needs it.
      ...['--importMemory', '--initialMemory', '1', '--zeroFilledMemory', '--use', 'abort='],
    ],
    {
      readFile: (name, folder) => readFile(new URL(`${folder}/${name}`, `file://${root}`), 'utf8').catch(() => null),
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
