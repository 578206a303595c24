import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const slashes = (path: string): string => path.split(sep).join('/');

interface Source {
  /** From the repository's root, with slashes. */
  readonly path: string;
  readonly text: string;
  readonly imports: readonly string[];
}

const sources = ['server/src', 'client/src'].flatMap((folder) =>
  readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name): Source => {
      const path = slashes(join(folder, name));
      const text = readFileSync(join(ROOT, path), 'utf8');
      const imports = [...text.matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)].map((m) => m[1] as string);
      return { path, text, imports };
    }),
);

/** Lower rooms first. `lsp` and `cli` are both on top and do not know each other. */
const ORDER = [
  'text',
  'files',
  'packages',
  'syntax',
  'placeholders',
  'machine',
  'geometry',
  'machineFile',
  'vocabulary',
  'commands',
  'simulate',
  'rules',
  'check',
  'service',
  'drafting',
  'program',
];
const TOP = ['lsp', 'cli'];
const ENTRIES = [
  'node.ts',
  'browser.ts',
  'cli.ts',
  'nodeFiles.ts',
  'nodeInspections.ts',
  'nodeMemory.ts',
  'nodeReading.ts',
  'nodeRuns.ts',
  'nodeTransport.ts',
  'inspectionThread.ts',
  'jsonSupport.ts',
];

const SHARED = [
  'server/src/text/decode.ts',
  'server/src/text/base64.ts',
  'server/src/files/read.ts',
  'server/src/lsp/inspectionMessages.ts',
  'server/src/lsp/messages.ts',
  'server/src/syntax/role.ts',
  'server/src/service/machineSearch.ts',
];

const roomOf = (path: string): string => path.replace('server/src/', '').split('/')[0] as string;
const target = (source: Source, specifier: string): string => slashes(normalize(join(dirname(source.path), specifier)));

describe('the order of imports', () => {
  it('sees the whole engine', () => {
    expect(sources.length).toBeGreaterThan(100);
    for (const room of [...ORDER, ...TOP])
      expect(
        sources.some((s) => roomOf(s.path) === room),
        room,
      ).toBe(true);
  });

  it.each(sources.map((s) => [s.path, s] as const))('%s', (_, source) => {
    const inServer = source.path.startsWith('server/');
    const room = roomOf(source.path);
    const isEntry = ENTRIES.includes(room);
    for (const specifier of source.imports) {
      if (!specifier.startsWith('.')) continue;
      const path = target(source, specifier);
      if (!inServer) {
        // The client shares with the server what both must agree on, and none of the engine.
        if (path.startsWith('server/')) expect(SHARED).toContain(path);
        continue;
      }
      if (ENTRIES.includes(room) && path === 'package.json') continue;
      expect(path.startsWith('server/src/'), `${source.path} reaches out to ${path}`).toBe(true);
      const other = roomOf(path);
      if (isEntry || other === room) continue;
      expect(TOP.includes(other), `${source.path} imports ${path}`).toBe(false);
      if (ORDER.includes(room))
        expect(ORDER.indexOf(other), `${source.path} imports ${path}`).toBeLessThan(ORDER.indexOf(room));
    }
  });

  it('has no circle: no file imports itself through others', () => {
    const byPath = new Map(sources.map((source) => [source.path, source]));
    const done = new Set<string>();
    const circles: string[] = [];
    const visit = (path: string, way: readonly string[]): void => {
      if (way.includes(path)) circles.push([...way.slice(way.indexOf(path)), path].join(' -> '));
      const source = byPath.get(path);
      if (!source || done.has(path) || way.includes(path)) return;
      for (const specifier of source.imports)
        if (specifier.startsWith('.')) visit(target(source, specifier), [...way, path]);
      done.add(path);
    };
    for (const { path } of sources) visit(path, []);
    expect(circles).toEqual([]);
  });

  it('the kernel shares numbers with the scan, which import nothing, and nobody imports the kernel', () => {
    const kernel = readdirSync(join(ROOT, 'server/kernel'), { encoding: 'utf8' }).filter((name) =>
      name.endsWith('.ts'),
    );
    expect(kernel.length).toBeGreaterThan(0);
    for (const name of kernel) {
      const text = readFileSync(join(ROOT, 'server/kernel', name), 'utf8');
      for (const [, specifier] of text.matchAll(/from\s+'([^']+)'/g)) {
        const path = slashes(normalize(join('server/kernel', `${specifier}.ts`)));
        if (path.startsWith('server/kernel/')) continue;
        expect(path, name).toMatch(/^server\/src\/program\//);
        expect(sources.find((source) => source.path === path)?.imports, path).toEqual([]);
      }
    }
    for (const { path, imports } of sources)
      for (const specifier of imports) expect(specifier, path).not.toMatch(/kernel\//);
  });

  it('only lsp/ and the entries know the protocol, only entries and the client touch the machine below', () => {
    for (const { path, imports } of sources) {
      const room = roomOf(path);
      const isEntry = path.startsWith('server/') && ENTRIES.includes(room);
      for (const specifier of imports) {
        if (/^vscode-(languageserver|jsonrpc|json-languageservice)/.test(specifier)) {
          expect(room === 'lsp' || isEntry, `${path} imports ${specifier}`).toBe(true);
        }
        if (specifier.startsWith('node:'))
          expect(isEntry && room !== 'browser.ts', `${path} imports ${specifier}`).toBe(true);
        if (specifier === 'vscode' || specifier.startsWith('vscode-languageclient')) {
          expect(path.startsWith('client/'), `${path} imports ${specifier}`).toBe(true);
        }
      }
    }
  });
});

describe('habits', () => {
  it('entries only wire: 60 lines at most', () => {
    for (const { path, text } of sources) {
      if (!ENTRIES.includes(roomOf(path)) && !/^client\/src\/(node|browser)\.ts$/.test(path)) continue;
      expect(text.split('\n').length, path).toBeLessThanOrEqual(60);
    }
  });

  it('no state in modules, nothing evaluated, no way out to the network', () => {
    for (const { path, text } of sources) {
      expect(text, path).not.toMatch(/^(export )?(let|var) /m);
      // An empty container in a module is there to be filled.
      expect(text, path).not.toMatch(/^(export )?const \w+[^=\n]*= (new (Weak)?(Map|Set)(<[^>]*>)?\(\)|\[\]|\{\});?$/m);
      expect(text, path).not.toMatch(/\beval\(|new Function\(/);
      expect(text, path).not.toMatch(/\bfetch\(|XMLHttpRequest|node:https?'|node:net'/);
    }
  });

  it('requests read a document at a version in one way', () => {
    // What keeps documents and their results compares versions; whoever answers a request asks `analyzed.ts`.
    const keepers = ['analyzed', 'jsonFiles', 'session', 'publish', 'workspace'].map(
      (name) => `server/src/lsp/${name}.ts`,
    );
    const comparing = sources.filter(({ text }) => /\.version (===|!==|<=|>=) /.test(text)).map(({ path }) => path);
    expect(comparing.sort()).toEqual(keepers.sort());
  });

  it('one word, one meaning: no two files export types of one name', () => {
    const homes = new Map<string, string[]>();
    for (const { path, text } of sources)
      for (const [, name] of text.matchAll(/^export (?:interface|type|class|enum) (\w+)/gm))
        homes.set(name as string, [...new Set([...(homes.get(name as string) ?? []), path])]);
    expect(homes.size).toBeGreaterThan(300);
    expect([...homes].filter(([, paths]) => paths.length > 1)).toEqual([]);
  });

  it('never promises that a sequence is safe', () => {
    for (const { path, text } of sources) {
      for (const [literal] of text.matchAll(/'[^'\n]*'|`[^`]*`/g)) expect(literal, path).not.toMatch(/\bsafe\b/i);
    }
    const rules = readdirSync(join(ROOT, 'docs/rules')).map((name) => `docs/rules/${name}`);
    for (const page of ['README.md', 'docs/rules.md', 'docs/commands.md', 'demo/README.md', ...rules]) {
      expect(readFileSync(join(ROOT, page), 'utf8'), page).not.toMatch(/\b(is|are) safe\b/i);
    }
  });

  it.each(['DEVELOPERS.md', 'SECURITY.md'])('speaks of files as they are: every path in %s exists', (page) => {
    const text = readFileSync(join(ROOT, page), 'utf8');
    const tracked = new Set(
      readdirSync(ROOT, { recursive: true, encoding: 'utf8' })
        .filter((name) => !name.includes('node_modules') && !name.startsWith('.git'))
        .map(slashes),
    );
    for (const [, path] of text.matchAll(/`((?:test|server|scripts|syntaxes|schemas|docs)\/[\w./-]+?)\/?`/g)) {
      if (path?.includes('<') || path?.startsWith('dist')) continue;
      expect(tracked.has(path as string), relative('.', path as string)).toBe(true);
    }
  });
});
