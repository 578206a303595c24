// Whether a script was started itself, not imported by another.

import { realpathSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** Pass `import.meta.url`. */
export function isMain(url) {
  return process.argv[1] !== undefined && realpathSync(process.argv[1]) === fileURLToPath(url);
}
