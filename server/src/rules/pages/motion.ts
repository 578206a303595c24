import type { Subject } from './page.ts';

export const MOTION: Subject = {
  title: 'Motion',
  pages: {
    'beyond-reach': {
      why: 'Past its reach an axis runs into its end: motors skip, belts jump, every position after it is wrong, and a nozzle below the bed’s surface scratches it. Keep to the machine’s reach. In a sequence that serves many jobs, limit what the placeholders give: min(part.top + 10, reach.top).',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG1 X266 F5700\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 X224 F5700\n' },
    },
    'below-bed': {
      why: 'Z 0 is where the nozzle touches the bed (common practice). Below it the nozzle digs into the surface, bends the gantry or skips its motor. It comes from a step down in relative mode, or from a G92 that shifted Z. A machine file with reach.bottom says where the limit really lies, and `beyond-reach` then keeps watch.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG1 Z8 F630\nG91\nG1 Z-11\nG90\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 Z8 F630\nG91\nG1 Z-6\nG90\n' },
      otherwise: { reach: null },
    },
    'off-bed': {
      why: 'Beside the bed the bead finds nothing to stick to: it curls up to the nozzle, falls into the works, or the nozzle strikes the bed’s edge or a clip. A sequence from a machine with a larger bed, or with its origin elsewhere, typically does this with its purge line. Move the line onto the bed; half the bead’s width counts too.',
      bad: {
        role: 'start',
        text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 Z0.31 F450\nG1 X124 Y201 F5100\nG1 X198 E6.8 F1140\n',
      },
      good: {
        role: 'start',
        text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 Z0.31 F450\nG1 X124 Y9 F5100\nG1 X198 E6.8 F1140\n',
      },
    },
    'in-keep-out': {
      why: 'Clips, brushes, cameras and tool posts stand within reach of the nozzle. Both ends of a move can be clear of them while the straight line between is not. Lift above the keep-out first, or go round it in two moves.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG1 Z2.5 F630\nG1 X84 Y189 F5400\nG1 X126 F5400\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 Z12 F630\nG1 X84 Y189 F5400\nG1 X126 F5400\n' },
    },
    'bad-arc': {
      why: 'An arc is given by its end and either its centre (I, J, K from the start, in every distance mode) or its radius (R). If start and end do not lie on one circle, or the radius is too small to reach, controllers refuse the arc or draw a wrong one (NISTIR 6556 3.5.3: the two radii may differ by 0.002 mm).',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG1 X62 Y44 F3300\nG2 X76 Y44 I4\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 X62 Y44 F3300\nG2 X76 Y44 I7\n' },
    },
    'drag-over-part': {
      why: 'When an end sequence begins, the nozzle still touches the last layer. Moved sideways now, it drags a hot tip across the finished part, scars it or knocks it off the bed. Lift first, to a height above the part that the machine can reach: G1 Z{{ min(part.top + 5, reach.top) }}. A short wipe after pulling filament back is common practice, and is only noted.',
      bad: { role: 'end', text: 'G21\nG90\nG1 X204 Y12 F6900\nM104 S0\nM140 S0\nM84\n' },
      good: {
        role: 'end',
        text: 'G21\nG90\nG1 Z{{ min(part.top + 5, reach.top) }} F570\nG1 X204 Y12 F6900\nM104 S0\nM140 S0\nM84\n',
      },
    },
    'low-approach': {
      why: 'A nozzle that is lowered to print height before it goes to where the first line begins skims over the bed: it drags what oozes from it along, and catches a clip, a magnet or what an earlier job left. Go there at a height that clears everything, and come down last.',
      bad: {
        role: 'start',
        text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 Z0.27 F480\nG1 X116 Y8 F6300\nG1 X190 E6.6 F1080\n',
      },
      good: {
        role: 'start',
        text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 Z6 F480\nG1 X116 Y8 F6300\nG1 Z0.27 F480\nG1 X190 E6.6 F1080\n',
      },
    },
    'no-feed': {
      why: 'A G1 without F runs at the speed that was given last. In a start sequence that is what an earlier job left, or the controller’s own default, which may be a crawl or far too quick; a controller that keeps to RS-274 may refuse the move. Give F (mm per minute) with the first move, and again wherever the speed should change.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG1 X64\nG1 Y38 F5700\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 X64 F5700\nG1 Y38\n' },
    },
    'feed-mm-s': {
      why: 'F counts mm per minute (NISTIR 6556: length units per minute), while people speak of mm per second. F60 is 1 mm/s: a travel over the bed takes minutes, and a hot nozzle oozes and burns what it stands over meanwhile. Write 60 times the mm/s: 100 mm/s is F6000.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG1 X92 Y118 F75\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 X92 Y118 F4500\n' },
    },
    'feed-too-fast': {
      why: 'A controller that knows the axis’ top speed slows the whole move down to it, so the move takes longer than the text says; one that does not know it makes the motor skip, and every position after that is wrong. Z with its screws is mostly the slow one: give it an F of its own.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG1 Z18 F5400\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 Z18 F660\n' },
    },
  },
};
