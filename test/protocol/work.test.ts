import { requestsGrow } from '../work/requests.ts';

// Machines that take one command a line are in workOneALine.test.ts.

requestsGrow('many');
