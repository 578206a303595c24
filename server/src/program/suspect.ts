import { RULES } from '../rules/all.ts';
import type { MoveFacts, Rule } from '../rules/rule.ts';
import type { Move } from '../simulate/state.ts';

/** How often each rule has something to say of one move; index by `SUSPECTS`. */
export type Hits = number[];

type Judge = Rule & Required<Pick<Rule, 'ofMove'>>;
const JUDGES = RULES.filter((rule): rule is Judge => rule.ofMove !== undefined);

/** Rules that judge a move by its numbers alone, so that they can be counted without reading the line again. */
export const SUSPECTS: readonly string[] = JUDGES.map(({ id }) => id);

/** The rules' own conditions for an exact move. */
export const hitsOf = (move: Move, facts: MoveFacts): Hits => JUDGES.map((rule) => rule.ofMove.says(move, facts));
