import { DIFFERS, index, inFamily, KEEPS, onOff, SOME, word } from '../define.ts';
import type { CommandRecord } from '../record.ts';

const messages = inFamily('messages');

const level = (key: string, what: string) => word(key, what, 'number', { min: 0, max: 255, absent: '0' });

/** Commands that show, say or report something. */
export const messageCommands: readonly CommandRecord[] = [
  messages({
    code: 'M117',
    title: 'Put a text on the display',
    does: "Shows the text behind it on the machine's display. Everything up to the end of the line is the message.",
    freeText: true,
  }),
  messages({
    code: 'M118',
    title: 'Send a text to the computer',
    does: 'Sends the text behind it to the computer that drives the machine. Everything up to the end of the line is the message.',
    freeText: true,
  }),
  messages({
    code: 'M73',
    title: 'Tell the display how far the job is',
    does: 'Tells the display how much of the job is done and how long it still takes.',
    words: [
      word('P', 'share that is done', 'percent', { min: 0, max: 100, ...KEEPS }),
      word('R', 'time left', 'min', { min: 0, ...KEEPS }),
    ],
    openWords: true,
  }),
  messages({
    code: 'M300',
    title: 'Give a tone',
    does: 'Sounds a tone, to call somebody to the machine.',
    words: [
      word('S', 'pitch', 'Hz', { min: 0, absent: 'the usual pitch' }),
      word('P', 'length of the sound', 'ms', { min: 0, absent: 'a short beep' }),
    ],
  }),
  messages({
    code: 'M150',
    title: 'Colour of the lights',
    does: `Sets the colour of the machine's lights. ${DIFFERS}`,
    words: [
      level('R', 'share of red'),
      level('U', 'share of green'),
      level('B', 'share of blue'),
      level('W', 'share of white'),
      level('P', 'brightness'),
    ],
    openWords: true,
  }),
  messages({
    code: 'M250',
    title: "How strongly the display's letters stand out",
    does: `Sets the contrast of the display. ${DIFFERS}`,
    words: [word('C', 'contrast', 'number', { min: 0, max: 255, absent: 'reports it' })],
  }),
  messages({
    code: 'M240',
    title: 'Release a camera',
    does: `Makes a camera take a picture. On some machines the nozzle moves aside for it. ${DIFFERS}`,
    openWords: true,
  }),
  messages({
    code: 'M114',
    title: 'Tell where the nozzle is',
    does: 'Reports where the nozzle is, as the controller reckons it.',
    openWords: true,
  }),
  messages({
    code: 'M115',
    title: 'Report what the controller is',
    does: "Reports the name and version of the controller's program and what it can do.",
    openWords: true,
  }),
  messages({
    code: 'M111',
    title: 'How much to report',
    does: `Sets how much the controller says about its work. ${DIFFERS}`,
    words: [word('S', 'things to report, as a sum of flags', 'index', { min: 0, max: 255, absent: 'reports them' })],
    openWords: true,
  }),
  messages({
    code: 'M110',
    title: 'Count lines from here',
    does: 'Sets the line number from which the controller counts, for lines that are sent with N and a checksum.',
    words: [
      word('N', 'number of this line', 'count', { min: 0, absent: '0' }),
      index('S', 'number of the line to count from', 'N counts'),
    ],
  }),
  messages({
    code: 'M31',
    title: 'Tell how long the job has taken so far',
    does: `Reports how long the job has been running. ${SOME}`,
  }),
  messages({
    code: 'M75',
    title: "Let the job's clock run",
    does: `Starts the clock that counts the printing time. ${SOME}`,
    openWords: true,
  }),
  messages({
    code: 'M76',
    title: "Hold the job's clock",
    does: `Halts the clock that counts the printing time; the job goes on. ${SOME}`,
  }),
  messages({
    code: 'M77',
    title: "End the count of the job's clock",
    does: `Stops the clock that counts the printing time. ${SOME}`,
  }),
  messages({
    code: 'M78',
    title: 'Tell how much the machine has printed in its life',
    does: `Reports how many jobs the machine has printed and how long. ${SOME}`,
    openWords: true,
  }),
  messages({
    code: 'M355',
    title: 'Light in the machine',
    does: `Turns the light in the machine's case on or off. ${DIFFERS}`,
    words: [onOff('S', 'switch: 1 turns it on, 0 off'), level('P', 'brightness')],
  }),
  messages({
    code: 'M154',
    title: 'Tell the position again and again',
    does: `Makes the controller report the position every so many seconds; 0 stops it. ${SOME}`,
    words: [word('S', 'time between reports; 0 for none', 's', { min: 0, ...KEEPS })],
  }),
  messages({
    code: 'M291',
    title: 'Ask on the display',
    does: `Shows a text with a title, and, by S, waits until a person has answered. ${SOME}`,
    words: [
      word('P', 'text', 'text', { text: true, required: true }),
      word('R', 'title', 'text', { text: true, absent: 'there is none' }),
      word('S', 'kind: whether it waits, and which buttons there are', 'index', {
        min: -1,
        absent: 'as the controller is set',
      }),
      word('T', 'time after which the text goes away', 's', { min: 0, absent: 'as the controller is set' }),
    ],
    cautions: ['Heaters stay on while it waits, so a hot nozzle oozes and chars.'],
    openWords: true,
  }),
  messages({
    code: 'M292',
    title: 'Answer what the display asks',
    does: `Takes the text of M291 away, and goes on or breaks off. Sent by a display or a computer; in a sequence it makes little sense. ${SOME}`,
    openWords: true,
  }),
  messages({
    code: 'M876',
    title: 'Answer what the computer was asked',
    does: `Tells the controller which button of a question a person has chosen at the computer, or whether the computer can ask at all. ${SOME}`,
    openWords: true,
  }),
];
