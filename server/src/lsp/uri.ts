import { MOST_ABOVE } from '../service/machineSearch.ts';

// URIs as VS Code writes them, without its library: clients differ in what they percent-encode, so URIs are compared
// in one canonical spelling. Opaque ones (untitled:Untitled-1) have no folder.

const HIERARCHICAL = /^([a-z][a-z0-9+.-]*):(\/\/[^/?#]*)?(\/[^?#]*)(.*)$/i;

/** One spelling for all that name the same file: lower-case scheme and drive, one way of percent-encoding. */
export function canonical(uri: string): string {
  const match = HIERARCHICAL.exec(uri);
  if (!match) return uri;
  const [, scheme = '', authority = '//', path = '', rest = ''] = match;
  const segments = path.split('/').map((segment) => encode(decode(segment)));
  const drive = segments[1];
  if (drive !== undefined && /^[a-z]%3A$/i.test(drive)) segments[1] = drive.charAt(0).toLowerCase() + drive.slice(1);
  return `${scheme.toLowerCase()}:${authority}${segments.join('/')}${rest}`;
}

/** The last segment, decoded: 'heron.machine.json'. For an opaque URI what stands behind its scheme. */
export function nameOf(uri: string): string {
  const match = HIERARCHICAL.exec(uri);
  const path = match ? (match[3] ?? '') : uri.slice(uri.indexOf(':') + 1);
  return decode(path.slice(path.replace(/\/+$/, '').lastIndexOf('/') + 1).replace(/\/+$/, ''));
}

/** The folder that holds it, canonical and without a closing slash; null at the root and for opaque URIs. */
export function folderOf(uri: string): string | null {
  const match = HIERARCHICAL.exec(canonical(uri));
  if (!match) return null;
  const [, scheme, authority = '', path = ''] = match;
  const trimmed = path.replace(/\/+$/, '');
  if (trimmed === '') return null;
  return `${scheme}:${authority}${trimmed.slice(0, trimmed.lastIndexOf('/')) || '/'}`;
}

/** The folders above it, nearest first. */
export function foldersAbove(uri: string): string[] {
  const folders: string[] = [];
  for (let at = folderOf(uri); at !== null && folders.length < MOST_ABOVE; at = folderOf(at)) folders.push(at);
  return folders;
}

/** The canonical URI of `name` in a folder; `name` may be a relative path with either slash. */
export function inFolder(folder: string, name: string): string {
  const base = canonical(folder).replace(/\/+$/, '');
  const match = HIERARCHICAL.exec(`${base}/`);
  if (!match) return canonical(name);
  const [, scheme, authority = '', path = ''] = match;
  const segments = path.split('/').filter((segment) => segment !== '');
  for (const part of name.split(/[\\/]/)) {
    if (part === '..') segments.pop();
    else if (part !== '' && part !== '.') segments.push(encode(part));
  }
  return canonical(`${scheme}:${authority}/${segments.join('/')}`);
}

/** Whether `uri` lies in `folder` or below it. */
export function isInside(uri: string, folder: string): boolean {
  const base = canonical(folder).replace(/\/+$/, '');
  return canonical(uri).startsWith(`${base}/`);
}

export const schemeOf = (uri: string): string => uri.slice(0, Math.max(0, uri.indexOf(':'))).toLowerCase();

/** For people: the path without percent signs, as the user knows it. */
export function shown(uri: string): string {
  const match = HIERARCHICAL.exec(uri);
  return match ? decode(match[3] ?? '').replace(/^\/([a-z]:)/i, '$1') : uri;
}

function encode(segment: string): string {
  // encodeURIComponent throws on half a surrogate pair.
  const whole = segment.replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, '\ufffd');
  return encodeURIComponent(whole).replace(/[!'()*]/g, (c) => `%${c.charCodeAt(0).toString(16).toUpperCase()}`);
}

function decode(segment: string): string {
  try {
    return decodeURIComponent(segment);
  } catch {
    return segment; // a stray % is part of the name
  }
}

/** A URI without percent-encoding, as the machine room compares places. */
export const decoded = (uri: string): string => decode(uri);

/** The URI of a path as a person writes it: relative to `folder`, absolute, or a URI already. */
export function fromPath(folder: string, path: string): string {
  if (/^[a-z][a-z0-9+.-]+:/i.test(path)) return canonical(path);
  if (/^[a-z]:[\\/]/i.test(path)) return inFolder('file:///', path);
  return inFolder(/^[\\/]/.test(path) ? topOf(folder) : folder, path);
}

const topOf = (uri: string): string => /^[^:]+:(?:\/\/[^/]*)?/.exec(uri)?.[0] ?? uri;
