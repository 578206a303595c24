import {
  type DocumentHighlight,
  DocumentHighlightKind,
  type Location,
  type Position,
  type Range,
  ResponseError,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import { commandPlace, declaredAt, factPlace, namePlace } from '../service/definition.ts';
import { highlights as otherHighlights } from '../service/highlights.ts';
import { fixedBecause, newNameFault, renamedFault, vocabularyNameAt, vocabularyPlaces } from '../service/rename.ts';
import { usesOf } from '../service/uses.ts';
import type { Span } from '../text/span.ts';
import type { MachineChoice } from './choice.ts';
import { type TextChanges, toEdit, toRange } from './convert.ts';
import { toHighlight } from './convertEditing.ts';
import { isVocabularyDocument } from './documents.ts';
import type { RequestContext } from './requestContext.ts';
import { canonical } from './uri.ts';
import type { WorkspaceSequence, WorkspaceText } from './workspace.ts';

// Requests about a placeholder name: where it is declared, where it stands, and what it is called.

interface AtPosition {
  readonly textDocument: { readonly uri: string };
  readonly position: Position;
}

/** A name under the cursor, and where it belongs. */
interface Found {
  readonly name: string;
  readonly range: Range;
  /** Canonical URI of the vocabulary file that declares it; null: a built-in name, a figure of the machine's, or unknown. */
  readonly home: string | null;
  /** null in a vocabulary file. */
  readonly choice: MachineChoice | null;
  /** Where it stands in the document itself. */
  readonly own: readonly Range[];
}

/** The vocabulary file of a choice, where it declares the name. */
async function homeOf({ machines }: RequestContext, choice: MachineChoice, name: string): Promise<string | null> {
  const uri = choice.names.uri;
  const file = uri === null ? null : await machines.readVocabulary(uri);
  return file?.file?.names.some((one) => one.name === name) ? file.uri : null;
}

async function find(context: RequestContext, { textDocument, position }: AtPosition): Promise<Found | null> {
  const checked = await context.session.check(textDocument.uri);
  if (!checked) return null;
  const { document, analysis, choice, version } = checked;
  const range = (span: Span): Range => toRange(document, span);
  const offset = document.offsetAt(position);
  if (isVocabularyDocument(document)) {
    const text = document.getText();
    if (text.length > checked.settings.largestMachineFile) return null;
    const at = vocabularyNameAt(text, offset);
    if (!at) return null;
    const own = vocabularyPlaces(text, at.name).map(range);
    return { name: at.name, range: range(at.span), home: canonical(document.uri), choice: null, own };
  }
  if (!analysis || !choice) return null;
  const declared = declaredAt(analysis, offset);
  if (declared?.what !== 'placeholder') return null;
  const own = usesOf(analysis).filter(({ key }) => key === declared.name);
  const found = {
    name: declared.name,
    range: range(declared.span),
    choice,
    own: own.map(({ span }) => range(span)),
  };
  const home = await homeOf(context, choice, declared.name);
  // What was found belongs to the version that was looked at.
  return document.version === version ? { ...found, home } : null;
}

/** To the vocabulary file, or to the machine file for its figures and its own commands; null for built-in names. */
export async function definition(context: RequestContext, params: AtPosition): Promise<Location | null> {
  const checked = await context.session.check(params.textDocument.uri);
  if (!checked?.analysis || !checked.choice) return null;
  const { analysis, choice, document } = checked;
  const declared = declaredAt(analysis, document.offsetAt(params.position));
  if (!declared) return null;
  const file = choice.file;
  const to = (uri: string, text: string, span: Span | null): Location | null => {
    const { document: target } = context.workspace.textOf(uri, text);
    return span && { uri: target.uri, range: toRange(target, span) };
  };
  if (declared.what === 'command') return file && to(file.uri, file.text, commandPlace(file.text, declared.code));
  const home = await homeOf(context, choice, declared.name);
  const names = home === null ? null : await context.machines.readVocabulary(home);
  if (names) return to(names.uri, names.text, namePlace(names.text, declared.name));
  if (!file || !analysis.vocabulary.names.get(declared.name)?.fromMachine) return null;
  return to(file.uri, file.text, factPlace(file.text, declared.name));
}

/** Of the placeholder name, else of the command or word at the place. */
export async function highlights(context: RequestContext, params: AtPosition): Promise<DocumentHighlight[]> {
  const found = await find(context, params);
  if (found) return found.own.map((range) => ({ range, kind: DocumentHighlightKind.Text }));
  const checked = await context.session.check(params.textDocument.uri);
  if (!checked?.analysis || checked.document.version !== checked.version) return [];
  const { analysis, document } = checked;
  return otherHighlights(analysis, document.offsetAt(params.position)).map((span) => toHighlight(document, span));
}

/** The sequences that mean the same name, with its places in each. */
async function usedIn(context: RequestContext, { name, home }: Found, near: string): Promise<Used[]> {
  const used: Used[] = [];
  for (const sequence of await context.workspace.sequences(near, context.work)) {
    const uses = usesOf(sequence.names).filter(({ key }) => key === name);
    if (uses.length === 0 || (await homeOf(context, sequence.choice, name)) !== home) continue;
    used.push({ sequence, spans: uses.map(({ span }) => span) });
  }
  return used;
}

interface Used {
  readonly sequence: WorkspaceSequence;
  readonly spans: readonly Span[];
}

/** The vocabulary file of a name with its places in it; null for built-in names. */
async function declaredIn(
  context: RequestContext,
  { home, name }: Found,
): Promise<{ at: WorkspaceText; spans: Span[] } | null> {
  const file = home === null ? null : await context.machines.readVocabulary(home);
  return file && { at: context.workspace.textOf(file.uri, file.text), spans: vocabularyPlaces(file.text, name) };
}

/** Over all sequences that can be found; the vocabulary file's own places where declarations are wanted too. */
export async function references(
  context: RequestContext,
  params: AtPosition & { readonly context?: { readonly includeDeclaration?: boolean } },
): Promise<Location[]> {
  const found = await find(context, params);
  if (!found) return [];
  const declared = await declaredIn(context, found);
  // The first place is the declaration; relations to other names are uses.
  const inFile = params.context?.includeDeclaration ? (declared?.spans ?? []) : (declared?.spans.slice(1) ?? []);
  const used = await usedIn(context, found, params.textDocument.uri);
  const locations = (text: WorkspaceText, spans: readonly Span[]): Location[] =>
    spans.map((span) => ({ uri: text.document.uri, range: toRange(text.document, span) }));
  return [
    ...(declared ? locations(declared.at, inFile) : []),
    ...used.flatMap(({ sequence, spans }) => locations(sequence, spans)),
  ];
}

/** The protocol's "request failed": the client shows the message. */
const REQUEST_FAILED = -32803;
const refuse = (message: string): ResponseError<void> => new ResponseError(REQUEST_FAILED, message);

export async function prepareRename(context: RequestContext, params: AtPosition): Promise<unknown> {
  const found = await find(context, params);
  if (!found) return null;
  const fixed = found.choice && fixedBecause(found.choice.names.vocabulary, found.name, found.home !== null);
  return fixed ? refuse(fixed) : { range: found.range, placeholder: found.name };
}

export async function rename(
  context: RequestContext,
  params: AtPosition & { readonly newName: string },
): Promise<WorkspaceEdit | ResponseError<void> | null> {
  const { textDocument, newName } = params;
  const found = await find(context, params);
  if (!found) return null;
  const fixed = found.choice && fixedBecause(found.choice.names.vocabulary, found.name, found.home !== null);
  if (fixed) return refuse(fixed);
  const used = await usedIn(context, found, textDocument.uri);
  const declared = await declaredIn(context, found);
  if (!declared) return null;
  const file = found.home === null ? null : await context.machines.readVocabulary(found.home);
  const vocabulary = found.choice?.names.vocabulary ?? context.machines.vocabulary(null, file);
  const fault =
    newNameFault(
      vocabulary,
      found.name,
      newName,
      used.map(({ sequence }) => sequence.names),
    ) ?? renamedFault(file?.text ?? '', found.name, newName);
  if (fault) return refuse(fault);
  const changes = (text: WorkspaceText, spans: readonly Span[]): TextChanges => ({
    document: { uri: text.document.uri, version: text.version },
    edits: spans.map((span) => ({ range: toRange(text.document, span), newText: newName })),
  });
  const all = [changes(declared.at, declared.spans), ...used.map(({ sequence, spans }) => changes(sequence, spans))];
  const places = all.reduce((sum, { edits }) => sum + edits.length, 0);
  const texts = all.length === 1 ? '1 text' : `${all.length} texts`;
  return toEdit(all, context.abilities, {
    label: `Rename “${found.name}” to “${newName}”`,
    description: `${places === 1 ? '1 place' : `${places} places`} in ${texts}`,
  });
}
