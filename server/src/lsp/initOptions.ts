import { ROLES, type Role } from '../syntax/role.ts';
import type { InitOptions } from './messages.ts';
import { isRecord } from './settings.ts';

/** `initializationOptions` from any client: what is absent or makes no sense counts as not given. */
export function readInitOptions(raw: unknown): Required<InitOptions> {
  const given = isRecord(raw) ? raw : {};
  const picks: Record<string, string | null> = {};
  for (const [uri, machine] of Object.entries(isRecord(given.picks) ? given.picks : {})) {
    if (machine === null || typeof machine === 'string') picks[uri] = machine;
  }
  const roles: Record<string, Role> = {};
  for (const [uri, role] of Object.entries(isRecord(given.roles) ? given.roles : {})) {
    const known = ROLES.find((one) => one === role);
    if (known) roles[uri] = known;
  }
  return {
    ...{ bookend: given.bookend, picks, roles },
    ...{ files: given.files === true, status: given.status === true, showsFilledIn: given.showsFilledIn === true },
    setsSeverity: given.setsSeverity === true,
    draftsPlaceholders: given.draftsPlaceholders === true,
    // A client that knows nothing of trust opens what its user trusts.
    trusted: given.trusted !== false,
    docs:
      typeof given.docs === 'string' && /^[a-z][a-z\d+.-]*:/i.test(given.docs) ? given.docs.replace(/\/+$/, '') : null,
  };
}
