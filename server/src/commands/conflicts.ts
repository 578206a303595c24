import { encloses } from '../syntax/at.ts';
import type { Command, Line, Section } from '../syntax/nodes.ts';
import type { Catalog } from './catalog.ts';
import type { CommandRecord, ModalGroup } from './record.ts';

/** Two commands that may not share a line. */
export interface LineConflict {
  readonly first: Command;
  readonly second: Command;
  /**
   * - 'same group': only one of a modal group may stand on a line (NISTIR 6556 3.3.5 and Table 4).
   * - 'axis words': both take the line's axis words, so that it is not clear whose they are (NISTIR 6556 3.4).
   * - 'machine positions': G53 goes with G0 or G1 only (NISTIR 6556 3.5.12).
   */
  readonly why: 'same group' | 'axis words' | 'machine positions';
  /** The group that both belong to, for 'same group'. */
  readonly group: ModalGroup | null;
}

interface Known {
  readonly node: Command;
  readonly record: CommandRecord;
}

/** The pairs of commands on a line that RS-274 does not allow together, in written order. Empty for one command. */
export function groupConflicts(line: Line, catalog: Catalog): readonly LineConflict[] {
  if (line.commands.length < 2) return [];
  const known: Known[] = [];
  for (const node of line.commands) {
    const record = node.code ? catalog.find(node.code) : null;
    if (record) known.push({ node, record });
  }
  const found: LineConflict[] = [];
  for (let i = 1; i < known.length; i++) {
    const second = known[i];
    if (!second) continue;
    // The nearest earlier one that conflicts is enough: a line of a thousand G1 gives a thousand pairs, not a million.
    for (let j = i - 1; j >= 0 && j >= i - 20; j--) {
      const first = known[j];
      const conflict =
        first && meetsWith(first.node.section, second.node.section) && conflictOf(first, second, catalog);
      if (!conflict) continue;
      found.push({ first: first.node, second: second.node, ...conflict });
      break;
    }
  }
  return found;
}

/** Whether two places can both be there in one job for certain: neither stands in a section that the other is outside of. */
function meetsWith(a: Section | null, b: Section | null): boolean {
  return encloses(a, b) || encloses(b, a);
}

function conflictOf(a: Known, b: Known, catalog: Catalog): Pick<LineConflict, 'why' | 'group'> | null {
  const group = a.record.group;
  if (group && group === b.record.group && !isMistWithFlood(a.record.code, b.record.code)) {
    return { why: 'same group', group };
  }
  const [motion, other] = a.record.group === 'motion' ? [a.record, b.record] : [b.record, a.record];
  if (motion.group !== 'motion' || other.group) return null;
  if (other.code === 'G53' && motion.code !== 'G0' && motion.code !== 'G1') {
    return { why: 'machine positions', group: null };
  }
  const bothTakeAxes = catalog.takes(motion, 'X') && catalog.takes(other, 'X') && other.code.startsWith('G');
  return bothTakeAxes ? { why: 'axis words', group: null } : null;
}

/** Mist and flood may be on together (NISTIR 6556 Table 4). */
const isMistWithFlood = (a: string, b: string): boolean => (a === 'M7' && b === 'M8') || (a === 'M8' && b === 'M7');
