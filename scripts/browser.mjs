// Finds a Chromium, Chrome or Edge for the editor tests.

import { existsSync } from 'node:fs';
import { homedir } from 'node:os';
import { delimiter, join } from 'node:path';

/** What to do when there is none. */
export const howToGetABrowser =
  'Install Chromium, Chrome or Edge (Debian and Ubuntu: apt-get install chromium), or set BOOKEND_BROWSER to the path of one.';

/**
 * The path of a browser, or undefined. BOOKEND_BROWSER wins; a wrong path in it is an error, since the person
 * meant that one and no other.
 */
export function findBrowser(env = process.env, platform = process.platform) {
  const named = env.BOOKEND_BROWSER;
  if (named) {
    if (!existsSync(named)) throw new Error(`BOOKEND_BROWSER names ${named}, which does not exist.`);
    return named;
  }
  return candidates(env, platform).find((path) => existsSync(path));
}

function candidates(env, platform) {
  if (platform === 'win32') return onWindows(env);
  if (platform === 'darwin') return onMac();
  return onPath(env);
}

function onPath(env) {
  // Some distributions have a "chromium-browser" that only starts a confined package, so it comes last.
  const names = [
    'google-chrome-stable',
    'google-chrome',
    'chromium',
    'microsoft-edge-stable',
    'microsoft-edge',
    'chromium-browser',
  ];
  const folders = (env.PATH ?? '').split(delimiter).filter(Boolean);
  return names.flatMap((name) => folders.map((folder) => join(folder, name)));
}

function onMac() {
  const names = ['Google Chrome', 'Chromium', 'Microsoft Edge'];
  const folders = ['/Applications', join(homedir(), 'Applications')];
  return names.flatMap((name) => folders.map((folder) => join(folder, `${name}.app`, 'Contents', 'MacOS', name)));
}

function onWindows(env) {
  const programs = [
    ['Google', 'Chrome', 'Application', 'chrome.exe'],
    ['Microsoft', 'Edge', 'Application', 'msedge.exe'],
    ['Chromium', 'Application', 'chrome.exe'],
  ];
  const folders = [env.ProgramFiles, env['ProgramFiles(x86)'], env.LOCALAPPDATA].filter(Boolean);
  return programs.flatMap((program) => folders.map((folder) => join(folder, ...program)));
}
