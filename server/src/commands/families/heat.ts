import { DIFFERS, index, inFamily, KEEPS, onOff, SOME, word } from '../define.ts';
import type { CommandRecord } from '../record.ts';

const heat = inFamily('heat');

const HOT = 'Hot parts burn, and stay hot long after they are off.';
const LIMIT = "Do not go above what the machine's manual and the filament's maker allow.";
const ALONE = 'A hot nozzle that stands still oozes and in time chars the plastic in it.';

const target = (what: string, more: object = {}) =>
  word('S', `temperature to heat ${what} to; 0 turns it off`, 'degrees C', { min: 0, ...KEEPS, ...more });
const cool = (what: string) =>
  word('R', `temperature of ${what} to reach, waiting while it cools down too, on some controllers`, 'degrees C', {
    min: 0,
    absent: 'S gives it',
  });
const standby = (what: string) =>
  word('R', `standby temperature of ${what}, on some controllers`, 'degrees C', { min: 0, ...KEEPS });
const tool = index('T', 'number of the tool', 'the tool in use');

const CONTROL = [
  word('P', 'share of the present difference', 'number', { min: 0, ...KEEPS }),
  word('I', 'share of what remains over time', 'number', { min: 0, ...KEEPS }),
  word('D', 'share of how fast it changes', 'number', { min: 0, ...KEEPS }),
];

/** Commands that heat and measure heat. */
export const heatCommands: readonly CommandRecord[] = [
  heat({
    code: 'M104',
    takesMore: true,
    title: 'Heat the nozzle, and go on',
    does: 'Sets the temperature of the nozzle and goes on at once. Follow it with M109 before filament is fed.',
    words: [target('the nozzle'), standby('the nozzle'), tool],
    effects: [{ do: 'heat', heater: 'nozzle', wait: false, key: 'S' }],
    cautions: [HOT, LIMIT],
    oneOf: ['S', 'R'],
  }),
  heat({
    code: 'M109',
    takesMore: true,
    title: 'Heat the nozzle, and wait',
    does: 'Sets the temperature of the nozzle and waits until it is reached. With S it goes on while a hotter nozzle cools; with R, on some controllers, it waits.',
    words: [
      target('the nozzle', { absent: 'waits for the temperature set before, on most controllers' }),
      cool('the nozzle'),
      tool,
    ],
    effects: [{ do: 'heat', heater: 'nozzle', wait: true, key: 'S', coolKey: 'R' }],
    cautions: [HOT, LIMIT, ALONE],
  }),
  heat({
    code: 'M140',
    takesMore: true,
    title: 'Heat the bed, and go on',
    does: 'Sets the temperature of the bed and goes on at once. Follow it with M190 before the first layer.',
    words: [
      target('the bed'),
      standby('the bed'),
      index('P', 'number of the bed, on some controllers', 'the first'),
      index('H', 'number of the heater, on some controllers', 'the bed in use'),
    ],
    effects: [{ do: 'heat', heater: 'bed', wait: false, key: 'S' }],
    cautions: [HOT, LIMIT],
    oneOf: ['S', 'R'],
  }),
  heat({
    code: 'M190',
    takesMore: true,
    title: 'Heat the bed, and wait',
    does: 'Sets the temperature of the bed and waits until it is reached. With S it goes on while a hotter bed cools; with R, on some controllers, it waits.',
    words: [
      target('the bed', { absent: 'waits for the temperature set before, on most controllers' }),
      cool('the bed'),
      index('P', 'number of the bed, on some controllers', 'the first'),
      index('H', 'number of the heater, on some controllers', 'the bed in use'),
    ],
    effects: [{ do: 'heat', heater: 'bed', wait: true, key: 'S', coolKey: 'R' }],
    cautions: [HOT, LIMIT],
  }),
  heat({
    code: 'M141',
    title: 'Heat the chamber, and go on',
    does: 'Sets the temperature of the air in a closed chamber and goes on at once. Machines without a chamber heater ignore it or refuse it.',
    words: [
      target('the chamber', { required: true }),
      index('P', 'number of the chamber, on some controllers', 'the first'),
    ],
    effects: [{ do: 'heat', heater: 'chamber', wait: false, key: 'S' }],
    cautions: [HOT, LIMIT],
  }),
  heat({
    code: 'M191',
    title: 'Heat the chamber, and wait',
    does: 'Sets the temperature of the air in a closed chamber and waits until it is reached, which can take long. Machines without a chamber heater ignore it, refuse it, or wait for ever.',
    words: [
      target('the chamber'),
      cool('the chamber'),
      index('P', 'number of the chamber, on some controllers', 'the first'),
    ],
    effects: [{ do: 'heat', heater: 'chamber', wait: true, key: 'S', coolKey: 'R' }],
    cautions: [HOT, LIMIT, ALONE],
    oneOf: ['S', 'R'],
  }),
  heat({
    code: 'M116',
    title: 'Wait until everything is hot',
    does: 'Waits until every heater that is on has reached its temperature. Not every controller has it.',
    words: [
      index('P', 'number of the tool to wait for, on some controllers', 'all heaters'),
      index('H', 'number of the heater to wait for, on some controllers', 'all heaters'),
    ],
    effects: [{ do: 'await-heat', heaters: ['nozzle', 'bed', 'chamber'] }],
    cautions: [HOT, ALONE],
    openWords: true,
  }),
  heat({
    code: 'M108',
    title: 'Break off a wait',
    does: 'Breaks off a wait for heat or for a button, sent from outside while the machine waits. In a sequence it does nothing, since it is only read when the wait is over.',
  }),
  heat({
    code: 'M105',
    title: 'Tell how hot everything is',
    does: 'Reports the temperatures of nozzle, bed and chamber, and what they are set to.',
    words: [index('T', 'number of the tool', 'the tool in use')],
    openWords: true,
  }),
  heat({
    code: 'M155',
    title: 'Tell temperatures again and again',
    does: 'Makes the controller report the temperatures every so many seconds; 0 stops it.',
    words: [word('S', 'seconds between reports; 0 for none', 's', { min: 0, ...KEEPS })],
    openWords: true,
  }),
  heat({
    code: 'M301',
    title: "Set the nozzle heater's control",
    does: `Stores the three figures by which the controller holds the nozzle's temperature: P for the difference, I for what remains, D for how fast it changes. ${DIFFERS}`,
    words: [
      ...CONTROL,
      index('E', 'number of the extruder', 'the first'),
      index('H', 'number of the heater', 'the first'),
    ],
    cautions: ['Wrong figures let the heater overshoot.', HOT],
    openWords: true,
  }),
  heat({
    code: 'M304',
    title: "Set the bed heater's control",
    does: `Stores the three figures by which the controller holds the bed's temperature. ${DIFFERS}`,
    words: [...CONTROL],
    cautions: ['Wrong figures let the heater overshoot.', HOT],
    openWords: true,
  }),
  heat({
    code: 'M303',
    title: "Find a heater's control figures",
    does: `Heats up and lets cool several times to work out the figures for M301 or M304. It takes minutes, and belongs in no job. ${DIFFERS}`,
    words: [
      word('E', 'number of the extruder; -1 for the bed', 'index', { min: -1, absent: 'the first' }),
      word('S', 'temperature to work at', 'degrees C', { min: 0, absent: 'a usual one, by the heater' }),
      word('C', 'number of times to heat up', 'count', { min: 1, absent: 'about 5' }),
      onOff('U', 'switch: 1 puts the figures to use', 'only reports them'),
    ],
    cautions: [HOT, LIMIT, 'Stay with the machine while it runs.'],
    openWords: true,
  }),
  heat({
    code: 'M568',
    title: 'Heats of a tool, at work and waiting',
    does: `On controllers that keep two heats for each tool, sets that of tool P while it works (S) and while it waits (R), and with A whether it is off, waits or works. Goes on at once: M116 waits. ${DIFFERS}`,
    words: [
      index('P', 'number of the tool', 'the tool in use'),
      target('the nozzle of the tool'),
      word('R', 'temperature of that nozzle while the tool waits', 'degrees C', { min: 0, ...KEEPS }),
      word('A', 'state: 0 off, 1 waiting, 2 at work', 'index', { min: 0, max: 2, ...KEEPS }),
    ],
    effects: [{ do: 'heat', heater: 'nozzle', wait: false, key: 'S', toolKey: 'P' }],
    cautions: [HOT, LIMIT],
    openWords: true,
  }),
  heat({
    code: 'M145',
    title: "Store the display's heats for a material",
    does: `Stores the temperatures and the fan speed that the display offers for a material. It heats nothing. ${DIFFERS}`,
    words: [
      index('S', 'number of the material', 'the first'),
      word('H', 'temperature offered for the nozzle', 'degrees C', { min: 0, ...KEEPS }),
      word('B', 'temperature offered for the bed', 'degrees C', { min: 0, ...KEEPS }),
    ],
    openWords: true,
  }),
  heat({
    code: 'M192',
    title: 'Wait until the probe is warm',
    does: `Waits until the bed probe has a temperature, since what it measures drifts with its heat. ${SOME}`,
    words: [
      word('S', 'temperature of the probe to reach', 'degrees C', { min: 0, absent: 'R gives it' }),
      word('R', 'the same, waiting while it cools down too', 'degrees C', { min: 0, absent: 'S gives it' }),
    ],
    cautions: [ALONE, 'Where nothing warms the probe, it never ends.'],
    openWords: true,
  }),
];
