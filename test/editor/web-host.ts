// Serves the browser build of VS Code with two extensions: Bookend as packaged, and memory-folder/, which holds
// the demo folder in memory under a scheme of its own.

import { readdirSync, readFileSync, statSync } from 'node:fs';
import { createServer, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';

const memoryFolder = fileURLToPath(new URL('memory-folder', import.meta.url));
const types: Record<string, string> = {
  '.css': 'text/css',
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.json': 'application/json',
  '.svg': 'image/svg+xml',
  '.ttf': 'font/ttf',
  '.wasm': 'application/wasm',
};

interface Options {
  /** The `dist` folder of the browser build. */
  webHost: string;
  /** The unpacked extension. */
  extension: string;
  /** The folder whose files are offered in memory. */
  folder: string;
}

/** Answers the address of the workbench with the folder open, and how to end the server. */
export async function startWebHost({ webHost, extension, folder }: Options) {
  const served = [
    { at: '/bookend/', from: extension },
    { at: '/memory-folder/', from: memoryFolder },
    { at: '/', from: webHost },
  ];
  const server = createServer((request, response) => {
    // VS Code asks for some of its files with a doubled leading slash.
    const path = decodeURIComponent(new URL(`http://host${request.url ?? '/'}`).pathname).replace(/^\/+/, '/');
    if (path === '/') return send(response, '.html', startPage(webHost));
    if (path === '/product.json') return send(response, '.json', JSON.stringify(product(request.headers.host ?? '')));
    if (path === '/memory-folder/files.json') return send(response, '.json', JSON.stringify(filesIn(folder)));
    const place = served.find(({ at }) => path.startsWith(at));
    if (!place) return notFound(response);
    sendFile(response, place.from, path.slice(place.at.length));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  const end = () =>
    new Promise<void>((resolve) => {
      server.close(() => resolve());
      server.closeAllConnections();
    });
  return { address: `http://127.0.0.1:${port}/`, end };
}

/** The start page of the browser build. Its blanks stay empty: this build asks for product.json instead. */
function startPage(webHost: string): string {
  const page = readFileSync(join(webHost, 'out/vs/code/browser/workbench/workbench.html'), 'utf8');
  return page.replace(/\{\{WORKBENCH_[A-Z_]+\}\}/g, '');
}

/** What the workbench starts with: its name, the folder to open and the extensions to load. */
function product(host: string) {
  return {
    productConfiguration: {
      nameShort: 'VS Code in a browser',
      nameLong: 'VS Code in a browser',
      applicationName: 'web-host',
      dataFolderName: '.web-host',
      version: '1.91.1',
    },
    folderUri: { scheme: 'memory', authority: '', path: '/demo' },
    additionalBuiltinExtensions: ['bookend', 'memory-folder'].map((name) => ({
      scheme: 'http',
      authority: host,
      path: `/${name}`,
    })),
    configurationDefaults: {
      'workbench.startupEditor': 'none',
      'workbench.tips.enabled': false,
      'files.autoSave': 'off',
      'telemetry.telemetryLevel': 'off',
    },
  };
}

/** The bytes of each file, as base64. */
function filesIn(folder: string): Record<string, string> {
  const files: Record<string, string> = {};
  for (const name of readdirSync(folder, { recursive: true, encoding: 'utf8' })) {
    const path = join(folder, name);
    if (statSync(path).isFile()) files[relative(folder, path).split(sep).join('/')] = readFileSync(path, 'base64');
  }
  return files;
}

function sendFile(response: ServerResponse, from: string, name: string) {
  const path = normalize(join(from, name));
  if (!path.startsWith(from) || !statSync(path, { throwIfNoEntry: false })?.isFile()) return notFound(response);
  send(response, extname(path), readFileSync(path));
}

function send(response: ServerResponse, extension: string, body: string | Buffer) {
  response.writeHead(200, { 'content-type': types[extension] ?? 'application/octet-stream' }).end(body);
}

function notFound(response: ServerResponse) {
  response.writeHead(404).end();
}
