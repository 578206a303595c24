import { sameOnBothSides } from './bothSides.ts';

// With a machine: bothSides.test.ts.

sameOnBothSides('no machine');
