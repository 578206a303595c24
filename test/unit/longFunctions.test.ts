import { readdirSync, readFileSync } from 'node:fs';
import ts from 'typescript';
import { expect, it } from 'vitest';

const ROOT = new URL('../../', import.meta.url);
const MOST = 120;

/** Functions of more lines than that, each with what is written above it. */
function longIn(path: string): { readonly name: string; readonly says: string }[] {
  const text = readFileSync(new URL(path, ROOT), 'utf8');
  if (text.split('\n').length <= MOST) return [];
  const file = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true);
  const found: { name: string; says: string }[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isFunctionLike(node) && 'body' in node && node.body) {
      const [first, last] = [node.getStart(), node.end].map((at) => file.getLineAndCharacterOfPosition(at).line);
      if ((last ?? 0) - (first ?? 0) + 1 > MOST)
        found.push({ name: `${path} ${node.name?.getText() ?? ''}`, says: text.slice(node.pos, node.getStart()) });
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

it('a function of more than 120 lines says why it is not cut', () => {
  const files = ['server/src', 'server/kernel', 'client/src', 'scripts'].flatMap((folder) =>
    readdirSync(new URL(`${folder}/`, ROOT), { recursive: true, encoding: 'utf8' })
      .filter((name) => /\.(ts|mjs)$/.test(name) && !name.includes('node_modules'))
      .map((name) => `${folder}/${name.replaceAll('\\', '/')}`),
  );
  const long = files.flatMap(longIn);
  // The scan of a finished program is one, so that this sees long ones at all.
  expect(long.map(({ name }) => name)).toContain('server/kernel/scan.ts scan');
  for (const { name, says } of long) expect(says, name).toContain('One long function, since');
});
