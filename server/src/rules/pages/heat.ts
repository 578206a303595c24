import type { Subject } from './page.ts';

export const HEAT: Subject = {
  title: 'Heat',
  pages: {
    'not-awaited': {
      why: 'M104, M140 and M141 only set a target and go on at once. Until the heater is there, the nozzle grinds filament and the first layer does not stick. Wait before the first E word and before the end of a start sequence: M109 for the nozzle, M190 for the bed, M191 for the chamber.',
      bad: { role: 'start', text: 'G21\nG90\nM83\nG28\nM104 S210\nG1 X60 E4.8 F990\n' },
      good: { role: 'start', text: 'G21\nG90\nM83\nG28\nM104 S210\nM109 S210\nG1 X60 E4.8 F990\n' },
    },
    'wait-without-target': {
      why: 'M109, M190 and M191 wait until a heater has its temperature; without S they wait for one that was set before. Where none was, they return at once on most controllers, and what follows runs cold. On most controllers M109 S0 does not wait for cooling either: it switches off and goes on, which M104 S0 says plainly. To wait while something cools, use R: M190 R40.',
      bad: { role: 'start', text: 'G28\nM190\nM109 S210\n' },
      good: { role: 'start', text: 'G28\nM140 S60\nM190\nM109 S210\n' },
    },
    'endless-wait': {
      why: 'A wait for heat ends only when the temperature is there. Without a chamber heater only the bed warms the chamber, which may never get to its target, and nothing cools down below the air of the room: the machine stands still, hot, with nobody expecting it. Wait only for what the machine can reach; to let a part cool, wait for something a hand can bear: M190 R40, with M140 S0 behind it (common practice).',
      bad: { role: 'start', text: 'G28\nM191 S50\nM109 S210\n' },
      good: { role: 'start', text: 'G28\nM190 S60\nM109 S210\n' },
    },
    'too-hot': {
      why: 'Above its limit a hot end, bed or chamber is damaged, gives off fumes or can start a fire; the plastic liner in many hot ends breaks down from 240 to 260 °C on (common practice, no source). Stay below the maker’s limit in the machine’s manual; the machine file repeats it under `heat`.',
      bad: { role: 'start', text: 'G28\nM109 S999\n' },
      good: { role: 'start', text: 'G28\nM109 S210\n' },
    },
    'material-range': {
      why: 'Each filament has a range in which it flows and sticks: too cold, it clogs or does not hold together; too hot, it drips, chars and gives off fumes. PLA is mostly run at 190 to 230 °C, PETG at 220 to 260, ABS at 220 to 260, ASA at 235 to 270, PA at 240 to 290, PC at 260 to 310, TPU at 200 to 240 (common practice, no source). What is printed on the spool has the last word. Only numbers that the text gives for a named material are looked at.',
      bad: { role: 'start', text: 'G28\n{{# filament.kind == "PLA" }}\nM109 S270\n{{/}}\n' },
      good: { role: 'start', text: 'G28\n{{# filament.kind == "PLA" }}\nM109 S210\n{{/}}\n' },
    },
    'heat-left-on': {
      why: 'After an end sequence nobody may be near the machine. A nozzle left hot cooks the filament in it to a plug, and any heater left on is a burn and fire risk. Switch every heater off: M104 S0, M140 S0, and M141 S0 where there is a chamber heater.',
      bad: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F630\nM104 S0\nM84\n' },
      good: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F630\nM104 S0\nM140 S0\nM84\n' },
    },
    'fan-left-on': {
      why: 'The fan for the part mostly runs when the last layer ends. Nothing stops it but M107 or M106 S0: it goes on blowing, for days if nobody comes, and wears. Switch it off in the end sequence. The fan of the hot end is another one, and should run until the nozzle is cold; most machines see to it.',
      bad: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F480\nM104 S0\nM140 S0\nM84\n' },
      good: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F480\nM104 S0\nM140 S0\nM107\nM84\n' },
    },
  },
};
