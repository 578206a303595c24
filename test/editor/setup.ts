// Runs once before the editor tests: finds the browser, fetches the two editor hosts, packages the extension.

import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { TestProject } from 'vitest/node';
import { findBrowser, howToGetABrowser } from '../../scripts/browser.mjs';
import { fetchEditorServer, fetchWebHost } from '../../scripts/editor-host.mjs';
import { packageExtension } from '../../scripts/package.mjs';

declare module 'vitest' {
  interface ProvidedContext {
    /** Absolute path of the browser. */
    browser: string;
    /** Entry script of the editor server. */
    serverMain: string;
    /** Folder of the browser build of VS Code. */
    webHost: string;
    /** The packaged extension. */
    vsix: string;
  }
}

export default async function setup(project: TestProject) {
  const browser = findBrowser();
  if (!browser) throw new Error(`The editor tests need a browser. ${howToGetABrowser}`);
  const output = fileURLToPath(new URL('../../test-output/', import.meta.url));
  mkdirSync(output, { recursive: true });
  project.provide('browser', browser);
  project.provide('serverMain', await fetchEditorServer());
  project.provide('webHost', await fetchWebHost());
  project.provide('vsix', await packageExtension(`${output}bookend.vsix`));
}
