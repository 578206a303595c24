import { requestsGrow } from '../work/requests.ts';

// Machines that take several commands a line are in work.test.ts.

requestsGrow('one');
