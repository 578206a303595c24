import type { Verdict } from '../check/verdict.ts';
import type { Bounds, Known } from '../placeholders/bounds.ts';
import { machinePosition } from '../simulate/motion.ts';
import type { Extent } from '../simulate/state.ts';
import type { Trace } from '../simulate/trace.ts';
import type { LineIndex } from '../text/lines.ts';

/** What the run over all jobs gives, as docs/json-report.md says. */
export type Summary = ReturnType<typeof summaryOf>;

export function summaryOf({ end, totals }: Trace, verdict: Verdict, lines: LineIndex) {
  const position = machinePosition(end);
  return {
    lines: rowCount(lines),
    moves: totals.moves,
    end: { x: number(position.x), y: number(position.y), z: number(position.z) },
    extent: extent(totals.extent),
    extruded: isEmpty(totals.extruded) ? null : extent(totals.extruded),
    length: { travel: number(totals.travel), extruding: number(totals.extruding) },
    filament: number(totals.filament),
    seconds: number(totals.seconds),
    hottest: { nozzle: number(totals.hottest.nozzle), bed: number(totals.hottest.bed) },
    verdict: { holds: verdict.holds, fails: verdict.fails, undecided: neither(verdict) },
  };
}

/** In a report what is not asked is undecided too: it holds as little as the rest. */
const neither = ({ undecided, unasked }: Verdict): Verdict['undecided'] => [...undecided, ...unasked];

/** An end of line at the very end opens no further line. */
function rowCount({ count, start, end }: LineIndex): number {
  return start(count - 1) === end(count - 1) ? count - 1 : count;
}

const isEmpty = ({ x, y, z }: Extent): boolean => !x && !y && !z;
const extent = ({ x, y, z }: Extent) => ({ x: range(x), y: range(y), z: range(z) });

/** [lo, hi]; an end without a known limit is null, since JSON has no infinity. */
const range = (b: Bounds | null) => b && [round(b.lo), round(b.hi)];
/** An exact number as such, bounds as [lo, hi], unknown as null. */
const number = (k: Known) => (k && k.lo === k.hi ? round(k.lo) : range(k));

/** To a millionth: what is beyond comes from floating point. */
function round(n: number): number | null {
  if (!Number.isFinite(n)) return null;
  return Math.abs(n) < 1e15 ? Math.round(n * 1e6) / 1e6 + 0 : n;
}
