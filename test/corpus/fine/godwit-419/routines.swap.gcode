; T pulls back, lifts, waits for the next one, wipes and comes back, all by itself; P0 would leave that out
T{{ tool.next }}
