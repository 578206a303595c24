import { extrusionCommands } from './families/extrusion.ts';
import { fanCommands } from './families/fan.ts';
import { fileCommands } from './families/files.ts';
import { heatCommands } from './families/heat.ts';
import { homingCommands } from './families/homing.ts';
import { messageCommands } from './families/messages.ts';
import { modeCommands } from './families/modes.ts';
import { motionCommands } from './families/motion.ts';
import { motorCommands } from './families/motors.ts';
import { offsetCommands } from './families/offsets.ts';
import { protectionCommands } from './families/protections.ts';
import { toolCommands } from './families/tool.ts';
import { tuningCommands } from './families/tuning.ts';
import type { CommandRecord } from './record.ts';

/** Every command that Bookend knows without a machine file, family by family. */
export const ALL_COMMANDS: readonly CommandRecord[] = [
  ...motionCommands,
  ...modeCommands,
  ...offsetCommands,
  ...homingCommands,
  ...heatCommands,
  ...fanCommands,
  ...extrusionCommands,
  ...toolCommands,
  ...motorCommands,
  ...tuningCommands,
  ...messageCommands,
  ...fileCommands,
  ...protectionCommands,
];
