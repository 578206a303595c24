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
  scope: 'line',
  awaitsRest: true,
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
