import type { Known } from '../../../server/src/placeholders/bounds.ts';
import type { Node, Step } from '../../../server/src/simulate/trace.ts';

// Whether one exact run is a path through the tree of all jobs, each of its readings within the tree's.

/** A hair's breadth: sums of one job are rounded in another order than bounds. */
const ROUNDING = 1e-6;

/** Whether every reading of an exact step lies in the reading of all jobs. */
function readInside(all: Step, one: Step): boolean {
  if (all.words.length !== one.words.length) return false;
  const inside = (a: Known, b: Known): boolean =>
    a === null || (b !== null && b.lo >= a.lo - ROUNDING && b.hi <= a.hi + ROUNDING);
  const others = one.readings;
  return all.readings.every((r, i) => {
    const other = others[i];
    return (
      other?.word === r.word &&
      inside(r.written, other.written) &&
      inside(r.machine, other.machine) &&
      r.limits.join() === [...new Set([...r.limits, ...other.limits])].join()
    );
  });
}

/** Whether the codes of an exact run are one path through the tree: every choice gives one branch, every turn once. */
export function isPath(nodes: readonly Node[], steps: readonly Step[]): boolean {
  return ends(nodes, 0).has(steps.length);

  function ends(list: readonly Node[], from: number): Set<number> {
    let at = new Set([from]);
    for (const node of list) {
      const next = new Set<number>();
      for (const i of at) {
        if (!('is' in node)) {
          const step = steps[i];
          if (step?.command === node.command && readInside(node, step)) next.add(i + 1);
        } else if (node.is === 'turns') for (const end of ends(node.nodes, i)) next.add(end);
        else for (const branch of node.branches) for (const end of ends(branch.nodes, i)) next.add(end);
      }
      at = next;
    }
    return at;
  }
}
