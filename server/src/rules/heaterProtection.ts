import type { Step } from '../simulate/trace.ts';
import { isAbove } from './jobs.ts';
import type { Rule, View } from './rule.ts';
import { num, onMachine } from './say.ts';
import { aboutCommands, numberOf, type SettingTold } from './settings.ts';
import { wordsOf } from './words.ts';

/** What guards the heaters, or how they are controlled, changed by a sequence. */
export const heaterProtection: Rule = {
  id: 'heater-protection',
  severity: 'warning',
  title: 'A heater’s protection or control changed',
  why: 'The controller watches each heater: does it warm up when told to, does it stay where it is, does it never get too hot. That watch stops a fire when a sensor falls out or a cable breaks. Its settings, and the figures by which a heater is controlled, are found once, with somebody at the machine, as its manual says, and then stored; a sequence runs them at every job, with nobody looking. M303 even heats up and cools down for minutes.',
  bad: { role: 'start', text: 'G21\nG90\nG28\nM303 E0 S215 C7\nM109 S210\n' },
  good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\n' },
  ...aboutCommands({
    M303: tuning,
    M306: tuning,
    M301: figures,
    M304: figures,
    M307: figures,
    M570: () => ({
      happens: 'all',
      message:
        'This changes how long a heater may misbehave before the controller stops it. Set it once, with somebody at the machine, as its manual says, and keep it out of sequences.',
    }),
    M143(step, view) {
      const max = view.machine?.heat.nozzle.max ?? null;
      const s = numberOf(step, 'S');
      // H may mean another heater.
      if (s === undefined || max === null || numberOf(step, 'H') !== undefined) return null;
      return {
        happens: isAbove(s, max),
        message: `This lets a heater get up to ${s ? num(s.hi) : '?'} °C before the controller shuts down, and the nozzle bears ${num(max)} °C${view.machine ? onMachine(view.machine) : ''}. Leave the guard at what the manual says.`,
      };
    },
  }),
};

function tuning({ command }: Step): SettingTold {
  return {
    happens: 'all',
    message: `${command.code} heats up and cools down for minutes to measure a heater, in every job. Run it once by hand, stay with the machine meanwhile, and store what it finds.`,
  };
}

/** Without words these only report. */
function figures(step: Step, { machine }: View): SettingTold | null {
  if (wordsOf(step).length === 0) return null;
  return {
    happens: 'all',
    severity: 'info',
    message: `${step.command.code} changes how a heater is controlled, in every job. Wrong figures let it overshoot. Store them once${machine ? onMachine(machine) : ''} instead, as its manual says.`,
  };
}
