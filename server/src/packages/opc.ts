import type { PackageEntry } from './entry.ts';

// Open Packaging Conventions (ISO/IEC 29500-2, ECMA-376 part 2): a zip with a stream of content types and relationships.

export interface Opc {
  readonly what: 'OPC package' | '3MF package';
  /** Content type of a part, by its name in the zip; null where the package gives none. */
  typeOf(name: string): string | null;
}

const TYPES = '[content_types].xml';
const RELATIONS = '_rels/.rels';
/** Content type of the model at the root (3MF Core Specification 1.4.0, appendix C). */
const MODEL = 'application/vnd.ms-package.3dmanufacturing-3dmodel+xml';
/** Both parts are a few kilobytes; more is not read. */
const LONGEST = 1 << 20;

/** What a zip says of itself as an OPC package; null where it is none. Never rejects. */
export async function readOpc(
  entries: readonly PackageEntry[],
  bytesOf: (entry: PackageEntry) => AsyncIterable<Uint8Array>,
): Promise<Opc | null> {
  const text = async (name: string): Promise<string | null> => {
    const entry = entries.find((e) => e.name.toLowerCase() === name && e.problem === null);
    return entry && entry.size <= LONGEST ? textOf(bytesOf(entry)) : null;
  };
  const types = await text(TYPES);
  const relations = types === null ? null : await text(RELATIONS);
  if (types === null || relations === null) return null;
  if (!/<(?:[\w.-]{1,99}:)?Types[\s>]/.test(types)) return null;
  const typeOf = readTypes(types);
  // Targets are relative to the root, with or without a slash in front.
  const targets = elements(relations, 'Relationship').map((r) => (r.get('Target') ?? '').replace(/^\//, ''));
  const is3mf = targets.some((target) => typeOf(target) === MODEL);
  return { what: is3mf ? '3MF package' : 'OPC package', typeOf };
}

async function textOf(bytes: AsyncIterable<Uint8Array>): Promise<string | null> {
  const decoder = new TextDecoder();
  let text = '';
  try {
    for await (const piece of bytes) text += decoder.decode(piece, { stream: true });
  } catch {
    return null; // the entry carries its problem itself where it is asked for
  }
  return text + decoder.decode();
}

/** Overrides by part name go before defaults by extension; neither heeds case (ISO/IEC 29500-2, 7.2.3). */
function readTypes(xml: string): (name: string) => string | null {
  const parts = new Map<string, string>();
  const extensions = new Map<string, string>();
  for (const [element, key, into] of [
    ['Override', 'PartName', parts],
    ['Default', 'Extension', extensions],
  ] as const) {
    for (const found of elements(xml, element)) {
      const name = found.get(key)?.toLowerCase();
      const type = found.get('ContentType');
      if (name !== undefined && type !== undefined && !into.has(name)) into.set(name, type);
    }
  }
  return (name) => {
    const lower = name.toLowerCase();
    const extension = /\.([^./]*)$/.exec(lower)?.[1] ?? '';
    return parts.get(`/${lower}`) ?? extensions.get(extension) ?? null;
  };
}

const ENTITIES: Readonly<Record<string, string>> = { lt: '<', gt: '>', amp: '&', quot: '"', apos: "'" };

/** The attributes of all elements of a name. These streams are flat, have no text, and may have no DTD. */
function elements(xml: string, wanted: string): ReadonlyMap<string, string>[] {
  const found: Map<string, string>[] = [];
  const plain = withoutComments(xml);
  for (const [, name, inside] of plain.matchAll(
    /<(?:[\w.-]+:)?([\w.-]+)((?:\s+[\w:.-]+\s*=\s*(?:"[^"]*"|'[^']*'))*)\s*\/?>/g,
  )) {
    if (name !== wanted) continue;
    const attributes = new Map<string, string>();
    for (const [, key, quoted] of (inside as string).matchAll(/([\w:.-]+)\s*=\s*("[^"]*"|'[^']*')/g)) {
      const value = (quoted as string).slice(1, -1).replace(/&(\w+);/g, (all, entity) => ENTITIES[entity] ?? all);
      attributes.set(key as string, value);
    }
    found.push(attributes);
  }
  return found;
}

function withoutComments(xml: string): string {
  const parts: string[] = [];
  for (let at = 0; ; ) {
    const start = xml.indexOf('<!--', at);
    parts.push(xml.slice(at, start < 0 ? undefined : start));
    const end = start < 0 ? -1 : xml.indexOf('-->', start);
    if (end < 0) return parts.join('');
    at = end + 3;
  }
}
