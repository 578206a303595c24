import type { Rule } from './rule.ts';
import { aboutCommands, type SettingTold } from './settings.ts';

/** Settings stored, or the maker's brought back, by every job. */
export const storedSettings: Rule = {
  id: 'stored-settings',
  severity: 'warning',
  title: 'Settings stored or dropped at every job',
  why: 'M500 writes the settings into a memory that bears a limited number of writes, and it writes whatever holds at that moment: a speed limit or a probe height that was meant for one job only then holds after power-on too. M502 drops what was measured since the machine was built, such as steps, probe height and heater figures. Do both by hand, when something has been measured anew, as the machine’s manual says.',
  bad: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F450\nM104 S0\nM140 S0\nM500\nM84\n' },
  good: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F450\nM104 S0\nM140 S0\nM84\n' },
  ...aboutCommands({
    M500: () =>
      tell('M500 stores the settings in force at every job, which wears the memory out. Store them by hand, once.'),
    M502: () =>
      tell(
        'M502 drops the settings measured since the machine was built, such as probe height and steps, at every job. Leave it out, or bring the stored ones back with M501.',
      ),
    M504: () =>
      tell('M504 works on the stored settings at every job, and can empty them. Leave it to a person at the machine.'),
  }),
};

const tell = (message: string): SettingTold => ({ happens: 'all', message });
