import { sameOnBothSides } from './bothSides.ts';

// Without a machine: bothSidesNoMachine.test.ts.

sameOnBothSides('a machine');
