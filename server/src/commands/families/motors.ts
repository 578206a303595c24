import { axisFlags, DIFFERS, index, inFamily, KEEPS, onOff, perAxis, word } from '../define.ts';
import type { CommandRecord } from '../record.ts';

const motors = inFamily('motors');

const LOOSE =
  'Without current an axis can be pushed by hand or sink by its own weight, and its position is lost: home again.';
const CURRENT = "Too much current overheats motors and drivers, too little loses steps: keep to the machine's manual.";
const release = {
  words: [
    ...axisFlags('release', 'XYZE'),
    word('S', 'time without moves after which motors are released', 's', { min: 0, absent: 'at once' }),
  ],
  effects: [{ do: 'motors', on: false }],
  cautions: [LOOSE],
} as const;

/** Commands for the motors of the axes. */
export const motorCommands: readonly CommandRecord[] = [
  motors({
    code: 'M17',
    title: 'Motors on',
    does: 'Gives the motors current, so that the axes hold their place.',
    words: axisFlags('hold', 'XYZE'),
    effects: [{ do: 'motors', on: true }],
  }),
  motors({
    code: 'M84',
    title: 'Motors off',
    does: 'Takes the current off the motors, all or those named, so that the axes can be moved by hand. With S it sets after how long without moves that happens by itself.',
    ...release,
  }),
  motors({
    code: 'M18',
    title: 'Motors off',
    does: 'The same as M84: takes the current off the motors, all or those named.',
    ...release,
  }),
  motors({
    code: 'M85',
    title: 'Stop after standing still',
    does: `Sets after how long without any command the controller shuts down by itself; 0 for never. ${DIFFERS}`,
    words: [word('S', 'time without commands; 0 for never', 's', { min: 0, required: true })],
  }),
  motors({
    code: 'M350',
    title: "Into how many parts a motor's step is cut",
    does: `Sets into how many microsteps a motor's step is cut; more run more quietly. The steps for each mm (M92) must match. ${DIFFERS}`,
    words: perAxis('microsteps of', 'count', 'XYZE', { min: 1, max: 256, ...KEEPS }),
    cautions: ['A number that does not match M92 makes every move too long or too short.'],
    openWords: true,
  }),
  motors({
    code: 'M569',
    title: 'How a motor driver works',
    does: `Sets how a motor driver works, such as its direction or its quiet mode. ${DIFFERS}`,
    words: [index('P', 'number of the driver', 'all'), onOff('S', 'direction, or quiet mode: 1 or 0, see the manual')],
    cautions: ['A wrong direction drives an axis away from its switch, into the end of its travel.'],
    openWords: true,
  }),
  motors({
    code: 'M906',
    title: 'How much current the motors get',
    does: `Sets the current of the motors: more gives more force, and more heat. ${DIFFERS}`,
    words: perAxis('current of', 'mA', 'XYZE', { min: 0, ...KEEPS }),
    cautions: [CURRENT],
    openWords: true,
  }),
  motors({
    code: 'M907',
    title: 'Motor current, by a digital dial',
    does: `Sets the current of the motors on boards with digital trimmers; the unit differs from board to board. ${DIFFERS}`,
    words: perAxis('current, in the unit of the board, of', 'number', 'XYZE', { min: 0, ...KEEPS }),
    cautions: [CURRENT],
    openWords: true,
  }),
  motors({
    code: 'M913',
    title: 'Share of the motor current',
    does: `Sets the current of the motors as a share of the usual one. On other controllers it sets from which speed on a driver leaves its quiet mode. ${DIFFERS}`,
    words: perAxis('share of the current of', 'percent', 'XYZE', { min: 0, ...KEEPS }),
    cautions: [CURRENT],
    openWords: true,
  }),
  motors({
    code: 'M914',
    title: 'How lightly an axis feels its end',
    does: `Sets how lightly a driver takes a touch for the end of the travel, on machines that home without switches. ${DIFFERS}`,
    words: perAxis('number for', 'number', 'XYZ', { min: -64, max: 255, ...KEEPS }),
    cautions: ['A wrong number lets an axis run on into its end, or stops it on the way.'],
    openWords: true,
  }),
  motors({
    code: 'M122',
    title: 'Report on drivers or controller',
    does: `Reports how the motor drivers, or the controller as a whole, are doing. ${DIFFERS}`,
    openWords: true,
  }),
];
