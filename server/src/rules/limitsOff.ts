import { isBelow } from './jobs.ts';
import type { Rule } from './rule.ts';
import { aboutCommands, numberOf, type SettingTold } from './settings.ts';

const MESSAGE =
  'Without its software limits the controller drives an axis on into its end stop or the frame. Leave them on, or turn them on again right behind the moves that need it.';

/** Software travel limits switched off. */
export const limitsOff: Rule = {
  id: 'limits-off',
  severity: 'warning',
  title: 'Software travel limits switched off',
  why: 'The controller cuts moves off at the ends of each axis that it knows. With that switched off (M211 S0, M564 S0), one wrong number drives an axis into its end with the motor’s full force: belts jump, parts bend, and the place is lost. Keep the moves within reach instead. Where a brush or a dock lies beyond the limits, turn them on again right behind. Keep clear of the machine while they are off, and see its manual.',
  bad: { role: 'start', text: 'G21\nG90\nG28\nM211 S0\nM109 S210\n' },
  good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\n' },
  ...aboutCommands(
    {
      M211: (step) => switchedOff(numberOf(step, 'S')),
      M564: (step) => switchedOff(numberOf(step, 'S')),
    },
    ({ trace }) => (trace.settings.some(({ command }) => command.code === 'M211') ? 'M211 S1' : 'M564 S1'),
  ),
};

const switchedOff = (s: ReturnType<typeof numberOf>): SettingTold | null =>
  s === undefined ? null : { happens: isBelow(s, 0.5), message: MESSAGE };
