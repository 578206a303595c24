import {
  type CompletionItem,
  type CompletionList,
  type DocumentSymbol,
  type FoldingRange,
  type FormattingOptions,
  getLanguageService,
  type Hover,
  InsertTextFormat,
  MarkupKind,
  type Position,
  type Range,
  type SelectionRange,
  TextDocument,
  type TextEdit,
} from 'vscode-json-languageservice';
import { type JsonFault, shallowJson } from '../machineFile/json.ts';

// Editor features of machine and vocabulary files, by the JSON library and our schemas. A bundle of its own in Node,
// since few sessions open such a file. What is wrong in them is not told from here: the readers of these files say it,
// for every face alike and with what holds until then (`test/unit/machine/twoOpinions.test.ts` compares the two).

/** A machine or vocabulary file that is open in an editor. */
export interface JsonFile {
  readonly document: TextDocument;
  readonly kind: 'machine' | 'vocabulary';
}

/** What is answered about such files. Positions are those of the document; a text of any kind is fine. */
export interface JsonFiles {
  /** @param snippets The client knows places to fill in; else the text comes without them. */
  complete(file: JsonFile, position: Position, snippets: boolean): Promise<CompletionList | null>;
  hover(file: JsonFile, position: Position): Promise<Hover | null>;
  symbols(file: JsonFile): DocumentSymbol[];
  folding(file: JsonFile): FoldingRange[];
  selection(file: JsonFile, positions: Position[]): SelectionRange[];
  format(file: JsonFile, options: FormattingOptions, range?: Range): TextEdit[];
}

/** The schema of each kind of file, as JSON Schema 2020-12. */
export type Schemas = Readonly<Record<JsonFile['kind'], object>>;

/** More of them help nobody, and a list of 100,000 keeps the client busy. */
const MOST = 5000;

export function makeJsonFiles(schemas: Schemas): JsonFiles {
  const completionItem = { documentationFormat: [MarkupKind.Markdown, MarkupKind.PlainText] };
  const json = getLanguageService({ clientCapabilities: { textDocument: { completion: { completionItem } } } });
  json.configure({
    schemas: (['machine', 'vocabulary'] as const).map((kind) => ({
      uri: `bookend:/schemas/${kind}`,
      fileMatch: [placeOf(kind)],
      schema: schemas[kind],
    })),
  });
  const parsed = new WeakMap<TextDocument, Parsed>();

  /** Of each document the last version is kept. */
  const parse = ({ document, kind }: JsonFile): Parsed => {
    const before = parsed.get(document);
    if (before?.version === document.version) return before;
    const faults: JsonFault[] = [];
    const shallow = shallowJson(document.getText(), faults);
    const text = TextDocument.create(placeOf(kind), 'jsonc', document.version, shallow);
    const tree = ourSchema(json.parseJSONDocument(text));
    const made = { version: document.version, text, tree, whole: faults.length === 0 };
    parsed.set(document, made);
    return made;
  };

  return {
    async complete(file, position, snippets) {
      const { text, tree } = parse(file);
      const list = await json.doComplete(text, position, tree);
      return list && { ...list, items: snippets ? list.items : list.items.map(withoutPlaces) };
    },
    async hover(file, position) {
      const { text, tree } = parse(file);
      const found = await json.doHover(text, position, tree);
      const value = found && Array.isArray(found.contents) ? found.contents.join('\n\n') : '';
      return found && value !== '' ? { ...found, contents: { kind: MarkupKind.Markdown, value } } : null;
    },
    symbols(file) {
      const { text, tree } = parse(file);
      return json.findDocumentSymbols2(text, tree, { resultLimit: MOST });
    },
    folding: (file) => json.getFoldingRanges(parse(file).text, { rangeLimit: MOST }),
    selection(file, positions) {
      const { text, tree } = parse(file);
      return json.getSelectionRanges(text, positions, tree);
    },
    // Of a text that is nested too deep a part is left out here, which may not be left out of the document; and indented
    // line by line such a text grows with the square of its depth.
    format: (file, options, range) => (parse(file).whole ? json.format(file.document, range, options) : []),
  };
}

type Tree = ReturnType<ReturnType<typeof getLanguageService>['parseJSONDocument']>;

interface Parsed {
  readonly version: number;
  readonly text: TextDocument;
  readonly tree: Tree;
  /** Nothing was left out. */
  readonly whole: boolean;
}

/** The library finds the schema by the place of a file: all files of a kind lie in one. */
const placeOf = (kind: JsonFile['kind']): string => `bookend:/${kind}.json`;

/** A file may name a schema as `$schema`, which the library would want to read: ours is meant, whatever it names. */
function ourSchema(tree: Tree): Tree {
  if (tree.root?.type !== 'object') return tree;
  for (const { keyNode, valueNode } of tree.root.properties)
    if (keyNode.value === '$schema' && valueNode?.type === 'string') Object.assign(valueNode, { value: '' });
  return tree;
}

/** The same for a client that inserts texts as they are: `"name": "$1"` would stand in its file. */
function withoutPlaces(item: CompletionItem): CompletionItem {
  if (item.insertTextFormat !== InsertTextFormat.Snippet) return item;
  const { textEdit, insertText } = item;
  return {
    ...item,
    insertTextFormat: InsertTextFormat.PlainText,
    ...(insertText === undefined ? {} : { insertText: plain(insertText) }),
    ...(textEdit ? { textEdit: { ...textEdit, newText: plain(textEdit.newText) } } : {}),
  };
}

/** A snippet's text with what its places propose (LSP 3.17, "Snippet Syntax", as far as the library writes it). */
const plain = (snippet: string): string =>
  snippet.replace(
    /\\([\\$}])|\$\{\d+:((?:\\.|[^}\\])*)\}|\$\{?\d+\}?/g,
    (_all, escaped: string | undefined, proposed: string | undefined) =>
      escaped ?? proposed?.replace(/\\([\\$}])/g, '$1') ?? '',
  );
