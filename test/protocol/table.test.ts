import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readAbilities } from '../../server/src/lsp/abilities.ts';
import { FEATURES } from '../../server/src/lsp/features.ts';
import { describeServer } from '../../server/src/lsp/introduce.ts';
import { SHAPES } from '../../server/src/lsp/shapes.ts';

// A feature of the editor is its service, its row in the table, and what turns its answer into a message. What of it was
// forgotten is told here.

const INITIALIZE = { capabilities: {}, processId: null, rootUri: null, workspaceFolders: null };
const PULLS = { ...INITIALIZE, capabilities: { textDocument: { diagnostic: {} } } };
const OFFERED = describeServer(readAbilities(PULLS)).capabilities;

/**
 * Where the server says that it has a request: `textDocument/hover` is `hoverProvider`, others have `document` in front
 * (Language Server Protocol 3.17, "Server Capabilities" and the section of each request).
 */
function offerOf(method: string): unknown {
  const [, name = '', part] = method.split('/');
  const all: Readonly<Record<string, unknown>> = { ...OFFERED };
  const own = all[`${name}Provider`] ?? all[`document${name[0]?.toUpperCase()}${name.slice(1)}Provider`];
  return part === undefined ? own : (own as Readonly<Record<string, unknown>> | undefined)?.[part];
}

describe('the table of features', () => {
  const standard = FEATURES.map(({ method }) => method).filter((method) => method.startsWith('textDocument/'));

  test.each(standard.filter((method) => method !== 'textDocument/prepareRename'))(
    '%s is offered to clients',
    (method) => {
      expect(offerOf(method), method).toBeTruthy();
    },
  );

  test('names each request once, and each passes the gate in the form that its row says', () => {
    const methods = FEATURES.map(({ method }) => method);
    expect(new Set(methods).size).toBe(methods.length);
    for (const { method, shape } of FEATURES) {
      expect(SHAPES.get(method), method).toBe(shape);
      expect(shape(undefined, 'params'), method).not.toBeNull();
    }
  });

  test('offers no request twice, and none that it does not answer', () => {
    const offers = FEATURES.flatMap(({ offer }) => Object.keys(offer?.(readAbilities(PULLS)) ?? {}));
    expect(new Set(offers).size).toBe(offers.length);
    const answered = new Set(
      standard.flatMap((method) => {
        const name = method.split('/')[1] ?? '';
        return [`${name}Provider`, `document${name[0]?.toUpperCase()}${name.slice(1)}Provider`];
      }),
    );
    expect(offers.filter((name) => !answered.has(name))).toEqual([]);
  });

  test('every service is asked by somebody, not only converted', () => {
    const root = new URL('../../server/src/', import.meta.url);
    const files = readdirSync(root, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.ts'));
    const imported = new Set(
      files.flatMap((name) => {
        const from = new URL(name.replaceAll('\\', '/'), root);
        return [...readFileSync(from, 'utf8').matchAll(/^import (?!type\b)[^;]*? from '(\.[^']+)'/gm)].map(
          ([, path]) => new URL(path ?? '', from).href,
        );
      }),
    );
    // The pages under docs/ are written by a script.
    const byScripts = ['reference.ts'];
    // A file of types alone has nothing to be asked.
    const answers = (name: string) =>
      /^export (?!type\b|interface\b)/m.test(readFileSync(new URL(`service/${name}`, root), 'utf8'));
    const services = readdirSync(new URL('service/', root)).filter(answers);
    expect(services.length).toBeGreaterThan(30);
    const alone = services.filter((name) => !imported.has(new URL(`service/${name}`, root).href));
    expect(alone.filter((name) => !byScripts.includes(name))).toEqual([]);
  });
});
