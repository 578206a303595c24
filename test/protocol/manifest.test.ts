import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { TOKEN_LEGEND } from '../../server/src/lsp/convertEditing.ts';
import { readSettings } from '../../server/src/lsp/settings.ts';
import { RULES } from '../../server/src/rules/all.ts';

// package.json as VS Code reads it. The part that is made from the rules is written anew by UPDATE=1.

const path = (name: string) => fileURLToPath(new URL(`../../${name}`, import.meta.url));
const manifest = JSON.parse(readFileSync(path('package.json'), 'utf8'));
const { contributes } = manifest;
const settings = contributes.configuration.properties;

const SEVERITIES = ['error', 'warning', 'info', 'hint', 'off'];

/** Findings that no rule of the table makes. */
const OTHERS = [
  { id: 'machine-file', severity: 'error', title: 'A machine file that is wrong in a place, missing or unreadable' },
  {
    id: 'vocabulary-file',
    severity: 'error',
    title: 'A vocabulary file that is wrong in a place, missing or unreadable',
  },
  { id: 'rule-failed', severity: 'error', title: 'A rule that failed, so that what it checks is not known' },
];

function ruleSettings() {
  return Object.fromEntries(
    [...RULES, ...OTHERS].map(({ id, severity, title }) => [
      id,
      { type: 'string', enum: SEVERITIES, description: `${title}. Its own severity is ${severity}.` },
    ]),
  );
}

test('every rule has its severity setting (UPDATE=1 writes them)', () => {
  const wanted = ruleSettings();
  if (process.env.UPDATE) {
    settings['bookend.rules'].properties = wanted;
    writeFileSync(path('package.json'), `${JSON.stringify(manifest, null, 2)}\n`);
  }
  expect(settings['bookend.rules'].properties).toEqual(wanted);
});

test('the defaults are the ones that the server falls back to', () => {
  const defaults = Object.fromEntries(
    Object.entries<{ default: unknown }>(settings).map(([name, { default: value }]) => [
      name.replace('bookend.', ''),
      value,
    ]),
  );
  expect(readSettings(defaults)).toEqual(readSettings({}));
});

test('every setting can differ from folder to folder', () => {
  for (const { scope } of Object.values<{ scope: string }>(settings)) expect(scope).toBe('resource');
});

test('it is activated by its own languages and by nothing else', () => {
  const languages = contributes.languages.map(({ id }: { id: string }) => id);
  expect(manifest.activationEvents).toEqual(languages.map((id: string) => `onLanguage:${id}`));
});

test('what a folder could raise or choose is restricted until it is trusted, and nothing else is', () => {
  const { restrictedConfigurations, description } = manifest.capabilities.untrustedWorkspaces;
  const bounds = Object.keys(settings).filter((name) => /\.(largest|highest|most)[A-Z]/.test(name));
  expect([...restrictedConfigurations].sort()).toEqual(['bookend.defaultMachine', ...bounds].sort());
  expect(bounds).toContain('bookend.packages.mostEntries');
  expect(bounds).toContain('bookend.packages.mostMembers');
  expect(description).toMatch(/runs nothing.*cannot make Bookend read files outside of it.*size limit/);
});

test('it runs untrusted, in virtual folders, in Node and in a browser', () => {
  expect(manifest.capabilities.untrustedWorkspaces.supported).toBe(true);
  expect(manifest.capabilities.virtualWorkspaces).toBe(true);
  expect(manifest.main).toBe('./dist/client.js');
  expect(manifest.browser).toBe('./dist/browser-client.js');
});

test('every file that it names is there', () => {
  const named = [
    manifest.icon,
    ...contributes.languages.flatMap((one: { configuration: string; icon: { light: string; dark: string } }) => [
      one.configuration,
      one.icon.light,
      one.icon.dark,
    ]),
    ...contributes.grammars.map((one: { path: string }) => one.path),
  ];
  expect(named.filter((name) => !existsSync(path(name)))).toEqual([]);
});

test('the editor’s own JSON support is not asked for: the server answers, and one thing is not said twice', () => {
  expect(contributes.jsonValidation).toBeUndefined();
  expect(contributes.jsonLanguageParticipants).toBeUndefined();
  expect(readFileSync(path('client/src/extension.ts'), 'utf8')).not.toContain('json-language-features');
});

test('every command that the client registers is in the palette, and no other', () => {
  const source = readFileSync(path('client/src/commands.ts'), 'utf8');
  const registered = [...source.matchAll(/registerCommand\('([^']+)'/g)].map(([, id]) => id);
  expect(registered.length).toBeGreaterThan(0);
  expect(contributes.commands.map(({ command }: { command: string }) => command).sort()).toEqual(registered.sort());
  for (const { category } of contributes.commands) expect(category).toBe('Bookend');
});

test('modifiers of semantic tokens that are our own are declared, and each has its colour', () => {
  // Language Server Protocol 3.17, SemanticTokenTypes and SemanticTokenModifiers.
  const standard = ['defaultLibrary', 'declaration', 'definition', 'readonly', 'deprecated', 'documentation'];
  const declared = contributes.semanticTokenModifiers.map(({ id }: { id: string }) => id);
  expect(declared).toEqual(TOKEN_LEGEND.tokenModifiers.filter((id) => !standard.includes(id)));
  const [{ language, scopes }] = contributes.semanticTokenScopes;
  expect(contributes.languages.map(({ id }: { id: string }) => id)).toContain(language);
  expect(Object.keys(scopes)).toEqual(declared.map((id: string) => `*.${id}`));
  expect(TOKEN_LEGEND.tokenTypes).toEqual(['keyword', 'function', 'parameter', 'number', 'variable', 'string']);
});
