import { CharClass, classOf, isDigit, isUnseen } from './chars.ts';
import { TokenKind } from './nodes.ts';
import { quote, report } from './problems.ts';
import { emit, type Scan } from './scan.ts';

/** Takes what cannot be read, up to the next blank, letter or comment, and tells it once. */
export function takeStray(s: Scan, lineHasCommand: boolean): void {
  const { text, stop, pos } = s;
  let i = pos + 1;
  while (i < stop) {
    const c = text.charCodeAt(i);
    const kind = classOf(c);
    const goesOn = kind === CharClass.other ? !isUnseen(c) : kind === CharClass.digit || kind === CharClass.numeric;
    if (!goesOn) break;
    i++;
  }
  emit(s, TokenKind.stray, i);
  report(s.problems, 'stray-text', pos, i, strayMessage(s, lineHasCommand, pos, i));
}

function strayMessage(s: Scan, lineHasCommand: boolean, start: number, end: number): string {
  const shown = quote(s.text, start, end);
  const c = s.text.charCodeAt(start);
  if (isDigit(c) || c === 46 || c === 43 || c === 45) {
    return `The number ${shown} has no letter in front of it, so the machine cannot tell what it means. Put the letter there, like X${s.text.slice(start, Math.min(end, start + 12))}.`;
  }
  if (c === 42) return `A second checksum ${shown} stands on this line. A line has one, at its end: remove this one.`;
  if (c === 44) return 'A comma stands between words. Words are set apart by blanks: remove the comma.';
  if (c === 47 && !lineHasCommand)
    return `${shown} marks a line to be skipped (RS-274 block delete); printing controllers do not know it. Put ";" in front of a line that is not to run.`;
  if (c === 41) return 'A ")" closes a comment that was never opened. Remove it, or put "(" where the comment begins.';
  if ((c === 125 || c === 123) && s.tagShown === '{{ … }}')
    return `${shown} is a single brace. A tag stands in double braces: {{ … }}.`;
  if (c === 125 || c === 123) return `${shown} is no tag here. This vocabulary writes a placeholder as ${s.tagShown}.`;
  return `${shown} is no part of a command. Remove it, or put ";" in front of it if it is meant as a comment.`;
}
