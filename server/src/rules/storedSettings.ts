import type { Rule } from './rule.ts';
import { aboutCommands, type SettingTold } from './settings.ts';

/** Settings stored, or the maker's brought back, by every job. */
export const storedSettings: Rule = {
  id: 'stored-settings',
  severity: 'warning',
  title: 'Settings stored or dropped at every job',
  scope: 'line',
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
