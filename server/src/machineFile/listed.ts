import type { Machine } from '../machine/machine.ts';
import { roleOfName } from '../syntax/role.ts';
import { quoted } from './complaint.ts';
import { itemPath, tell } from './consistency.ts';
import type { MachineFile } from './schema.ts';
import type { Walk } from './walk.ts';

// The parts of a machine file that are lists of names: sequences and named commands.

/** The files of each role; what is no sequence is left out. */
export function soundSequences(walk: Walk, given: MachineFile['sequences']): Map<string, string[]> {
  const byRole = new Map<string, string[]>();
  for (const [role, entry] of Object.entries(given ?? {})) {
    const list = typeof entry === 'string' ? [entry] : entry;
    const kept = list.filter((file, i) => {
      const path = typeof entry === 'string' ? `sequences.${role}` : itemPath(walk, `sequences.${role}`, i);
      return isSequence(walk, role, file, path);
    });
    if (kept.length > 0) byRole.set(role, [...new Set(kept)]);
  }
  return byRole;
}

function isSequence(walk: Walk, role: string, file: string, path: string): boolean {
  if (/\.(machine|placeholders)\.json$/i.test(file)) {
    tell(
      walk,
      path,
      `${path} names ${quoted(file)}, which is no sequence. Name a file such as ./heron.${role}.gcode. Until then it is not used.`,
    );
    return false;
  }
  const stated = roleOfName(file);
  if (stated !== 'program' && stated !== role) {
    tell(
      walk,
      path,
      `${path} names ${quoted(file)}, whose name says “${stated}”, and that is how it is checked. List it under “${stated}”, or rename it.`,
      'warning',
    );
  }
  return true;
}

/** Named commands in upper case; of two with one name the first counts. */
export function soundCommands(walk: Walk, given: MachineFile['commands']): Machine['commands'] {
  const names = new Set<string>();
  return (given ?? []).flatMap((command, i) => {
    const path = itemPath(walk, 'commands', i);
    const name = command.name.toUpperCase();
    if (names.has(name)) {
      tell(
        walk,
        `${path}.name`,
        `The command ${quoted(command.name)} is given twice; case does not matter here. The first one counts. Take one out.`,
      );
      return [];
    }
    names.add(name);
    const words = (command.words ?? []).map(({ min, max, default: usual, ...word }, k) => {
      const key = word.key.toUpperCase();
      const fits = min === undefined || max === undefined || min <= max;
      if (!fits)
        tell(
          walk,
          `${itemPath(walk, `${path}.words`, k)}.min`,
          `The least of ${quoted(word.key)} is ${min}, above its most, ${max}, so that no number would do. Correct one of them. Until then neither is checked.`,
        );
      return {
        key,
        ...asWritten(word.key),
        meaning: word.meaning,
        unit: word.unit ?? '',
        required: word.required ?? false,
        ...(usual === undefined ? {} : { default: usual }),
        ...(fits && min !== undefined ? { min } : {}),
        ...(fits && max !== undefined ? { max } : {}),
      };
    });
    const keys = words.map((word) => word.key);
    words.forEach((word, k) => {
      if (keys.indexOf(word.key) < k)
        tell(
          walk,
          `${itemPath(walk, `${path}.words`, k)}.key`,
          `The word ${quoted(word.written ?? word.key)} is given twice for ${command.name}. Take one out.`,
          'warning',
        );
    });
    const effects = (command.effects ?? []).map((effect, k) => {
      if (!('key' in effect) || effect.key === undefined) return effect;
      const key = effect.key.toUpperCase();
      if (!keys.includes(key))
        tell(
          walk,
          `${itemPath(walk, `${path}.effects`, k)}.key`,
          `The effect reads the word ${quoted(effect.key)}, which ${command.name} does not list. Add it to “words”, or correct the key.`,
          'warning',
        );
      return { ...effect, key };
    });
    return [
      {
        name,
        ...asWritten(command.name),
        meaning: command.meaning,
        words: words.filter((word, k) => keys.indexOf(word.key) === k),
        effects,
      },
    ];
  });
}

const asWritten = (name: string): { written?: string } => (name === name.toUpperCase() ? {} : { written: name });
