import { type Clock, inTime, type Refusal } from './read.ts';

/** One entry of a folder, as the system names it. */
export interface ListedFile {
  readonly name: string;
  isDirectory(): boolean;
}

/** What is needed to look into a folder: the entries come one by one, so that a folder without end does no harm. */
export interface ListingFs {
  opendir(path: string): Promise<AsyncIterable<ListedFile>>;
}

/** More entries of one folder than these are not looked at: far above any workshop, far below what fills a memory. */
const MOST_ENTRIES = 100_000;

/** What lies directly in a folder; or why that is not known, where it took too long or cannot be looked into. */
export const listBounded = (
  fs: ListingFs,
  path: string,
  clock: Clock,
): Promise<readonly { readonly name: string; readonly folder: boolean }[] | Refusal> =>
  inTime(clock, async (late) => {
    const found: { readonly name: string; readonly folder: boolean }[] = [];
    for await (const entry of await fs.opendir(path)) {
      if (late() || found.length === MOST_ENTRIES) break;
      found.push({ name: entry.name, folder: entry.isDirectory() });
    }
    return found;
  });
