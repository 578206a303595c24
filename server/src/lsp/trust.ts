import { canonical, folderOf } from './uri.ts';

/** Whether the person vouches for what is in the workspace, and how far its files may lead where not. */
export interface Trust {
  /**
   * URIs of the folders in one of which a file must lie that the file `from` names: the workspace's, and the one that
   * `from` lies in, so that a machine file above the workspace may use what lies beside it. null: it may lie anywhere,
   * as in a trusted workspace and (`from` null) where the person named the file.
   */
  within(from: string | null): readonly string[] | null;
  /** The person trusts the workspace from now on. */
  grant(): void;
}

/** `roots`: URIs of the workspace folders; read anew at each question. */
export function makeTrust(roots: ReadonlySet<string>, trusted: boolean): Trust {
  let granted = trusted;
  return {
    within(from) {
      if (granted || from === null) return null;
      const own = folderOf(from);
      return [...[...roots].map(canonical), ...(own === null ? [] : [own])];
    },
    grant() {
      granted = true;
    },
  };
}
