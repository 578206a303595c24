import { DIFFERS, inFamily, KEEPS, nist, onOff, perAxis, SOME, word } from '../define.ts';
import type { CommandRecord } from '../record.ts';

const offsets = inFamily('offsets');

const SHIFT = 'A shifted origin moves everything behind it: check that the moves still stay within reach.';

/** G54 to G59.3, offsets 1 to 9. */
const workOffsets = ['G54', 'G55', 'G56', 'G57', 'G58', 'G59', 'G59.1', 'G59.2', 'G59.3'].map((code, i) =>
  offsets({
    code,
    title: `Work offset ${i + 1}`,
    does: `Counts positions from the stored origin number ${i + 1} from here on${i === 0 ? ' (the one after power-on)' : ''}. It moves nothing. G10 L2 P${i + 1} stores that origin. Not every printing controller has work offsets.`,
    effects: [{ do: 'work-offset', index: i + 1 }],
    cautions: [SHIFT],
    source: nist('3.5.13'),
    group: 'work offset',
  }),
);

/** Commands that change where positions are counted from; they move nothing. */
export const offsetCommands: readonly CommandRecord[] = [
  offsets({
    code: 'G92',
    title: 'Set what the position reads',
    does: 'Makes the point where the machine stands read as the values given; nothing moves. G92 E0 starts counting filament anew. Without any word RS-274 refuses it; printing controllers mostly set all axes to 0.',
    words: [
      ...perAxis('new reading along', 'length', 'XYZ', { absent: 'this axis stays as it is' }),
      word('E', 'new reading of the feed position', 'length', { absent: 'E stays as it is' }),
    ],
    effects: [{ do: 'set-position' }],
    cautions: [SHIFT],
    source: nist('3.5.18'),
  }),
  offsets({
    code: 'G92.1',
    title: 'Drop the position shift, and forget it',
    does: "Takes away what G92 has shifted, so that positions are the machine's own again, and sets the stored shift to zero.",
    effects: [{ do: 'clear-offset' }],
    cautions: [SHIFT],
    source: nist('3.5.18'),
  }),
  offsets({
    code: 'G92.2',
    title: 'Drop the position shift, but keep it stored',
    does: 'Takes away what G92 has shifted, but stores it so that G92.3 can bring it back. Few printing controllers have it.',
    effects: [{ do: 'clear-offset' }],
    cautions: [SHIFT],
    source: nist('3.5.18'),
  }),
  offsets({
    code: 'G92.3',
    title: 'Bring back the stored position shift',
    does: 'Shifts positions again by what G92.2 stored. How far is not written in the line, so positions behind it are not known. Few printing controllers have it.',
    effects: [{ do: 'position-unknown', axes: ['x', 'y', 'z'] }],
    cautions: [SHIFT],
    source: nist('3.5.18'),
  }),
  offsets({
    code: 'G53',
    title: 'This line in machine positions',
    does: "Reads the positions of the move on this line as the machine's own, without work offset and G92. It holds for this line only and goes with G0 or G1.",
    effects: [{ do: 'machine-coordinates' }],
    source: nist('3.5.12'),
  }),
  ...workOffsets,
  offsets({
    code: 'M206',
    title: 'Shift the home position',
    does: `Stores how far the origin lies from where the axes home. ${DIFFERS}`,
    words: perAxis('shift along', 'length', 'XYZ', { absent: 'this axis stays as it is' }),
    effects: [{ do: 'position-unknown', axes: ['x', 'y', 'z'] }],
    cautions: [SHIFT],
    openWords: true,
  }),
  offsets({
    code: 'G60',
    title: 'Remember this place',
    does: `Stores where the nozzle is, so that G61 can bring it back there. In other machines than printers G60 has other meanings. ${DIFFERS}`,
    words: [word('S', 'number of the place to save it in', 'index', { min: 0, absent: 'the first' })],
    openWords: true,
  }),
  offsets({
    code: 'M290',
    title: 'Nudge the nozzle while printing',
    does: `Moves an axis, mostly Z, by a very small step that the position does not show, to set the first layer while it prints. ${DIFFERS}`,
    words: [
      ...perAxis('step along', 'mm', 'XYZ', { absent: 'no step' }),
      word('S', 'step along Z', 'mm', { absent: 'Z gives it' }),
    ],
    cautions: ['A step down that is too big drives the nozzle into the bed.'],
    openWords: true,
  }),
  offsets({
    code: 'M218',
    title: 'Place of a tool',
    does: `Stores how far a tool's nozzle lies from that of the first tool. ${DIFFERS}`,
    words: [
      word('T', 'number of the tool', 'index', { min: 0, absent: 'the tool in use' }),
      ...perAxis('distance from the first tool along', 'length', 'XYZ', KEEPS),
    ],
    cautions: ['A wrong distance makes a swap print beside the part or into it.'],
  }),
  offsets({
    code: 'M211',
    title: 'Keep moves inside the known travel, or let them pass',
    does: `Turns the limits on or off that keep moves within the travel that the controller knows. Without words it reports them. ${SOME}`,
    words: [onOff('S', 'switch: 1 keeps moves within the limits, 0 lets them pass')],
    cautions: ['With the limits off the controller moves an axis into its end stop: motors skip and parts bend.'],
  }),
];
