import { index, inFamily, SOME, word } from '../define.ts';
import type { CommandRecord } from '../record.ts';

const fan = inFamily('fan');

/** Commands for fans. */
export const fanCommands: readonly CommandRecord[] = [
  fan({
    code: 'M106',
    title: 'Run the part-cooling fan',
    does: 'Turns on the fan that cools the part. Which S means full speed differs between controllers: 255, 100 or 1. S0 turns it off.',
    words: [
      word('S', 'speed of the fan; 0 is off', 'fan', { min: 0, absent: 'full speed' }),
      index('P', 'number of the fan', 'the fan that cools the part'),
    ],
    effects: [{ do: 'fan', on: true }],
    cautions: ['A fan on the first layer can lift it off the bed, and can pull the nozzle below its temperature.'],
    openWords: true,
  }),
  fan({
    code: 'M107',
    title: 'Stop the part-cooling fan',
    does: 'Turns off the fan that cools the part.',
    words: [index('P', 'number of the fan', 'the fan that cools the part')],
    effects: [{ do: 'fan', on: false }],
    cautions: [
      'Only the fan for the part: the fan of the hot end should go on while the nozzle is hot, and most machines see to it.',
    ],
  }),
  fan({
    code: 'M710',
    title: "Fan of the controller's own electronics",
    does: `Sets how fast the fan runs that cools the electronics, while the motors are on and while they are off. ${SOME}`,
    cautions: ['Drivers that get too hot lose steps or switch off.'],
    openWords: true,
  }),
];
