/** What a text is: the sequences that run around a job's body, or a whole finished program. */
export type Role = 'start' | 'end' | 'layer' | 'swap' | 'pause' | 'program';

/** All roles, in the order in which a job meets them. */
export const ROLES: readonly Role[] = ['start', 'layer', 'swap', 'pause', 'end', 'program'];

/**
 * The role that a file name states: `warm.start.gcode` is a start sequence, `job.gcode` a program.
 * Case does not matter. A name without a role is a program.
 */
export function roleOfName(name: string): Role {
  const match = /\.(start|end|layer|swap|pause)\.(gcode|gco|g)$/i.exec(name);
  return match ? (match[1]?.toLowerCase() as Role) : 'program';
}
