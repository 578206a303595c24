import { afterEnd } from './afterEnd.ts';
import { alwaysSame } from './alwaysSame.ts';
import { badArc } from './badArc.ts';
import { badExpression } from './badExpression.ts';
import { badNumber } from './badNumber.ts';
import { beadSize } from './beadSize.ts';
import { belowBed } from './belowBed.ts';
import { beyondReach } from './beyondReach.ts';
import { blob } from './blob.ts';
import { coldAllowed } from './coldAllowed.ts';
import { coldExtrusion } from './coldExtrusion.ts';
import { coldProbing } from './coldProbing.ts';
import { commentDiffers } from './commentDiffers.ts';
import { dividesByZero } from './dividesByZero.ts';
import { dragOverPart } from './dragOverPart.ts';
import { duplicateWord } from './duplicateWord.ts';
import { eModeLeft } from './eModeLeft.ts';
import { eModeUnset } from './eModeUnset.ts';
import { eNotReset } from './eNotReset.ts';
import { eNotZeroed } from './eNotZeroed.ts';
import { endlessWait } from './endlessWait.ts';
import { factorsLeft } from './factorsLeft.ts';
import { fanHandedOver } from './fanHandedOver.ts';
import { fanLeftOn } from './fanLeftOn.ts';
import { fanWhileHeating } from './fanWhileHeating.ts';
import { feedMmS } from './feedMmS.ts';
import { feedModeLeft } from './feedModeLeft.ts';
import { feedTooFast } from './feedTooFast.ts';
import { flowTooHigh } from './flowTooHigh.ts';
import { goesOnCold } from './goesOnCold.ts';
import { heaterProtection } from './heaterProtection.ts';
import { heatLeftOn } from './heatLeftOn.ts';
import { hotHoming } from './hotHoming.ts';
import { hotWhileBedWarms } from './hotWhileBedWarms.ts';
import { inKeepOut } from './inKeepOut.ts';
import { levelBeforeHome } from './levelBeforeHome.ts';
import { levelLost } from './levelLost.ts';
import { limitsOff } from './limitsOff.ts';
import { longLine } from './longLine.ts';
import { longRetraction } from './longRetraction.ts';
import { lowApproach } from './lowApproach.ts';
import { lowerCase } from './lowerCase.ts';
import { materialRange } from './materialRange.ts';
import { missingWord } from './missingWord.ts';
import { modesLeft } from './modesLeft.ts';
import { noFeed } from './noFeed.ts';
import { nonAscii } from './nonAscii.ts';
import { noSuchTool } from './noSuchTool.ts';
import { notAwaited } from './notAwaited.ts';
import { notHomed } from './notHomed.ts';
import { noValueHere } from './noValueHere.ts';
import { numberedText } from './numberedText.ts';
import { offBed } from './offBed.ts';
import { offsetLeft } from './offsetLeft.ts';
import { planeLeft } from './planeLeft.ts';
import { resetInSequence } from './resetInSequence.ts';
import type { Rule } from './rule.ts';
import { storedSettings } from './storedSettings.ts';
import { strayPercent } from './strayPercent.ts';
import { strayText } from './strayText.ts';
import { tooHot } from './tooHot.ts';
import { toolLeft } from './toolLeft.ts';
import { toolNotPicked } from './toolNotPicked.ts';
import { twoCommands } from './twoCommands.ts';
import { unclosedPlaceholder } from './unclosedPlaceholder.ts';
import { unhomedAllowed } from './unhomedAllowed.ts';
import { unitMismatch } from './unitMismatch.ts';
import { unknownCommand } from './unknownCommand.ts';
import { unknownLanguage } from './unknownLanguage.ts';
import { unknownPlaceholder } from './unknownPlaceholder.ts';
import { unknownWord } from './unknownWord.ts';
import { unretractMissing } from './unretractMissing.ts';
import { unstatedHabit } from './unstatedHabit.ts';
import { unusedIgnore } from './unusedIgnore.ts';
import { waitWithoutTarget } from './waitWithoutTarget.ts';

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
  lowerCase,
  nonAscii,
  strayPercent,
  numberedText,
  afterEnd,
  commentDiffers,
  unclosedPlaceholder,
  badExpression,
  unknownLanguage,
  unknownPlaceholder,
  noValueHere,
  unitMismatch,
  dividesByZero,
  alwaysSame,
  unusedIgnore,
  notHomed,
  beyondReach,
  belowBed,
  offBed,
  inKeepOut,
  badArc,
  dragOverPart,
  lowApproach,
  noFeed,
  feedMmS,
  feedTooFast,
  offsetLeft,
  tooHot,
  coldExtrusion,
  eModeUnset,
  eNotZeroed,
  eNotReset,
  unretractMissing,
  unstatedHabit,
  longRetraction,
  beadSize,
  flowTooHigh,
  blob,
  notAwaited,
  waitWithoutTarget,
  endlessWait,
  materialRange,
  heatLeftOn,
  fanLeftOn,
  levelBeforeHome,
  levelLost,
  coldProbing,
  hotHoming,
  hotWhileBedWarms,
  fanWhileHeating,
  toolNotPicked,
  noSuchTool,
  modesLeft,
  eModeLeft,
  goesOnCold,
  toolLeft,
  factorsLeft,
  planeLeft,
  feedModeLeft,
  fanHandedOver,
  coldAllowed,
  limitsOff,
  unhomedAllowed,
  heaterProtection,
  storedSettings,
  resetInSequence,
];
