import type { Rule } from '../../../server/src/rules/rule.ts';
import { fixesGrow } from '../../work/fixes.ts';

// On lines of their own they are in work.test.ts.

const onOneLine = ({ bad: { text } }: Rule): string =>
  `${text.replace(/;([^\n]*)/g, (_, said: string) => `(${said.replace(/[()]/g, '')})`).replace(/\n/g, ' ')} `;

fixesGrow('on one line', onOneLine);
