import type { CommandRecord, ModalGroup } from './record.ts';

/**
 * Steps in which RS-274 carries out one line (NISTIR 6556 Table 8, its numbers). A line's written order does not count:
 * `G1 G91 X5` moves by 5.
 */
export const ReadStep = {
  feedMode: 2,
  tool: 5,
  toolChange: 6,
  spindle: 7,
  coolant: 8,
  overrides: 9,
  dwell: 10,
  plane: 11,
  units: 12,
  radiusCompensation: 13,
  toolLength: 14,
  workOffset: 15,
  pathControl: 16,
  distance: 17,
  returnLevel: 18,
  homeOrOffset: 19,
  motion: 20,
  stop: 21,
} as const;

const BY_GROUP: Readonly<Record<ModalGroup, number>> = {
  'feed mode': ReadStep.feedMode,
  'tool change': ReadStep.toolChange,
  spindle: ReadStep.spindle,
  coolant: ReadStep.coolant,
  overrides: ReadStep.overrides,
  plane: ReadStep.plane,
  units: ReadStep.units,
  'radius compensation': ReadStep.radiusCompensation,
  'tool length': ReadStep.toolLength,
  'return level': ReadStep.returnLevel,
  'work offset': ReadStep.workOffset,
  'path control': ReadStep.pathControl,
  distance: ReadStep.distance,
  'E distance': ReadStep.distance,
  motion: ReadStep.motion,
  stopping: ReadStep.stop,
};

const BY_CODE: Readonly<Record<string, number>> = {
  // The table sets the feed first (3) but does not convert its number when the line changes units, so that the number is
  // in the line's own units all the same. Behind the units (12) it needs no such care.
  F: ReadStep.units + 0.5,
  T: ReadStep.tool,
  G4: ReadStep.dwell,
  // It modifies the motion of its line, so it must be known before that runs.
  G53: ReadStep.motion - 0.5,
  // What takes current or power away, or waits for moves, comes behind the line's own moves.
  M18: ReadStep.stop,
  M84: ReadStep.stop,
  M81: ReadStep.stop,
  M400: ReadStep.stop,
  M600: ReadStep.stop,
  M601: ReadStep.stop,
  M25: ReadStep.stop,
  M125: ReadStep.stop,
  M226: ReadStep.stop,
};

/**
 * The step of Table 8 in which a command runs. For printing practice, which the table does not list, M commands run with
 * the other switches (step 9) and the rest with homing and offsets (19); a command that is not known, with motion.
 */
export function stepOf(code: string, record: CommandRecord | null): number {
  const own = BY_CODE[code];
  if (own !== undefined) return own;
  if (!record) return ReadStep.motion;
  if (record.group) return BY_GROUP[record.group];
  const second = code.charCodeAt(1);
  const numbered = second >= 48 && second <= 57;
  if (!numbered) return ReadStep.motion;
  return code.startsWith('M') ? ReadStep.overrides : ReadStep.homeOrOffset;
}
