import { DIFFERS, inFamily, nist, perAxis, word } from '../define.ts';
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
      word('B', 'store the factor in force', 'none', { value: 'optional' }),
      word('R', 'bring the stored factor back', 'none', { value: 'optional' }),
    ],
    effects: [{ do: 'speed-factor' }],
    cautions: [UNTIL],
  }),
  tuning({
    code: 'M92',
    title: 'Steps for each mm',
    does: 'Sets how many motor steps make one millimetre of an axis.',
    words: perAxis('steps of', 'steps/mm', 'XYZE', { min: 0 }),
    cautions: ['A wrong number makes every move too long or too short, up to driving into the end of the travel.'],
    openWords: true,
  }),
  tuning({
    code: 'M201',
    title: 'Highest acceleration of each axis',
    does: 'Sets how fast each axis may gain speed at most.',
    words: perAxis('highest acceleration of', 'mm/s2', 'XYZE', { min: 0 }),
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M202',
    title: 'Highest acceleration of travel moves',
    does: `Sets how fast each axis may gain speed while it does not extrude. Many controllers ignore it. ${DIFFERS}`,
    words: perAxis('highest acceleration of', 'mm/s2', 'XYZE', { min: 0 }),
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M203',
    title: 'Highest speed of each axis',
    does: 'Sets how fast each axis may move at most. Most controllers count in mm a second, some in mm a minute: see the manual.',
    words: perAxis('highest speed of', 'mm/s', 'XYZE', { min: 0 }),
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M204',
    title: 'Acceleration',
    does: 'Sets the acceleration of moves: P while printing, T while travelling, R while pulling back; S for all of them on many controllers.',
    words: [
      word('P', 'acceleration while printing', 'mm/s2', { min: 0 }),
      word('T', 'acceleration while travelling', 'mm/s2', { min: 0 }),
      word('R', 'acceleration while pulling back', 'mm/s2', { min: 0 }),
      word('S', 'acceleration of all moves', 'mm/s2', { min: 0 }),
    ],
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M205',
    title: 'Behaviour in corners',
    does: `Sets how sharply the speed may change in corners, and lowest speeds. ${DIFFERS}`,
    words: [
      ...perAxis('change of speed at once of', 'mm/s', 'XYZE', { min: 0 }),
      word('J', 'deviation allowed in corners', 'mm', { min: 0 }),
      word('S', 'lowest speed while printing', 'mm/s', { min: 0 }),
      word('T', 'lowest speed while travelling', 'mm/s', { min: 0 }),
      word('B', 'shortest time of a move', 'number', { min: 0 }),
    ],
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M593',
    title: 'Damp ringing',
    does: `Shapes the moves so that the frame does not ring after corners. ${DIFFERS}`,
    openWords: true,
  }),
  tuning({
    code: 'M210',
    title: 'Homing speed',
    does: `Sets how fast each axis homes. ${DIFFERS}`,
    words: perAxis('homing speed of', 'length/min', 'XYZ', { min: 0 }),
    cautions: [WEAR],
    openWords: true,
  }),
  tuning({
    code: 'M48',
    title: 'Allow the speed dials, or test the probe',
    does: `RS-274: the operator's dials for speed count from here on. Several printing controllers probe one point again and again and report how far the measures differ. ${DIFFERS}`,
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
    title: 'Store the settings',
    does: 'Stores the settings in force, so that they hold after power-on too.',
    cautions: ['In a sequence it runs in every job and wears out the memory. Store settings by hand, once.'],
  }),
  tuning({
    code: 'M501',
    title: 'Load the stored settings',
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
    code: 'M503',
    title: 'Report the settings',
    does: 'Reports the settings in force.',
    openWords: true,
  }),
];
