import type { View } from './rule.ts';

/** A tag for a built-in name as this text writes it: `{{ heat.bed.first }}`; null where there is no such name here. */
export function nameTag({ vocabulary, tree, role }: View, builtIn: string): string | null {
  const name = vocabulary.names.get(vocabulary.standIns?.get(builtIn) ?? builtIn);
  if (!name || (name.roles && !name.roles.includes(role)) || tree.tags.some(({ kind }) => kind === 'delimiters'))
    return null;
  const [open, close] = vocabulary.delimiters?.[0] ?? ['{{', '}}'];
  return open.length > 1 ? `${open} ${name.name} ${close}` : `${open}${name.name}${close}`;
}
