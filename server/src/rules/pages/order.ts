import type { Subject } from './page.ts';

export const ORDER: Subject = {
  title: 'Order',
  pages: {
    'not-homed': {
      why: 'Before an axis is homed the controller does not know where it stands: a move can run into the end of the axis, the bed or a clip, with the motor’s full force. Home first (G28, or named axes: G28 X Y). The same holds once the motors are switched off (M84, M18), also in a pause: by the time the job goes on somebody may have pushed an axis, and homing again over a part is no way back. Let the motors hold while a job waits. A short lift in relative mode before homing is common practice, and is only noted.',
      bad: { role: 'start', text: 'G21\nG90\nG1 X26 F3300\nG28\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 X26 F3300\n' },
    },
    'level-before-home': {
      why: 'Measuring the bed drives the probe to fixed places. Before homing the controller does not know where it stands: it refuses, or drives the probe beside the bed or down into it. Home all axes (G28) first, then measure (G29).',
      bad: { role: 'start', text: 'G21\nG90\nG29\nG28\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG29\nM109 S210\n' },
    },
    'level-lost': {
      why: 'Many controllers stop evening out the bed when Z is homed again, so that the whole measure was for nothing and the first layer is uneven. Home first and measure after it. Some controllers have a command that switches the measure on again; whether yours forgets it, and how it is switched on again, is in its manual. Where the machine file names M420 under `commands`, M420 S1 is offered.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG29\nG28 Z\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG29\nM109 S210\n' },
    },
    'cold-probing': {
      why: 'A plate bends as it warms up, often by more than a first layer is thick (common practice, no source). A measure taken cold does not fit the hot bed: the nozzle is too far away in one place and scrapes in another. Wait for the bed (M190) before measuring it (G29).',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG29\nM190 S60\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM190 S60\nG29\nM109 S210\n' },
    },
    'hot-homing': {
      why: 'A nozzle at printing heat drips. Where Z homes towards the bed, the drop on the tip is pressed onto it: it can mark the plate, and where the nozzle itself is the probe, the height comes out wrong. Home before the nozzle is hot, or while it is only soft (150 °C or so, common practice) and wiped clean.',
      bad: { role: 'start', text: 'G21\nG90\nM109 S210\nG28\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\n' },
    },
    'nozzle-hot-while-bed-warms': {
      why: 'A bed takes minutes to warm up, a nozzle far less. A nozzle that is hot all that time drips onto the bed, and the plastic in it cooks and may clog it. Wait for the bed first (M190), with the nozzle no more than soft (150 °C or so, common practice), and heat the nozzle last (M109).',
      bad: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\nM190 S60\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM190 S60\nM109 S210\n' },
    },
    'fan-while-heating': {
      why: 'The fan for the part blows at the nozzle too: heating takes longer, and some controllers take a nozzle that does not get hot for a fault and stop. On the first layer it also lifts corners off the bed. Leave it off (M107) until the nozzle is hot, and for most filaments until the second layer.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nM106 S255\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM107\nM109 S210\n' },
    },
    'tool-not-picked': {
      why: 'On a machine with several tools, which one is in use at the beginning depends on what ran before. Without a T command filament may come out of another nozzle, perhaps a cold one, and beside the place that is meant. Pick the tool (T0) before heating and before the first E word. A machine with one tool needs none.',
      bad: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X88 E7 F1050\n' },
      good: { role: 'start', text: 'G21\nG90\nM83\nG28\nT0\nM109 S210\nG1 X88 E7 F1050\n' },
      otherwise: { tools: 2 },
    },
    'no-such-tool': {
      why: 'Tools are counted from 0, so a machine with two tools has T0 and T1. A command for any other is refused or passed over by most controllers: the nozzle that was meant stays cold or keeps its heat, or the tool in use does what another was to do. Use a tool that is there. If the machine has more tools, state how many in its machine file (`tools`).',
      bad: { role: 'start', text: 'G28\nM104 S210 T1\nM109 S210\n' },
      good: { role: 'start', text: 'G28\nM104 S210 T0\nM109 S210\n' },
    },
  },
};
