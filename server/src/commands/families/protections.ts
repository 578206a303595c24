import { DIFFERS, index, inFamily, KEEPS, onOff, word } from '../define.ts';
import type { CommandRecord } from '../record.ts';

const protections = inFamily('protections');

/** Commands that guard the machine, or take a guard away. */
export const protectionCommands: readonly CommandRecord[] = [
  protections({
    code: 'M112',
    title: 'Emergency stop',
    does: 'Stops everything at once: motors, heaters, the job. The controller mostly has to be restarted afterwards.',
    effects: [{ do: 'stop' }],
    cautions: ['The machine no longer knows where it is. For a real danger use the mains switch, not a command.'],
  }),
  protections({
    code: 'M410',
    title: 'Stop moving at once',
    does: `Breaks off the moves under way and those waiting. ${DIFFERS}`,
    effects: [{ do: 'position-unknown', axes: ['x', 'y', 'z'] }],
    cautions: ['Motors may lose steps: home again.'],
  }),
  protections({
    code: 'M999',
    title: 'Go on after a stop',
    does: `Brings the controller back after an emergency stop. ${DIFFERS}`,
    cautions: ['Find out what stopped it first.'],
    openWords: true,
  }),
  protections({
    code: 'M302',
    title: 'Let filament move through a cold nozzle',
    does: 'Sets the temperature below which the controller refuses to feed filament; S0, or on some controllers P1, takes that guard away.',
    words: [
      word('S', 'lowest temperature for feeding; 0 allows it cold', 'degrees C', {
        min: 0,
        absent: 'depends on the controller: reports, or allows cold feeding',
      }),
      onOff('P', 'switch: 1 allows cold feeding, 0 forbids it (some controllers)'),
    ],
    effects: [{ do: 'allow-cold' }],
    cautions: ['Feeding filament through a cold nozzle strips the filament, jams the nozzle and wears the feed.'],
    openWords: true,
  }),
  protections({
    code: 'M412',
    title: 'Watch for the end of the filament',
    does: `Turns watching for the end of the filament on or off. ${DIFFERS}`,
    words: [onOff('S', 'switch: 1 watches, 0 does not')],
    openWords: true,
  }),
  protections({
    code: 'M120',
    title: 'Watch the end stops at all times',
    does: `Watches the end stops (the switches at the ends of the axes) during all moves, not only while homing. On other controllers it saves the modes in force. ${DIFFERS}`,
  }),
  protections({
    code: 'M121',
    title: 'Watch the end stops while homing only',
    does: `Watches the end stops only while homing. On other controllers it brings back the modes that M120 saved. ${DIFFERS}`,
    cautions: ['Without end stops an axis is stopped only by the end of its travel.'],
  }),
  protections({
    code: 'M143',
    title: 'Temperature at which it shuts down',
    does: `Sets above which temperature the controller shuts down. ${DIFFERS}`,
    words: [
      word('S', 'highest temperature', 'degrees C', { min: 0, ...KEEPS }),
      index('H', 'number of the heater', 'the first'),
    ],
    cautions: ["Raising it takes a guard away: stay within the machine's manual."],
    openWords: true,
  }),
  protections({
    code: 'M564',
    title: 'Keep moves within the travel',
    does: `S says whether moves beyond the travel are kept back, H whether an axis may move before it is homed. ${DIFFERS}`,
    words: [
      onOff('S', 'switch: 1 keeps moves within the travel, 0 lets them pass'),
      onOff('H', 'switch: 1 forbids moves before homing, 0 allows them'),
    ],
    cautions: ['With the guard off the controller moves an axis into its end: motors skip and parts bend.'],
  }),
  protections({
    code: 'M591',
    title: 'Watch the filament, by its own sensor',
    does: `Sets up a sensor that tells whether filament is there and moves. ${DIFFERS}`,
    words: [index('D', 'number of the extruder', 'the first'), onOff('S', 'switch: 1 watches, 0 does not')],
    openWords: true,
  }),
  protections({
    code: 'M997',
    title: "Renew the controller's program",
    does: `Replaces the program that runs the controller, from a file, and starts anew. ${DIFFERS}`,
    effects: [{ do: 'stop' }],
    cautions: ['If it goes wrong the controller no longer starts. It belongs in no sequence.'],
    openWords: true,
  }),
  ...['M862', 'M862.1', 'M862.2', 'M862.3', 'M862.4', 'M862.5', 'M862.6'].map((code) =>
    protections({
      code,
      title: 'Check that the machine fits the job',
      does: `On some controllers compares the machine with what the job was made for (nozzle, model, version, …), and asks or stops where they differ. ${DIFFERS}`,
      openWords: true,
    }),
  ),
];
