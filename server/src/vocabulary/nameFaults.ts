import { quoted } from '../machineFile/complaint.ts';
import { parseExpression } from '../placeholders/expression.ts';
import type { Grammar } from '../placeholders/grammar.ts';

/** Why a name cannot be written in a tag; null where it can. */
export function nameFault(name: string): string | null {
  if (name.length > 100)
    return `${quoted(`${name.slice(0, 40)}…`)} cannot be used as a name: it has ${name.length} characters, and a name may have 100. Shorten it.`;
  const { expr } = parseExpression(name, 0);
  if (expr?.type === 'name' && expr.name === name && name !== '.') return null;
  return `${quoted(name)} cannot be used as a name: names are letters, digits and _, joined by dots, and begin with a letter, such as part.top.`;
}

/** The same in a language that says itself how names are written. */
export function nameFaultIn(name: string, { names, operators, words }: Grammar): string | null {
  if (name.length > 100)
    return `${quoted(`${name.slice(0, 40)}…`)} cannot be used as a name: it has ${name.length} characters, and a name may have 100. Shorten it.`;
  const wrong = [...name].find((char) => !/[\p{L}\p{N}_.]/u.test(char) && !names.letters.includes(char));
  const shown = quoted(name);
  if (wrong !== undefined) {
    const mark = names.marks.find((one) => name.startsWith(one));
    return mark !== undefined
      ? `${shown} cannot be used as a name: the mark ${quoted(mark)} is not part of it. Write it without.`
      : `${shown} cannot be used as a name: it has ${quoted(wrong)} in it. If names of this language may, add it to expressions.names.letters.`;
  }
  if (name !== name.trim()) return `${shown} cannot be used as a name: it begins or ends with a space. Remove that.`;
  if (/^\.|\.$|\.\./.test(name))
    return `${shown} cannot be used as a name: something has to stand before, after and between its dots.`;
  if (!/\p{L}|_/u.test(name) || /^(\d+e\d+|0[xbo][\da-f]+)$/i.test(name))
    return `${shown} cannot be used as a name, because it reads as a number.`;
  // Behind a mark a name is told from a word.
  if (names.marks.length > 0) return null;
  const word = operators.find(({ written }) => written === name);
  const truth = (['true', 'false', 'nothing'] as const).find((is) => words[is].includes(name));
  const other = word ? `the operator ${word.does}` : truth && `expressions.${truth}`;
  return other === undefined ? null : `${shown} is also ${other}, so it could never be filled in. Rename one of them.`;
}
