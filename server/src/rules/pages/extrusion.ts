import type { Subject } from './page.ts';

export const EXTRUSION: Subject = {
  title: 'Extrusion',
  pages: {
    'cold-extrusion': {
      why: 'Below its melting range filament is solid: the drive wheel grinds it, the motor skips, and the controller may refuse the move or stop. Heat the nozzle and wait (M109) before any E word. `heat.nozzle.minExtrude` in the machine file is the limit.',
      bad: { role: 'start', text: 'G21\nG90\nM83\nG28\nG1 X74 E6 F1080\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X74 E6 F1080\n' },
    },
    'e-mode-unset': {
      why: 'E is either a step (M83) or a place counted from the last zero (M82), and G90 says nothing of it on most controllers. E-2 is a short pull in the one mode; in the other it draws back everything that the job has fed, until the filament is ground through. State the mode in every sequence that uses E; in one that runs within a job, put back the mode that the job is in.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\nG1 X66 E5.2 F1140\n' },
      good: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X66 E5.2 F1140\n' },
    },
    'e-not-zeroed': {
      why: 'With M82, E is a place: how much filament an E word moves depends on what E read before. When a sequence begins that is what an earlier job or this one has reached, perhaps thousands of mm, so E-2 or E10 may pull all of that back and grind the filament. Set it first: G92 E0; or count in steps with M83.',
      bad: { role: 'start', text: 'G21\nG90\nM82\nG28\nM109 S210\nG1 X82 E6.4 F1260\n' },
      good: { role: 'start', text: 'G21\nG90\nM82\nG28\nM109 S210\nG92 E0\nG1 X82 E6.4 F1260\n' },
    },
    'long-retraction': {
      why: 'Pulled back beyond the melt, the soft tip of the filament sets in the cold part above and plugs it; pulled back further still, the drive lets go of it. Usual lengths are 0.5 to 2 mm where the drive sits on the nozzle, and 4 to 7 mm through a long tube (common practice, no source). Several pulls without a push between add up. Only taking filament out, in a swap, needs more.',
      bad: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X78 E7 F1140\nG1 E-16 F1680\nG1 E16 F1680\n' },
      good: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X78 E7 F1140\nG1 E-4.5 F1680\nG1 E4.5 F1680\n' },
    },
    'bead-size': {
      why: 'How wide a line gets follows from the filament that is fed, its length and the height over the bed: width = E × filament area / (length × height) + 0.215 × height (a bead with round sides). Wider than three nozzles it wells up round the tip, which may drag a burr along (many fat purge lines do no harm, so up to six nozzles it is a hint only); thinner than half a nozzle it tears and does not stick. Mostly E was meant for another length, another filament or another mode.',
      bad: {
        role: 'start',
        text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 Z4 F540\nG1 X118 Y7 F6600\nG1 Z0.28 F540\nG1 X182 E24 F540\n',
      },
      good: {
        role: 'start',
        text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 Z4 F540\nG1 X118 Y7 F6600\nG1 Z0.28 F540\nG1 X182 E5 F540\n',
      },
    },
    'flow-too-high': {
      why: 'Flow is the filament’s area times its speed: 5 mm/s of 1.75 mm filament is 12 mm³/s. Above what the nozzle can melt in that time the filament slips in the drive, which grinds it, and the line comes out thin. `mostFlow` in the machine file is the limit. Feed slower (a lower F), or feed less.',
      bad: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 Z6 F540\nG1 E16 F1740\n' },
      good: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 Z6 F540\nG1 E16 F170\n' },
    },
    blob: {
      why: 'Filament that leaves a standing nozzle curls up to it and sticks there as a hot ball, which is then carried into the first layer or tears it off. A few mm to fill the nozzle are usual. For more, move while feeding (a purge line), or do it beside the bed where the machine has a bin, and wipe afterwards.',
      bad: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X186 Y9 Z0.32 F660\nG1 E26 F190\n' },
      good: {
        role: 'start',
        text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X186 Y9 Z0.32 F660\nG1 E3.4 F190\nG1 X112 E7 F930\n',
      },
    },
  },
};
