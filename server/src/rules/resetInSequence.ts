import type { Rule } from './rule.ts';
import { aboutCommands, type SettingTold } from './settings.ts';

/** An emergency stop, restart or renewal of the controller within a sequence. */
export const resetInSequence: Rule = {
  id: 'reset-in-sequence',
  severity: 'error',
  title: 'An emergency stop or restart in a sequence',
  scope: 'line',
  ...aboutCommands({
    M112: () =>
      tell('M112 is the emergency stop: nothing behind it runs, and somebody has to restart the machine. Take it out.'),
    M999: () => ({
      ...tell(
        'M999 brings a stopped controller back, on some by a restart that loses the place of the axes. Take it out.',
      ),
      severity: 'warning',
    }),
    M997: () => tell('M997 renews the controller’s own program and restarts it, in the middle of a job. Take it out.'),
  }),
};

const tell = (message: string): SettingTold => ({ happens: 'all', message });
