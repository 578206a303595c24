import type { Subject } from './page.ts';

export const HAND_OVER: Subject = {
  title: 'Hand-over',
  pages: {
    'modes-left': {
      why: 'The body of a job counts in mm and in absolute positions. A sequence that ends in relative mode (G91) or inches (G20) sends every move after it astray, into the bed, the part or an end of the axis; a start that never states its modes depends on what ran before. State G21 and G90 at the top, and go back to G90 after each stretch in G91.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG91\nG1 Z4 F510\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG91\nG1 Z4 F510\nG90\nM109 S210\n' },
    },
    'e-mode-left': {
      why: 'A job counts E in steps (M83) or in places (M82), and goes on in the mode that a layer change, a swap or a pause leaves. In the wrong one its next line pushes at once all that the job has fed so far, or nearly nothing any more. So end such a sequence with the mode of the job itself, behind the last E: M82 or M83. On a controller where G90 and G91 govern E too, a short lift in relative mode changes the mode of E as well.',
      bad: { role: 'pause', text: 'M83\nG1 E-1.6 F1560\nM0\nG1 E1.6 F1560\n' },
      good: { role: 'pause', text: 'M83\nG1 E-1.6 F1560\nM0\nG1 E1.6 F1560\nM82\n' },
    },
    'goes-on-cold': {
      why: 'While a job waits for a person the nozzle is often let cool, so that it does not ooze and char. When the sequence ends the job goes on at once: a nozzle that is not back at its heat grinds the filament and leaves a gap in the part. Heat it and wait behind the pause: M109 S{{ heat.nozzle.later }}. The bed is better kept warm, since the part comes off as it cools, and heating it again does not bring it back. Some controllers heat up by themselves when a job goes on; the machine’s manual says so.',
      bad: { role: 'pause', text: 'M104 S0\nM0 change the filament\n' },
      good: { role: 'pause', text: 'M104 S0\nM0 change the filament\nM109 S{{ heat.nozzle.later }}\n' },
    },
    'e-not-reset': {
      why: 'A job in absolute E counts from zero. If the start hands over with E at 12, the job’s first line to E0.05 pulls back nearly 12 mm, and the first centimetres stay empty or the filament is drawn out of the melt. End a start in M82 with G92 E0.',
      bad: { role: 'start', text: 'G21\nG90\nM82\nG28\nM109 S210\nG92 E0\nG1 X58 E4.6 F1020\n' },
      good: { role: 'start', text: 'G21\nG90\nM82\nG28\nM109 S210\nG92 E0\nG1 X58 E4.6 F1020\nG92 E0\n' },
    },
    'unretract-missing': {
      why: 'A job’s first line takes it that the nozzle is full. What a start has pulled back and not pushed forward again is missing there: the line begins with a gap that is many times as long as the pull, since a thin bead uses little filament. Up to 2 mm against oozing is common practice; push the rest forward before the hand-over.',
      bad: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X94 E8.2 F1110\nG1 E-4.4 F1620\n' },
      good: {
        role: 'start',
        text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X94 E8.2 F1110\nG1 E-4.4 F1620\nG1 Z3 F570\nG1 E4.4 F1620\n',
      },
    },
    'tool-left': {
      why: 'On a machine with several tools the job prints with the tool that is in use when the start sequence ends, until it picks one itself. Hand over with another one, and the first layer comes from a nozzle that may be cold, holds other filament and stands elsewhere. End with the job’s own: T{{ tool.number }}. A swap moves the machine: keep clear.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nT1\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nT{{ tool.number }}\nM109 S210\n' },
    },
    'factors-left': {
      why: 'M220 and M221 multiply the speed and the flow of everything that follows, not only of the sequence that sets them. A factor that was meant for the purge line then thins every wall of the part, or makes it run faster than the filament melts, and no line of the job shows why. Put them back before the end: M220 S100 and M221 S100. Filament that needs another flow in every job is better corrected where the job is made.',
      bad: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nM221 S125\nG1 X70 E4 F960\n' },
      good: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nM221 S125\nG1 X70 E4 F960\nM221 S100\n' },
    },
    'plane-left': {
      why: 'G2 and G3 are read in the plane that was chosen last (NISTIR 6556 3.5.6). A job draws its arcs flat, in X and Y; handed over in G18 or G19, its arcs turn up into Z: the nozzle leaves the part and comes down on it again, or into the bed. Go back to G17 behind an upright arc, and stay near the machine when a sequence with arcs runs for the first time.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG18\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG17\nM109 S210\n' },
    },
    'feed-mode-left': {
      why: 'In inverse time mode (G93) F says how many such moves a minute would hold, and every move needs its own (NISTIR 6556 3.5.19). A job counts F in mm a minute: its F3000 would end each move in a fiftieth of a second, at any speed that takes, and lines without F are refused. Go back to G94 before the end.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG93\nG1 X44 F3\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG93\nG1 X44 F3\nG94\nM109 S210\n' },
    },
    'offset-left': {
      why: 'G92 with X, Y or Z, G10 L2 and G54 to G59 change where positions are counted from, and stay in force behind the sequence: the job is then printed beside its place, above the bed or into it, and the next job as well. Take the shift back before the end (G92.1, G54), or do without it.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG1 X33 Y27 Z6 F2760\nG92 X0 Y0\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 X33 Y27 Z6 F2760\nG92 X0 Y0\nG1 X8 F2760\nG92.1\n' },
    },
    'fan-handed-over': {
      why: 'The first layer sticks because it cools slowly: with the fan on it shrinks at once, and its edges come off the bed; the wind can also pull the nozzle below its heat. Most jobs switch the fan on themselves, a few layers later. So switch it off (M107) before handing over. What the filament’s maker says has the last word.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nM106 S255\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM106 S255\nM109 S210\nM107\n' },
    },
  },
};
