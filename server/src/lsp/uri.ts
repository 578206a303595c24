import { URI, Utils } from 'vscode-uri';
import { MOST_ABOVE } from '../service/machineSearch.ts';

// URIs as VS Code writes them, by its library. Clients differ in what they percent-encode, so URIs are compared in one
// canonical spelling. Everything goes through here, since the library throws on texts that are no URI: those, and opaque
// ones (untitled:Untitled-1), have no folder.

/** null: no URI that has places, such as `untitled:Untitled-1` or any text. */
function parse(text: string): URI | null {
  if (!/^[a-z][a-z0-9+.-]*:\//i.test(text)) return null;
  try {
    const uri = URI.parse(whole(text));
    // Joined with nothing its path loses `.` and `..`, so that a place cannot pretend to lie in another (RFC 3986, 6.2.2.3).
    return Utils.joinPath(uri.with({ scheme: uri.scheme.toLowerCase(), path: uri.path || '/' }));
  } catch {
    return null;
  }
}

/** Without halves of surrogate pairs, which nothing can percent-encode. */
const whole = (text: string): string =>
  text.replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, '\ufffd');

/** One spelling for all that name the same file: lower-case scheme and drive, one way of percent-encoding. */
export const canonical = (uri: string): string => parse(uri)?.toString() ?? uri;

/** The last segment, decoded: 'heron.machine.json'. For an opaque URI what stands behind its scheme. */
export function nameOf(uri: string): string {
  const parsed = parse(uri);
  const path = parsed ? parsed.path : decoded(uri.slice(uri.indexOf(':') + 1));
  return path.replace(/\/+$/, '').split('/').at(-1) ?? '';
}

/** The folder that holds it, canonical and without a closing slash; null at the root and for opaque URIs. */
export function folderOf(uri: string): string | null {
  const parsed = parse(uri);
  if (!parsed || parsed.path === '/') return null;
  return Utils.dirname(parsed).with({ query: '', fragment: '' }).toString();
}

/** The folders above it, nearest first. */
export function foldersAbove(uri: string): string[] {
  const folders: string[] = [];
  for (let at = folderOf(uri); at !== null && folders.length < MOST_ABOVE; at = folderOf(at)) folders.push(at);
  return folders;
}

/** The canonical URI of `name` in a folder; `name` may be a relative path with either slash. */
export function inFolder(folder: string, name: string): string {
  const parsed = parse(folder);
  if (!parsed) return canonical(name);
  return Utils.joinPath(parsed, ...whole(name).split(/[\\/]/)).toString();
}

/** Whether `uri` lies in `folder` or below it. */
export function isInside(uri: string, folder: string): boolean {
  const base = canonical(folder).replace(/\/+$/, '');
  return canonical(uri).startsWith(`${base}/`);
}

export const schemeOf = (uri: string): string => uri.slice(0, Math.max(0, uri.indexOf(':'))).toLowerCase();

/** For people: the path without percent signs, as the user knows it. */
export const shown = (uri: string): string => parse(uri)?.path.replace(/^\/([a-z]:)/i, '$1') ?? uri;

/** A URI without percent-encoding, as the machine room compares places. */
export function decoded(uri: string): string {
  try {
    return decodeURIComponent(uri);
  } catch {
    return uri; // a stray % is part of the name
  }
}

/** The URI of a path as a person writes it: relative to `folder`, absolute, or a URI already. */
export function fromPath(folder: string, path: string): string {
  if (/^[a-z][a-z0-9+.-]+:/i.test(path)) return canonical(path);
  if (/^[a-z]:[\\/]/i.test(path)) return inFolder('file:///', path);
  return inFolder(/^[\\/]/.test(path) ? topOf(folder) : folder, path);
}

const topOf = (uri: string): string => parse(uri)?.with({ path: '/', query: '', fragment: '' }).toString() ?? uri;
