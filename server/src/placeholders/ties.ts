import type { Operation } from './grammar.ts';

/** How tightly operators bind; what is higher holds first. */
export const TIES: Readonly<Record<Exclude<Operation, 'not'>, number>> = {
  ...{ otherwise: 15, or: 20, and: 30, equal: 50, notEqual: 50, matches: 50 },
  ...{ less: 60, atMost: 60, more: 60, atLeast: 60, join: 65, add: 70, subtract: 70 },
  ...{ multiply: 80, divide: 80, wholeDivide: 80, remainder: 80, power: 95 },
};
export const [LOOSE_FILTER, CHOICE, AND_OR, COMPARISON, TIGHT_FILTER, UNARY, POWER, ATOM] = [
  2, 10, 20, 50, 85, 90, 95, 100,
];
