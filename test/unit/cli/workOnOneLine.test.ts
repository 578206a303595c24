import type { Page } from '../../../server/src/rules/pages/all.ts';
import { fixesGrow } from '../../work/fixes.ts';

// On lines of their own they are in work.test.ts.

const onOneLine = ({ bad: { text } }: Page): string =>
  `${text.replace(/;([^\n]*)/g, (_, said: string) => `(${said.replace(/[()]/g, '')})`).replace(/\n/g, ' ')} `;

fixesGrow('on one line', onOneLine);
