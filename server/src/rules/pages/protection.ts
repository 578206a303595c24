import type { Subject } from './page.ts';

export const PROTECTION: Subject = {
  title: 'Protection',
  pages: {
    'cold-allowed': {
      why: 'Controllers refuse to move filament while the nozzle is cold, since the drive wheel then grinds the filament or the motor skips. M302 S0 takes that guard away, and on many controllers for the jobs that follow too: a heater that fails is then noticed only by the damage. Heat the nozzle instead (M109); if cold moves are really needed, set the limit again behind them. The machine’s manual says what its controller guards.',
      bad: { role: 'start', text: 'G21\nG90\nM83\nG28\nM302 S0\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\n' },
    },
    'limits-off': {
      why: 'The controller cuts moves off at the ends of each axis that it knows. With that switched off (M211 S0, M564 S0), one wrong number drives an axis into its end with the motor’s full force: belts jump, parts bend, and the place is lost. Keep the moves within reach instead. Where a brush or a dock lies beyond the limits, turn them on again right behind. Keep clear of the machine while they are off, and see its manual.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nM211 S0\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\n' },
    },
    'unhomed-allowed': {
      why: 'Some controllers refuse to move an axis that is not homed, since they do not know where it stands. M564 H0 takes that guard away: a move can then run into the end of the axis, the bed or a clip. Home first (G28). Where a short lift before homing is needed, allow only that, and put the guard back right behind it (M564 H1). Keep hands clear, and see the machine’s manual.',
      bad: { role: 'start', text: 'G21\nG90\nM564 H0\nG28\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\n' },
    },
    'heater-protection': {
      why: 'The controller watches each heater: does it warm up when told to, does it stay where it is, does it never get too hot. That watch stops a fire when a sensor falls out or a cable breaks. Its settings, and the figures by which a heater is controlled, are found once, with somebody at the machine, as its manual says, and then stored; a sequence runs them at every job, with nobody looking. M303 even heats up and cools down for minutes.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nM303 E0 S215 C7\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\n' },
    },
    'stored-settings': {
      why: 'M500 writes the settings into a memory that bears a limited number of writes, and it writes whatever holds at that moment: a speed limit or a probe height that was meant for one job only then holds after power-on too. M502 drops what was measured since the machine was built, such as steps, probe height and heater figures. Do both by hand, when something has been measured anew, as the machine’s manual says.',
      bad: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F450\nM104 S0\nM140 S0\nM500\nM84\n' },
      good: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F450\nM104 S0\nM140 S0\nM84\n' },
    },
    'reset-in-sequence': {
      why: 'M112 stops everything at once and leaves the controller dead until somebody restarts it; what stands behind it never runs, and the nozzle stays where it is, on the part or over the bed. M999 and M997 restart the controller, which forgets where the axes are. They are meant for a person at the machine. To end a job, lift the nozzle and switch heaters, fan and motors off; for a real danger use the mains switch, as the machine’s manual says.',
      bad: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F510\nM104 S0\nM140 S0\nM84\nM112\n' },
      good: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F510\nM104 S0\nM140 S0\nM84\n' },
    },
  },
};
