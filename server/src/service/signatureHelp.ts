import { describeWord } from '../commands/describe.ts';
import { joinOf } from '../commands/joining.ts';
import { writtenCode } from '../commands/record.ts';
import { OURS } from '../placeholders/ours.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import { commandBefore, placeAt } from '../syntax/at.ts';
import type { Tag } from '../syntax/nodes.ts';
import type { Span } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import { plain } from './phrase.ts';
import { boundOf, common, ownerOf, ranOf } from './steps.ts';
import { type FunctionHelp, functionHelp, functionsOf } from './tagFacts.ts';

/** The function or command whose arguments or words are being written. */
export interface SignatureText {
  readonly signature: string;
  /** Markdown, as the pages are. */
  readonly does: string;
  /** The parameters, as stretches of `signature`. */
  readonly parameters: readonly Span[];
  /** A page for each parameter; empty where there are none. */
  readonly pages: readonly string[];
  /** Which of them the cursor is at; one more than there are where it is at none. */
  readonly active: number;
}

/** A longer expression is no expression. */
const LONGEST = 4000;

/**
 * In a tag the innermost call around an offset, whether the expression is finished or not; behind a command's code its
 * words, with unit, range and what holds without them. null where there is neither.
 */
export function signatureHelp(a: Analysis, offset: number): SignatureText | null {
  if (!(offset >= 0 && offset <= a.tree.text.length)) return null;
  const { tag, comment } = placeAt(a.tree, offset);
  if (tag) return helpInTag(a, tag, offset);
  return comment && offset > comment.span.start ? null : commandHelp(a, offset);
}

function helpInTag(a: Analysis, tag: Tag, offset: number): SignatureText | null {
  if (!['value', 'section', 'inverted', 'set'].includes(tag.kind) || offset < tag.inner.start) return null;
  if (offset - tag.inner.start > LONGEST) return null;
  // A cursor between the halves of the closing delimiter is in no argument.
  if (tag.closed && /\S/.test(a.tree.text.slice(tag.inner.end, offset))) return null;
  const call = callAround(a.vocabulary, a.tree.text.slice(tag.inner.start, offset));
  if (!call) return null;
  const { signature, does, most } = call.help;
  const parameters = parametersOf(signature);
  const active = Number.isFinite(most) ? call.commas : Math.min(call.commas, parameters.length - 1);
  return { signature, does, parameters, pages: [], active };
}

function commandHelp(a: Analysis, offset: number): SignatureText | null {
  const { line, word } = placeAt(a.tree, offset);
  const node = commandBefore(line, offset);
  // In the code itself, or right behind it, the command may still become another one.
  if (!node || (node.codeSpan.end > node.codeSpan.start && offset <= node.codeSpan.end)) return null;
  const own = word ? ownerOf(a, line, word) : undefined;
  const command = own ?? boundOf(a, line, node);
  const record = command?.record;
  if (!command || !record || record.freeText || record.words.length === 0) return null;
  const parameters: Span[] = [];
  let signature = writtenCode(record, record.code);
  for (const { key, written: asWritten, required, value } of record.words) {
    const start = signature.length + 1;
    const join = node.named && (value ?? 'needed') === 'needed' ? (joinOf(a.catalog, a.tree, key) ?? '').trim() : '';
    const written = (asWritten ?? key) + join;
    signature += ` ${required ? written : `[${written}]`}`;
    parameters.push({ start, end: signature.length });
  }
  const at = own && word ? record.words.findIndex(({ key }) => key === word.key) : -1;
  const inches = common(ranOf(a, command).steps, (step) => step.before.inches);
  return {
    signature,
    does: `**${plain(record.title)}** ${plain(record.does)}`,
    parameters,
    pages: record.words.map((one) => describeWord(record, one, a.machine?.controller ?? null, inches)),
    active: at < 0 ? parameters.length : at,
  };
}

interface Call {
  readonly help: FunctionHelp;
  readonly commas: number;
}

/** The innermost bracket of a function that is open at the end of a text. */
function callAround(vocabulary: Vocabulary, text: string): Call | null {
  const quotes = vocabulary.grammar?.quotes ?? OURS.quotes;
  const open: { before: string; commas: number }[] = [];
  for (let i = 0; i < text.length; i++) {
    const c = text.charAt(i);
    if (quotes.includes(c)) {
      while (++i < text.length && text.charAt(i) !== c) if (text.charAt(i) === '\\') i++;
      if (i >= text.length) return null;
    } else if (c === '(') {
      open.push({ before: text.slice(Math.max(0, i - 100), i).trimEnd(), commas: 0 });
    } else if (c === ')') open.pop();
    else if (c === ',' || (c === ';' && vocabulary.grammar)) {
      const call = open.at(-1);
      if (call) call.commas++;
    }
  }
  for (let call = open.pop(); call; call = open.pop()) {
    const help = functionBefore(vocabulary, call.before);
    // Behind a sign the value in front of it is the first argument.
    if (help) return { help: help.help, commas: call.commas + (help.behindSign ? 1 : 0) };
  }
  return null;
}

/** The function whose name ends a text, the longest of them; whether it stands behind the sign of a call. */
function functionBefore(
  vocabulary: Vocabulary,
  text: string,
): { readonly help: FunctionHelp; readonly behindSign: boolean } | null {
  const names = [...functionsOf(vocabulary).keys()].sort((a, b) => b.length - a.length);
  const name = names.find((one) => text.endsWith(one) && !/[\p{L}\p{N}_]$/u.test(text.slice(0, -one.length)));
  const help = name === undefined ? null : functionHelp(vocabulary, name);
  const before = text.slice(0, text.length - (name?.length ?? 0)).trimEnd();
  const signs = vocabulary.grammar?.calls.flatMap((form) => (form.is === 'filter' ? [form.sign] : [])) ?? [];
  return help && { help, behindSign: signs.some((sign) => before.endsWith(sign)) };
}

function parametersOf(signature: string): Span[] {
  const parameters: Span[] = [];
  const from = signature.indexOf('(') + 1;
  for (const found of signature.slice(from, -1).matchAll(/[^,\s]+/g))
    parameters.push({ start: from + found.index, end: from + found.index + found[0].length });
  return parameters;
}
