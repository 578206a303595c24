import type { Rule } from './rule.ts';
import { aboutCommands, type SettingTold } from './settings.ts';

/** An emergency stop, restart or renewal of the controller within a sequence. */
export const resetInSequence: Rule = {
  id: 'reset-in-sequence',
  severity: 'error',
  title: 'An emergency stop or restart in a sequence',
  why: 'M112 stops everything at once and leaves the controller dead until somebody restarts it; what stands behind it never runs, and the nozzle stays where it is, on the part or over the bed. M999 and M997 restart the controller, which forgets where the axes are. They are meant for a person at the machine. To end a job, lift the nozzle and switch heaters, fan and motors off; for a real danger use the mains switch, as the machine’s manual says.',
  bad: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F510\nM104 S0\nM140 S0\nM84\nM112\n' },
  good: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F510\nM104 S0\nM140 S0\nM84\n' },
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
