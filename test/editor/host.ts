// Launches the packaged extension in a fresh VS Code, in a fresh browser, on a copy of demo/.

import { cpSync, mkdtempSync, readdirSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { inject } from 'vitest';
import { installExtension, startEditor } from '../../scripts/editor-host.mjs';
import { startWebHost } from './web-host.ts';

export interface Host {
  page: Page;
  /** The folder that is open: a copy of demo/ on disk (in the web host, what its memory was filled from). */
  folder: string;
  /** Ends browser and editor and removes what they wrote. */
  close(): Promise<void>;
}

const demo = fileURLToPath(new URL('../../demo', import.meta.url));

/** Size of the browser's window in its own pixels, and how many pixels of a picture one of them takes. */
export interface Window {
  width: number;
  height: number;
  scale: number;
}

const usual: Window = { width: 1280, height: 800, scale: 1 };

/** Installs the .vsix in a VS Code server and opens the folder in it; the extension runs in a Node host. */
export async function launchNodeHost(window = usual, prepare: Prepare = nothing): Promise<Host> {
  const start: Start = async (base, folder) => {
    const places = await install(base);
    const editor = await startEditor(places);
    return { address: `${editor.url}?folder=${encodeURIComponent(asUrlPath(folder))}`, end: editor.end };
  };
  return launch(start, window, prepare);
}

/** Runs the same .vsix in the browser build of VS Code: no Node, the folder in memory, the server in a worker. */
export async function launchWebHost(prepare: Prepare = nothing): Promise<Host> {
  const start: Start = async (base, folder) => {
    // The editor server unpacks the .vsix for us, as it does for a person.
    const { extensions } = await install(base);
    const unpacked = readdirSync(extensions).find((name) => name.startsWith('bookend.bookend-'));
    if (!unpacked) throw new Error(`The editor unpacked no Bookend into ${extensions}.`);
    return startWebHost({ webHost: inject('webHost'), extension: join(extensions, unpacked), folder });
  };
  return launch(start, usual, prepare);
}

/** Puts more files into the folder before it is opened. */
type Prepare = (folder: string) => void;
const nothing: Prepare = () => {};

type Start = (base: string, folder: string) => Promise<{ address: string; end(): Promise<void> }>;

async function launch(start: Start, { width, height, scale }: Window, prepare: Prepare): Promise<Host> {
  // Resolved, since macOS reaches its temporary folder over a link and the editor would name the other path.
  const base = realpathSync(mkdtempSync(join(tmpdir(), 'bookend-editor-')));
  const folder = join(base, 'demo');
  cpSync(demo, folder, { recursive: true });
  prepare(folder);
  const server = await start(base, folder);
  const browser = await openBrowser();
  const page = await browser.newPage({ viewport: { width, height }, deviceScaleFactor: scale });
  await page.goto(server.address);
  const close = async () => {
    await browser.close();
    await server.end();
    rmSync(base, { recursive: true, force: true, maxRetries: 5 });
  };
  return { page, folder, close };
}

async function install(base: string) {
  const places = {
    serverMain: inject('serverMain'),
    userData: join(base, 'user-data'),
    extensions: join(base, 'extensions'),
  };
  await installExtension({ ...places, vsix: inject('vsix') });
  return places;
}

function openBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: inject('browser'),
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

/** C:\work\demo is /C:/work/demo in an address. */
function asUrlPath(path: string): string {
  const slashed = path.replaceAll('\\', '/');
  return slashed.startsWith('/') ? slashed : `/${slashed}`;
}
