import { DIFFERS, inFamily, KEEPS, nist, perAxis, word } from '../define.ts';
import type { CommandRecord } from '../record.ts';

const tuning = inFamily('limits and tuning');

const UNTIL = 'It holds for the next job too, unless that sets it anew.';
const WEAR = "Values above what the machine's manual states lose steps and wear belts and bearings.";

/** Commands that set speeds, limits and stored settings. */
export const tuningCommands: readonly CommandRecord[] = [
  tuning({
    code: 'M220',
    title: 'Speed factor',
    does: 'Multiplies the speed of every later move; 100 is as written. On some controllers B stores the factor and R brings it back.',
    words: [
      word('S', 'speed, 100 as written', 'percent', { min: 0, absent: 'reports the factor' }),
      word('B', 'store the factor in force, on some controllers', 'none', { value: 'optional' }),
      word('R', 'bring the stored factor back, on some controllers', 'none', { value: 'optional' }),
    ],
    effects: [{ do: 'speed-factor' }],
    cautions: [UNTIL],
  }),
  tuning({
    code: 'M92',
    title: 'Steps for each mm',
    does: 'Sets how many motor steps make one millimetre of an axis. It is a figure of the machine, measured once, and belongs in no job.',
    words: perAxis('steps of', 'steps/mm', 'XYZE', { min: 0, ...KEEPS }),
    cautions: ['A wrong number makes every move too long or too short, up to driving into the end of the travel.'],
    openWords: true,
  }),
  tuning({
    code: 'M201',
    title: 'Highest acceleration of each axis',
    does: 'Sets how fast each axis may gain speed at most: at 1000 mm/s² it reaches 100 mm/s within a tenth of a second.',
    words: perAxis('highest acceleration of', 'mm/s2', 'XYZE', { min: 0, ...KEEPS }),
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M202',
    title: 'Highest acceleration of travel moves',
    does: `Sets how fast each axis may gain speed while it does not extrude. Many controllers ignore it. ${DIFFERS}`,
    words: perAxis('highest acceleration of', 'mm/s2', 'XYZE', { min: 0, ...KEEPS }),
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M203',
    title: 'Highest speed of each axis',
    does: 'Sets how fast each axis may move at most. Most controllers count in mm a second, some in mm a minute: see the manual.',
    words: perAxis('highest speed of', 'mm/s', 'XYZE', { min: 0, ...KEEPS }),
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M204',
    title: 'How fast moves gain speed',
    does: 'Sets how fast moves gain and lose speed; more saves time and shakes the frame. P while printing, T while travelling, R while pulling back; S for all of them on many controllers.',
    words: [
      word('P', 'acceleration while printing', 'mm/s2', { min: 0, ...KEEPS }),
      word('T', 'acceleration while travelling', 'mm/s2', { min: 0, ...KEEPS }),
      word('R', 'acceleration while pulling back', 'mm/s2', { min: 0, ...KEEPS }),
      word('S', 'acceleration of all moves', 'mm/s2', { min: 0, ...KEEPS }),
    ],
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M205',
    title: 'Behaviour in corners',
    does: `Sets how sharply the speed may change in corners, and lowest speeds. Higher values save time, and leave ripples behind corners. ${DIFFERS}`,
    words: [
      ...perAxis('change of speed at once of', 'mm/s', 'XYZE', { min: 0, ...KEEPS }),
      word('J', 'deviation allowed in corners', 'mm', { min: 0, ...KEEPS }),
      word('S', 'lowest speed while printing', 'mm/s', { min: 0, ...KEEPS }),
      word('T', 'lowest speed while travelling', 'mm/s', { min: 0, ...KEEPS }),
      word('B', 'shortest time of a move', 's', { min: 0, ...KEEPS }),
    ],
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M566',
    title: 'Change of speed at once, by axis',
    does: `Sets by how much each axis may change its speed at once, as in corners, in mm a minute. ${DIFFERS}`,
    words: perAxis('change of speed at once of', 'mm/min', 'XYZE', { min: 0, ...KEEPS }),
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M425',
    title: 'Take up backlash',
    does: `Makes up for the play of each axis when it turns round. ${DIFFERS}`,
    words: [
      ...perAxis('play of', 'mm', 'XYZ', { min: 0, ...KEEPS }),
      word('F', 'share of the play to make up for, from 0 to 1', 'number', { min: 0, max: 1, ...KEEPS }),
      word('S', 'length over which it is taken up', 'mm', { min: 0, ...KEEPS }),
    ],
    openWords: true,
  }),
  tuning({
    code: 'M593',
    title: 'Damp ringing',
    does: `Shapes the moves so that the frame does not swing after corners, which shows as ripples on the part. ${DIFFERS}`,
    words: [
      word('F', 'frequency at which the frame swings; 0 turns it off', 'Hz', { min: 0, ...KEEPS }),
      word('D', 'damping of the frame, from 0 to 1', 'number', { min: 0, max: 1, ...KEEPS }),
    ],
    openWords: true,
  }),
  tuning({
    code: 'M210',
    title: 'How fast axes home',
    does: `Sets how fast each axis homes. ${DIFFERS}`,
    words: perAxis('homing speed of', 'length/min', 'XYZ', { min: 0, ...KEEPS }),
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M48',
    title: 'Allow the speed dials, or test the probe',
    does: `RS-274: the operator's dials for speed count from here on. Several printing controllers probe one point again and again and report how far the measures differ. ${DIFFERS}`,
    words: [
      word('P', 'number of times to probe', 'count', { min: 2, absent: 'about 10' }),
      ...perAxis('place to probe along', 'length', 'XY', { absent: 'where it stands' }),
    ],
    effects: [{ do: 'position-unknown', axes: ['x', 'y', 'z'] }],
    cautions: ['Where it tests the probe, the machine moves and touches the bed.'],
    source: nist('3.6.5'),
    group: 'overrides',
    openWords: true,
  }),
  tuning({
    code: 'M49',
    title: 'Ignore the speed dials',
    does: "RS-274: the operator's dials for speed no longer count from here on. Printing controllers seldom have it.",
    source: nist('3.6.5'),
    group: 'overrides',
  }),
  tuning({
    code: 'M500',
    title: 'Keep the settings after power-off',
    does: 'Stores the settings in force, so that they hold after power-on too.',
    cautions: ['In a sequence it runs in every job and wears out the memory. Store settings by hand, once.'],
  }),
  tuning({
    code: 'M501',
    title: 'Go back to the settings kept',
    does: 'Brings back the settings that M500 stored; changes made since then are lost.',
    openWords: true,
  }),
  tuning({
    code: 'M502',
    title: "Back to the maker's settings",
    does: 'Brings back the settings that the controller was built with. They are not stored until M500.',
    cautions: ['Calibration made since the machine was built is no longer in force.'],
    openWords: true,
  }),
  tuning({
    code: 'M504',
    title: 'Check or empty the settings kept',
    does: `Checks the memory of stored settings on some controllers, empties it on others. ${DIFFERS}`,
    cautions: ['Emptied settings must be measured anew. It belongs in no sequence.'],
    openWords: true,
  }),
  tuning({
    code: 'M503',
    title: 'Tell how everything is set',
    does: 'Reports the settings in force.',
    openWords: true,
  }),
];
