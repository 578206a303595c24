import type { Memento } from 'vscode';
import type { InitOptions } from '../../server/src/lsp/messages.ts';
import type { Role } from '../../server/src/syntax/role.ts';

/** What the user chose for single files, kept for the workspace. */
export interface Picks {
  all(): Pick<InitOptions, 'picks' | 'roles'>;
  /** `machine` null: no machine; undefined: forget the choice. */
  setMachine(uri: string, machine: string | null | undefined): Promise<void>;
  /** `role` null: forget the choice. */
  setRole(uri: string, role: Role | null): Promise<void>;
}

const MACHINES = 'machines';
const ROLES = 'roles';
/** Oldest choices go first: untitled files leave theirs behind. */
const MOST = 500;

export function rememberedPicks(state: Memento): Picks {
  const set = async (key: string, uri: string, value: unknown): Promise<void> => {
    const { [uri]: _before, ...others } = state.get<Record<string, unknown>>(key, {});
    const entries = Object.entries(value === undefined ? others : { ...others, [uri]: value });
    await state.update(key, Object.fromEntries(entries.slice(-MOST)));
  };
  return {
    all: () => ({ picks: state.get(MACHINES, {}), roles: state.get(ROLES, {}) }),
    setMachine: (uri, machine) => set(MACHINES, uri, machine),
    setRole: (uri, role) => set(ROLES, uri, role ?? undefined),
  };
}
