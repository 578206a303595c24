import { DIFFERS, index, inFamily, nist, word } from '../define.ts';
import type { CommandRecord } from '../record.ts';

const tool = inFamily('tool');

const SPINDLE =
  'Made for machines with a spindle. On a printer it does nothing, is refused, or switches a fan, a laser or another output.';
const OUTPUT = 'An output that you do not expect may switch on: read the manual before using it on a printer.';
const COOLANT =
  'Made for cutting machines. On a printer it does nothing, is refused, or switches an air pump or another output.';

/** Commands that pick, change or drive tools. */
export const toolCommands: readonly CommandRecord[] = [
  tool({
    code: 'T',
    takesMore: true,
    title: 'Pick a tool',
    does: 'Makes tool number so-and-so the one that later commands mean; T0 is the first. Printing controllers swap at once, which may move the machine; RS-274 only notes the number until M6 swaps.',
    words: [word('T', 'number of the tool', 'index', { min: -1, required: true })],
    effects: [{ do: 'select-tool', key: 'T' }],
    cautions: ['A swap may move the axes and change the origin by the distance between the nozzles.'],
    source: nist('3.7.3'),
  }),
  tool({
    code: 'M6',
    title: 'Swap the tool',
    does: 'Swaps to the tool that T has named, or waits until a person has done it. Most printing controllers swap with T alone.',
    words: [index('T', 'number of the tool', 'the one named last')],
    effects: [{ do: 'select-tool', key: 'T' }],
    source: nist('3.6.3'),
    group: 'tool change',
    cautions: ['A swap may move the axes.'],
  }),
  tool({
    code: 'M605',
    title: 'How two carriages work',
    does: `On machines with two carriages picks whether each prints on its own, both print copies, or both print mirrored. ${DIFFERS}`,
    words: [index('S', 'number of the way of working', 'the first')],
    cautions: ['In the modes that copy or mirror, each carriage has only a part of the bed.'],
    openWords: true,
  }),
  tool({
    code: 'M280',
    title: 'Turn a servo',
    does: 'Turns a servo motor to an angle: it may swing out a probe or push a wiper.',
    words: [
      word('P', 'number of the servo', 'index', { min: 0, required: true }),
      word('S', 'angle, or pulse length in microseconds above 180 or so', 'degrees', { absent: 'reports the angle' }),
    ],
    cautions: ['Keep fingers away from what the servo moves.'],
    openWords: true,
  }),
  tool({
    code: 'M3',
    title: 'Spindle clockwise',
    does: `Turns the spindle clockwise at the speed S. ${SPINDLE}`,
    words: [word('S', 'speed in turns a minute, or power', 'number', { min: 0, absent: 'the last S stays in force' })],
    cautions: [OUTPUT],
    source: nist('3.6.2'),
    group: 'spindle',
    openWords: true,
  }),
  tool({
    code: 'M4',
    title: 'Spindle counter-clockwise',
    does: `Turns the spindle counter-clockwise at the speed S. ${SPINDLE}`,
    words: [word('S', 'speed in turns a minute, or power', 'number', { min: 0, absent: 'the last S stays in force' })],
    cautions: [OUTPUT],
    source: nist('3.6.2'),
    group: 'spindle',
    openWords: true,
  }),
  tool({
    code: 'M5',
    title: 'Spindle off',
    does: `Stops the spindle. ${SPINDLE}`,
    source: nist('3.6.2'),
    group: 'spindle',
  }),
  tool({
    code: 'M7',
    title: 'Mist on',
    does: `Turns on mist coolant. ${COOLANT}`,
    cautions: [OUTPUT],
    source: nist('3.6.4'),
    group: 'coolant',
  }),
  tool({
    code: 'M8',
    title: 'Flood on',
    does: `Turns on flood coolant. ${COOLANT}`,
    cautions: [OUTPUT],
    source: nist('3.6.4'),
    group: 'coolant',
  }),
  tool({
    code: 'M9',
    title: 'Coolant off',
    does: `Turns off mist and flood. ${COOLANT}`,
    source: nist('3.6.4'),
    group: 'coolant',
  }),
];
