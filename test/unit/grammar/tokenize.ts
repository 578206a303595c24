import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import oniguruma from 'vscode-oniguruma';
import textmate from 'vscode-textmate';

const here = (path: string): URL => new URL(`../../../${path}`, import.meta.url);

async function makeRegistry(): Promise<textmate.Registry> {
  const wasm = createRequire(import.meta.url).resolve('vscode-oniguruma/release/onig.wasm');
  await oniguruma.loadWASM((await readFile(wasm)).buffer as ArrayBuffer);
  return new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async (scope) => {
      const name = scope.replace(/^source\./, '');
      if (!name.startsWith('bookend')) return null;
      const file = here(`syntaxes/${name}.tmLanguage.json`);
      return textmate.parseRawGrammar(await readFile(file, 'utf8'), file.pathname);
    },
  });
}

const registry = makeRegistry();

/** `text -> its innermost scopes` for every coloured piece of the rows, the base scope and `.bookend` left out. */
export async function scopesOf(text: string): Promise<string[]> {
  const grammar = await (await registry).loadGrammar('source.bookend');
  if (!grammar) throw new Error('the grammar did not load');
  const found: string[] = [];
  let state = textmate.INITIAL;
  for (const row of text.split('\n')) {
    const result = grammar.tokenizeLine(row, state);
    state = result.ruleStack;
    for (const token of result.tokens) {
      const piece = row.slice(token.startIndex, token.endIndex).trim();
      const scopes = token.scopes.slice(1).map((s) => s.replace(/\.bookend$/, ''));
      if (piece !== '' && scopes.length > 0) found.push(`${piece} -> ${scopes.join(' ')}`);
    }
  }
  return found;
}
