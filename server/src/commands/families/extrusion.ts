import { DIFFERS, index, inFamily, KEEPS, nist, onOff, perAxis, word } from '../define.ts';
import type { CommandRecord } from '../record.ts';

const extrusion = inFamily('extrusion and retraction');

/** Of a length or place that the controller has stored. */
const SET = { absent: 'as the controller is set' };
const FEEDS = 'Filament is fed: the nozzle must be hot, or the filament is stripped or the nozzle jams.';
const retractWords = (what: string) => [
  word('S', `length of filament to ${what}`, 'length', KEEPS),
  word('F', 'speed', 'length/min', { min: 0, ...KEEPS }),
];

/** Commands that feed filament or say how it is fed. */
export const extrusionCommands: readonly CommandRecord[] = [
  extrusion({
    code: 'G10',
    title: 'Pull filament back, or store an origin',
    does: 'Two commands in one. Without L, printing controllers pull filament back by the stored length (set with M207), so that the nozzle does not ooze while it travels. With L2, as in RS-274, it stores the origin of work offset P and moves nothing; with L20, where a controller has it, it stores the origin that makes this place read as X, Y and Z. With P and no L some controllers set what tool P is to heat to, or its offset.',
    words: [
      index('L', 'kind of thing to store: 2 or 20 for a work offset', 'filament is pulled back'),
      index('P', 'number of the work offset (1 to 9) or of the tool', 'the one in use'),
      ...perAxis('origin (L2) or new reading (L20) along', 'length', 'XYZ', KEEPS),
      word('S', 'switch: 1 for the longer pull-back before a tool swap; with P a temperature', 'number', {
        min: 0,
        absent: 'the usual pull-back',
      }),
      word('R', 'standby temperature with P', 'degrees C', { min: 0, ...KEEPS }),
    ],
    effects: [{ do: 'retract' }],
    cautions: [
      FEEDS,
      'Twice G10 without G11 between: most controllers do nothing the second time, some pull back again.',
    ],
    source: nist('3.5.5'),
  }),
  extrusion({
    code: 'G11',
    title: 'Push filament forward again',
    does: 'Pushes the filament forward that G10 without L has pulled back, and a little more where M208 says so. It takes no L and cancels no work offset.',
    words: [onOff('S', 'switch: 1 after the longer pull-back', 'after the usual one')],
    effects: [{ do: 'unretract' }],
    cautions: [FEEDS],
  }),
  extrusion({
    code: 'M207',
    title: 'Set how G10 pulls back',
    does: 'Stores length, speed and lift for pulling back with G10.',
    words: [...retractWords('pull back'), word('Z', 'height to lift meanwhile', 'length', { min: 0, ...KEEPS })],
    openWords: true,
  }),
  extrusion({
    code: 'M208',
    title: 'Set how G11 pushes forward',
    does: `Stores speed and extra length for pushing forward with G11. On other controllers it sets how far the axes may travel. ${DIFFERS}`,
    words: retractWords('push beyond what was pulled back'),
    openWords: true,
  }),
  extrusion({
    code: 'M209',
    title: 'Pull back by itself',
    does: `Makes the controller turn E moves that look like a retraction into its own one. ${DIFFERS}`,
    words: [onOff('S', 'switch: 1 turns it on, 0 off')],
  }),
  extrusion({
    code: 'M200',
    title: 'E as a volume, or as a length',
    does: 'With a filament diameter above 0, E counts cubic millimetres from here on instead of millimetres of filament; with 0 it counts length again. Some controllers do not have it.',
    words: [
      word('D', 'diameter of the filament; 0 for E as a length', 'length', { min: 0, ...KEEPS }),
      index('T', 'number of the tool', 'the tool in use'),
      onOff('S', 'switch: 1 turns volumes on, 0 off (some controllers)'),
    ],
    cautions: ['A job with E as a length that is read as a volume feeds far too little.'],
    openWords: true,
  }),
  extrusion({
    code: 'M221',
    title: 'Flow factor',
    does: 'Multiplies how much filament every later move feeds; 100 is as written.',
    words: [
      word('S', 'flow, 100 as written', 'percent', { min: 0, absent: 'reports the factor' }),
      index('T', 'number of the tool', 'the tool in use'),
    ],
    effects: [{ do: 'flow-factor' }],
    cautions: ['It stays in force for the next job: put it back to 100.'],
    openWords: true,
  }),
  extrusion({
    code: 'M900',
    title: 'Pressure compensation',
    does: `Makes the feed run ahead of changes of speed, so that corners come out even: melted plastic pushes back, and without it a line is thin at its beginning and blobs at its end. K says by how many seconds or mm. ${DIFFERS}`,
    words: [
      word('K', 'strength; 0 for none', 'number', { min: 0, absent: 'reports it' }),
      index('T', 'number of the tool', 'the tool in use'),
    ],
    openWords: true,
  }),
  extrusion({
    code: 'M572',
    title: 'Pressure compensation, by time',
    does: `As M900 does, makes the feed run ahead of changes of speed; S says by how many seconds. ${DIFFERS}`,
    words: [
      index('D', 'number of the extruder', 'the first'),
      word('S', 'time by which the feed runs ahead; 0 for none', 's', { min: 0, absent: 'reports it' }),
    ],
    openWords: true,
  }),
  extrusion({
    code: 'M600',
    title: 'Stop for a new filament',
    does: `Stops the job, parks the nozzle, takes the filament out and waits for a new one, then goes on where it was. ${DIFFERS}`,
    words: [
      ...perAxis('place to wait at, along', 'length', 'XY', SET),
      word('Z', 'height to lift first', 'length', { min: 0, ...SET }),
      word('E', 'length of filament to pull back first', 'length', SET),
      word('U', 'length of filament to take out', 'length', SET),
      word('L', 'length of filament to load', 'length', SET),
      word('B', 'number of beeps', 'count', { min: -1, ...SET }),
      index('T', 'number of the tool', 'the tool in use'),
    ],
    cautions: ['The nozzle stays hot while it waits, and moves off and back by itself.', FEEDS],
    openWords: true,
  }),
  extrusion({
    code: 'M701',
    title: 'Bring filament to the nozzle',
    does: `Feeds filament from the entry to the nozzle, over the length that the controller has stored. ${DIFFERS}`,
    words: [
      word('L', 'length of filament to load', 'length', SET),
      word('Z', 'height to lift first', 'length', { min: 0, ...SET }),
      index('T', 'number of the tool', 'the tool in use'),
    ],
    cautions: [FEEDS],
    openWords: true,
  }),
  extrusion({
    code: 'M702',
    title: 'Take filament out of the nozzle',
    does: `Draws filament back from the nozzle to the entry, over the length that the controller has stored. ${DIFFERS}`,
    words: [
      word('L', 'length of filament to take out', 'length', SET),
      word('Z', 'height to lift first', 'length', { min: 0, ...SET }),
      index('T', 'number of the tool', 'the tool in use'),
    ],
    cautions: [FEEDS],
    openWords: true,
  }),
  extrusion({
    code: 'M603',
    title: 'How much M600 takes out and brings in',
    does: `Stores how much filament M600 takes out and loads. ${DIFFERS}`,
    words: [
      word('U', 'length of filament to take out', 'length', { min: 0, ...KEEPS }),
      word('L', 'length of filament to load', 'length', { min: 0, ...KEEPS }),
      index('T', 'number of the tool', 'the tool in use'),
    ],
  }),
  extrusion({
    code: 'M163',
    title: "One filament's share of a mix",
    does: `Sets how much one feed gives to a nozzle that mixes several filaments. ${DIFFERS}`,
    words: [
      index('S', 'number of the feed', 'the first'),
      word('P', 'share of that feed, beside the other shares', 'number', { min: 0, absent: '0' }),
    ],
  }),
  extrusion({
    code: 'M164',
    title: 'Make a tool of the mix',
    does: `Stores the shares set with M163 as a tool that T can pick. ${DIFFERS}`,
    words: [index('S', 'number of the tool it becomes', 'the first')],
  }),
  extrusion({
    code: 'M404',
    title: 'Filament width that is meant',
    does: `Stores the diameter that the filament should have, for machines that measure it. ${DIFFERS}`,
    words: [word('W', 'diameter', 'length', { min: 0, absent: 'reports it' })],
    openWords: true,
  }),
  extrusion({
    code: 'M405',
    title: 'Correct the flow by the measured width',
    does: `Turns on feeding by the measured diameter of the filament. ${DIFFERS}`,
    openWords: true,
  }),
  extrusion({
    code: 'M406',
    title: 'Do not correct the flow by the width',
    does: `Turns off feeding by the measured diameter of the filament. ${DIFFERS}`,
  }),
  extrusion({
    code: 'M407',
    title: 'Report the measured width',
    does: `Reports the diameter of the filament that the sensor measures. ${DIFFERS}`,
    openWords: true,
  }),
];
