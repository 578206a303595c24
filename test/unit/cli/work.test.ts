import { fixesGrow } from '../../work/fixes.ts';

// Put on a single line they are in workOnOneLine.test.ts.

fixesGrow('on lines of its own', ({ bad: { text } }) => text);
