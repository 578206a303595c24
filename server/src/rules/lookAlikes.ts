import { plainOf } from '../syntax/chars.ts';

/** Letters of other alphabets that look like ours, in pairs: Cyrillic, then Greek. */
const ALIKE = 'АAВBЕEКKМMНHОOРPСCТTХXЅSІIЈJаaеeоoрpсcхxіiјjѕsΑAΒBΕEΖZΗHΙIΚKΜMΝNΟOΡPΤTΥYΧXοo';

/** A text in ASCII where each of its characters has a look-alike there, or is a letter with a mark; null otherwise. */
export function inAscii(text: string): string | null {
  let plain = '';
  for (const char of text.normalize('NFD')) {
    const code = char.charCodeAt(0);
    const at = ALIKE.indexOf(char);
    if (code < 128) plain += char;
    else if (at >= 0 && at % 2 === 0) plain += ALIKE.charAt(at + 1);
    else if (char === 'ß') plain += 'ss';
    else if (!/\p{M}/u.test(char)) {
      const alike = char.length === 1 ? plainOf(code) : null;
      if (alike === null) return null;
      plain += alike;
    }
  }
  return plain;
}
