import { parseExpression } from '../placeholders/expression.ts';

// How a statement of an unknown language is taken apart: the words that steer, and what they steer by.

/** Words that open a section, with more behind them than one (common practice in template languages). */
const OPENERS =
  /^([#?@:*]\s*)?(for each|for every|for all|foreach|forEach|for|each|if|unless|when|while|choose by|choose|switch on|switch|select|given|repeat|with|case)(?![\p{L}\p{N}_])/iu;
const MIDDLES =
  /^(\}\s*)?(else\s+if|elseif|elsif|elif|or when|or if|otherwise if|otherwise when|else when|when|case|is)(?![\p{L}\p{N}_])/iu;
const MARK = /^[#^?@*]/;

/** A statement with its condition cut out: what stands in front, and behind. */
export interface Lead {
  readonly lead: string;
  readonly behind: string;
  /** What it is about. */
  readonly about: string;
}

/** The words in front of an opener's or a middle's condition, and the signs or words behind it. */
export function leadOf(content: string, at: 'open' | 'middle'): Lead {
  const plain = content.trim();
  const known = (at === 'open' ? OPENERS : MIDDLES).exec(plain)?.[0];
  const lead = known ?? MARK.exec(plain)?.[0] ?? unknownLead(plain);
  const rest = plain.slice(lead.length);
  const behind = /(?:^|[\s)\]}"'\p{L}\p{N}_])(\{|:|\?|then|do)$/u.exec(rest)?.[1] ?? '';
  return { lead: spaced(lead), behind, about: rest.slice(0, rest.length - behind.length).trim() };
}

/** Of a word that nobody knows: as few words as leave something that reads as an expression. */
function unknownLead(plain: string): string {
  const words = /^[^\s(]+(\s+[\p{L}_]+)*/u.exec(plain)?.[0].split(/(?<=\S)(?=\s)/) ?? [];
  for (let n = 1; n <= Math.min(3, words.length); n++) {
    const lead = words.slice(0, n).join('');
    const rest = plain.slice(lead.length);
    if (rest.trim() !== '' && parseExpression(rest, 0).expr) return lead;
  }
  return words[0] ?? plain;
}

const spaced = (words: string): string => words.trim().replace(/\s+/g, ' ');

/** A tag that is nothing but its words. */
export const wholeForm = (content: string): string => spaced(content);

const NAME = '[$@.]?[\\p{L}_][\\p{L}\\p{N}_.-]*';
const LISTS: readonly (readonly [RegExp, (parts: readonly string[]) => string])[] = [
  // for each tip in tips · for (const tip of tips) {
  [
    new RegExp(
      `^([#@]?\\s*[\\p{L}]+(?: (?:each|every|all))?)\\s*(\\(?\\s*)((?:const|let|var)\\s+)?${NAME}(\\s*,\\s*${NAME})?\\s+(in|of|from|through)\\s+(.+?)(\\)?\\s*(?:\\{|:|do)?)$`,
      'iu',
    ),
    ([lead = '', open = '', kind = '', index, word = '', , close = '']) =>
      `${lead} ${open}${kind}ITEM${index === undefined ? '' : ', INDEX'} ${word} LIST${close}`,
  ],
  // each tips as tip, i
  [
    new RegExp(
      `^([#@]?\\s*[\\p{L}]+(?: each)?)\\s*(\\(?\\s*)(.+?)\\s+as\\s+\\|?${NAME}(\\s*,\\s*${NAME})?(\\)?\\s*(?:\\{|:|do)?)$`,
      'iu',
    ),
    ([lead = '', open = '', , index, close = '']) =>
      `${lead} ${open}LIST as ITEM${index === undefined ? '' : ', INDEX'}${close}`,
  ],
  // tips.forEach((tip, i) => {
  [
    new RegExp(
      `^(.+?)\\.(forEach|each|map)\\(\\s*(\\(?)\\s*${NAME}(\\s*,\\s*${NAME})?\\s*(\\)?)\\s*(=>)?\\s*\\{$`,
      'iu',
    ),
    ([, word = '', open = '', index, close = '', arrow = '']) =>
      `LIST.${word}(${open}ITEM${index === undefined ? '' : ', INDEX'}${close} ${arrow} {`,
  ],
  // #each tips
  [/^([#@]?\s*(?:for each|for every|foreach|each))\s+[\p{L}_$.@][^\s]*$/iu, ([lead = '']) => lead],
];

/** How a section over a list is opened; null: it is none. */
export function eachForm(content: string): string | null {
  const plain = content.trim();
  for (const [pattern, form] of LISTS) {
    const parts = pattern.exec(plain);
    if (parts) return spaced(form(parts.slice(1)));
  }
  return null;
}

/** Whether what a middle is about is texts or numbers alone, as the branches of a switch have them. */
export const constants = (content: string, at: 'open' | 'middle'): boolean =>
  /^("[^"]*"|'[^']*'|-?[\d.]+)(\s*,\s*("[^"]*"|'[^']*'|-?[\d.]+))*$/.test(leadOf(content, at).about);

/** How a name is set; null: nothing is. */
export function setForm(content: string): string | null {
  const parts = new RegExp(
    `^((?:set|let|assign|var|const|local|define)\\b\\s*\\(?\\s*)?${NAME}\\s*(=|:=|<-|to|as)\\s*(?!=)(.+?)(\\)?;?)$`,
    'iu',
  ).exec(content.trim());
  if (!parts) return null;
  const [, lead = '', sign = '', value = '', close = ''] = parts;
  // A bracket that the value itself opens is its own.
  const closes = lead.includes('(') && !value.includes('(') ? ')' : '';
  if (!lead && close.includes(')')) return null;
  return spaced(`${lead}NAME ${sign} VALUE${closes}`).replace('( NAME', '(NAME');
}
