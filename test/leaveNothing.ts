import { afterEach, vi } from 'vitest';

// Test files share a process, in an order that hangs on how long they took the last time. What one of them puts in place of
// the clock would stop the next one for ever.

afterEach(() => {
  vi.useRealTimers();
});
