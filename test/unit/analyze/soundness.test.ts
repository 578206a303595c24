import { boundsHold } from './boundsHold.ts';

// The other half is in soundnessToo.test.ts.

boundsHold([0, 1, 2, 3, 4]);
