// Names of entries. They are shown and compared; no path is ever made of one.

/** Bytes 0x80 to 0xFF in code page 437, in which a zip names its entries unless it says UTF-8 (PKWARE APPNOTE, appendix D). */
const CP437 =
  'ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒáíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐└┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀' +
  'αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u00a0';

/** UTF-8 where the bytes are valid UTF-8, told or not (common practice, no source), else code page 437. */
export function decodeName(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return Array.from(bytes, (b) => (b < 0x80 ? String.fromCharCode(b) : (CP437[b - 0x80] as string))).join('');
  }
}

/** How many characters of a name are shown. */
const SHOWN = 200;

/** Fit for a terminal and a message: nothing that moves the cursor or turns the writing direction, and not endless. */
export function shownName(name: string): string {
  const short = name.length > SHOWN ? `${name.slice(0, SHOWN)}…` : name;
  return short.replace(/[\p{Cc}\p{Cf}\u2028\u2029]|[\ud800-\udbff](?![\udc00-\udfff])/gu, '\ufffd');
}

/**
 * Why a name must not stand for a place on disk, as the rest of "Its name …"; null where nothing is wrong with it.
 * A drive, a leading slash: PKWARE APPNOTE 4.4.17.1. `..`: CWE-22.
 */
export function nameFault(name: string): string | null {
  if (/(^|[\\/])\.\.([\\/]|$)/.test(name)) return 'climbs out of the folder with ".."';
  if (/^[A-Za-z]:/.test(name)) return `begins with a drive ("${name.slice(0, 2)}")`;
  if (/^[\\/]/.test(name)) return 'is absolute: it begins at the root of a disk';
  if (name.includes('\0')) return 'holds a NUL, at which some programs would end it';
  return null;
}

/** Characters that no file name may have on at least one common system. */
const FORBIDDEN = /[<>:"|?*\p{Cc}\p{Cf}\ufffd]/gu;
/**
 * Names that are devices on Windows, whatever ending and however many spaces follow ("Naming Files, Paths, and
 * Namespaces", Microsoft Learn: also with the superscript digits 1 to 3; spaces at the end of a name are dropped there).
 */
const DEVICES = /^(con|conin\$|conout\$|prn|aux|nul|(com|lpt)[\d\u00b9\u00b2\u00b3])\s*(\.|$)/i;

/** A plain file name to propose for an entry: its last part, fit for every common system. */
export function proposedName(name: string): string {
  const last = name.split(/[\\/]/).pop() ?? '';
  const plain = last
    .replace(FORBIDDEN, '_')
    .replace(/[. ]+$/, '')
    .trimStart();
  const ending = /\.[A-Za-z0-9]{1,8}$/.exec(plain)?.[0] ?? '';
  const short = plain.length > 120 ? plain.slice(0, 120 - ending.length) + ending : plain;
  if (short.replace(/[._ ]/g, '') === '') return 'program.gcode';
  return DEVICES.test(short) ? `_${short}` : short;
}
