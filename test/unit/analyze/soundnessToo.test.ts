import { boundsHold } from './boundsHold.ts';

// The other half is in soundness.test.ts.

boundsHold([5, 6, 7, 8, 9]);
