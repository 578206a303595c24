import { alwaysSame } from './alwaysSame.ts';
import { badArc } from './badArc.ts';
import { badExpression } from './badExpression.ts';
import { badNumber } from './badNumber.ts';
import { beyondReach } from './beyondReach.ts';
import { coldExtrusion } from './coldExtrusion.ts';
import { dividesByZero } from './dividesByZero.ts';
import { dragOverPart } from './dragOverPart.ts';
import { duplicateWord } from './duplicateWord.ts';
import { heatLeftOn } from './heatLeftOn.ts';
import { inKeepOut } from './inKeepOut.ts';
import { longLine } from './longLine.ts';
import { missingWord } from './missingWord.ts';
import { modesLeft } from './modesLeft.ts';
import { notAwaited } from './notAwaited.ts';
import { notHomed } from './notHomed.ts';
import { noValueHere } from './noValueHere.ts';
import { offBed } from './offBed.ts';
import type { Rule } from './rule.ts';
import { strayText } from './strayText.ts';
import { tooHot } from './tooHot.ts';
import { twoCommands } from './twoCommands.ts';
import { unclosedPlaceholder } from './unclosedPlaceholder.ts';
import { unitMismatch } from './unitMismatch.ts';
import { unknownCommand } from './unknownCommand.ts';
import { unknownPlaceholder } from './unknownPlaceholder.ts';
import { unknownWord } from './unknownWord.ts';
import { unusedIgnore } from './unusedIgnore.ts';

/** Every rule, in the order in which docs list them. */
export const RULES: readonly Rule[] = [
  badNumber,
  unknownCommand,
  unknownWord,
  missingWord,
  duplicateWord,
  twoCommands,
  strayText,
  longLine,
  unclosedPlaceholder,
  badExpression,
  unknownPlaceholder,
  noValueHere,
  unitMismatch,
  dividesByZero,
  alwaysSame,
  unusedIgnore,
  notHomed,
  beyondReach,
  offBed,
  inKeepOut,
  badArc,
  dragOverPart,
  tooHot,
  coldExtrusion,
  notAwaited,
  heatLeftOn,
  modesLeft,
];
