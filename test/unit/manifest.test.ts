import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { listFiles } from '@vscode/vsce';
import { describe, expect, it } from 'vitest';
import { RULES } from '../../server/src/rules/all.ts';

// What package.json says elsewhere too: in the README, the changelog, the grammars, and in what is packaged. That its
// files, commands and settings exist is in test/protocol/manifest.test.ts.

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const read = (name: string): string => readFileSync(`${ROOT}${name}`, 'utf8');
const manifest = JSON.parse(read('package.json'));
const { contributes } = manifest;
const languages: string[] = contributes.languages.map((l: { id: string }) => l.id);

describe('package.json and the pages', () => {
  it('the version is the newest of the changelog', () => {
    const newest = /^## (\d+\.\d+\.\d+)/m.exec(read('CHANGELOG.md'))?.[1];
    expect(manifest.version).toBe(newest);
  });

  it('the README tells of every setting, and of none that does not exist', () => {
    const named = new Set([...read('README.md').matchAll(/`(bookend(?:\.\w+)+)`/g)].map((m) => m[1]));
    expect([...named].sort()).toEqual(Object.keys(contributes.configuration.properties).sort());
  });

  it('rules that the README names exist', () => {
    const ids = new Set(RULES.map((r) => r.id));
    const named = [...read('README.md').matchAll(/"([a-z]+(?:-[a-z]+)+)": "(?:error|warning|info|hint|off)"/g)].map(
      (m) => m[1],
    );
    expect(named.length).toBeGreaterThan(0);
    for (const id of named) expect(ids.has(id as string), id).toBe(true);
  });

  it('npm scripts that the README names exist', () => {
    const named = [...read('README.md').matchAll(/npm (?:run ([a-z]+)|(start|test)\b)/g)].map((m) => m[1] ?? m[2]);
    expect(named.length).toBeGreaterThan(2);
    for (const script of named) expect(Object.keys(manifest.scripts), script).toContain(script);
  });

  it('rule ids are unique and in kebab case', () => {
    const ids = RULES.map((r) => r.id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const id of ids) expect(id).toMatch(/^[a-z]+(-[a-z]+)*$/);
  });
});

describe('languages', () => {
  it('every grammar is that of a contributed language, with the scope that its file states', () => {
    for (const { language, scopeName, path } of contributes.grammars) {
      expect(languages).toContain(language);
      expect(JSON.parse(read(path)).scopeName).toBe(scopeName);
    }
    expect(contributes.grammars).toHaveLength(languages.length);
  });

  it('conditions name contributed languages and commands', () => {
    const commands = contributes.commands.map((c: { command: string }) => c.command);
    for (const { command, when } of contributes.menus.commandPalette) {
      expect(commands).toContain(command);
      for (const [, id] of when.matchAll(/editorLangId == ([\w-]+)/g)) expect(languages).toContain(id);
    }
  });
});

describe('the package', () => {
  it('holds no sources, tests, packages or notes (as vsce itself lists it)', async () => {
    const files = await listFiles({ cwd: ROOT, packagedDependencies: [] });
    expect(files).toContain('package.json');
    expect(files).toContain('README.md');
    expect(files).toContain('syntaxes/bookend.tmLanguage.json');
    // Findings link to them.
    for (const { id } of RULES) expect(files).toContain(`docs/rules/${id}.md`);
    for (const file of files) {
      expect(file).not.toMatch(
        /\.ts$|\.map$|\.mjs$|^(test|scripts|client|server|demo|docs(?!\/rules(\/|\.md))|node_modules|\.)/,
      );
    }
  });
});
