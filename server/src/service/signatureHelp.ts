import { FUNCTIONS, type FunctionName } from '../placeholders/expression.ts';
import { tagAt } from '../syntax/at.ts';
import type { Span } from '../text/span.ts';
import type { Analysis } from './analyze.ts';

/** The function whose arguments are being written. */
export interface SignatureText {
  readonly signature: string;
  readonly does: string;
  /** The parameters, as stretches of `signature`. */
  readonly parameters: readonly Span[];
  /** Which of them the cursor is at; one more than there are where the function takes no more. */
  readonly active: number;
}

/** A longer expression is no expression. */
const LONGEST = 4000;

/** The innermost call around an offset in a tag, whether the expression is finished or not; null where there is none. */
export function signatureHelp(a: Analysis, offset: number): SignatureText | null {
  const tag = offset >= 0 && offset <= a.tree.text.length ? tagAt(a.tree, offset) : null;
  if (!tag || !['value', 'section', 'inverted'].includes(tag.kind) || offset < tag.inner.start) return null;
  if (offset - tag.inner.start > LONGEST) return null;
  // A cursor between the halves of the closing delimiter is in no argument.
  if (tag.closed && /\S/.test(a.tree.text.slice(tag.inner.end, offset))) return null;
  const call = callAround(a.tree.text.slice(tag.inner.start, offset));
  if (!call) return null;
  const { signature, does, most } = FUNCTIONS[call.name];
  const parameters = parametersOf(signature);
  const active = Number.isFinite(most) ? call.commas : Math.min(call.commas, parameters.length - 1);
  return { signature, does, parameters, active };
}

interface Call {
  readonly name: FunctionName;
  readonly commas: number;
}

/** The innermost bracket of a function that is open at the end of a text. */
function callAround(text: string): Call | null {
  const open: { name: string; commas: number }[] = [];
  for (let i = 0; i < text.length; i++) {
    const c = text.charAt(i);
    if (c === '"' || c === "'") {
      while (++i < text.length && text.charAt(i) !== c) if (text.charAt(i) === '\\') i++;
      if (i >= text.length) return null;
    } else if (c === '(') {
      open.push({ name: /([\w.]+)\s*$/.exec(text.slice(Math.max(0, i - 40), i))?.[1] ?? '', commas: 0 });
    } else if (c === ')') open.pop();
    else if (c === ',') {
      const call = open.at(-1);
      if (call) call.commas++;
    }
  }
  for (let call = open.pop(); call; call = open.pop())
    if (Object.hasOwn(FUNCTIONS, call.name)) return { name: call.name as FunctionName, commas: call.commas };
  return null;
}

function parametersOf(signature: string): Span[] {
  const parameters: Span[] = [];
  const from = signature.indexOf('(') + 1;
  for (const found of signature.slice(from, -1).matchAll(/[^,\s]+/g))
    parameters.push({ start: from + found.index, end: from + found.index + found[0].length });
  return parameters;
}
