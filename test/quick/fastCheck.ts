// fast-check as `npm run quick` has it: every property runs the share of its runs that is asked for. Tests import
// 'fast-check' as ever; vitest.config.ts puts this file in its place for that project, so none can be forgotten.

import fc from '../../node_modules/fast-check/lib/fast-check.js';
import { share } from './share.ts';

type Assert = (property: never, parameters?: { readonly numRuns?: number }) => unknown;

const assert: Assert = (property, parameters = {}) => {
  const { numRuns } = parameters;
  const fewer = numRuns === undefined ? parameters : { ...parameters, numRuns: share(numRuns) };
  return (fc.assert as Assert)(property, fewer);
};

export default { ...fc, assert };
