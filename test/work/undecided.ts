import { analyze } from '../../server/src/service/analyze.ts';
import { caseOf } from '../unit/analyze/promises.ts';

// `npm run undecided [-- SEQUENCES [FIRST]]`: how many of the verdicts about random sequences (those of the soundness
// test, seed by seed) are neither "holds" nor "fails". A figure that never gets better by saying less: what is no longer
// said to hold shows here.

const [sequences = 1000, first = 0] = process.argv.slice(2).map(Number);

const of = { holds: 0, fails: 0, undecided: 0, unasked: 0 };
const byRule = new Map<string, number>();
const byReason = new Map<string, number>();
const byGap = new Map<string, number>();
const count = (map: Map<string, number>, what: string): void => void map.set(what, (map.get(what) ?? 0) + 1);

/** The reason without what is different from text to text: quoted parts, and the message of what stayed open. */
const kindOf = (reason: string): string => reason.replace(/: .*/s, '').replace(/[“"][^”]*[”"]/gs, '…');

for (let seed = first; seed < first + sequences; seed++) {
  const { text, role, machine, vocabulary } = caseOf(seed);
  const { holds, fails, undecided, unasked } = analyze(text, role, machine, vocabulary).verdict;
  of.holds += holds;
  of.fails += fails;
  of.undecided += undecided.length;
  of.unasked += unasked.length;
  for (const { rule, reason } of undecided) {
    count(byRule, rule);
    count(byReason, kindOf(reason));
  }
  for (const { reason } of unasked) count(byGap, reason);
}

// Of all rules, those not asked counted: the figure does not get better by leaving them out of the whole.
const all = of.holds + of.fails + of.undecided + of.unasked;
const share = (n: number): string => `${((100 * n) / all).toFixed(2)} %`;
const table = (title: string, map: Map<string, number>): void => {
  console.log(`\n${title}`);
  for (const [what, n] of [...map].sort((a, b) => b[1] - a[1]))
    console.log(`${String(n).padStart(7)}  ${share(n).padStart(7)}  ${what}`);
};
console.log(`${sequences} sequences from seed ${first} on: ${all} verdicts`);
console.log(`hold ${of.holds}, fail ${of.fails}, undecided ${of.undecided} (${share(of.undecided)})`);
console.log(`not asked ${of.unasked} (${share(of.unasked)}); both together ${share(of.undecided + of.unasked)}`);
table('by rule', byRule);
table('by reason', byReason);
table('not asked', byGap);
