import { axisFlags, DIFFERS, inFamily, KEEPS, nist, onOff, perAxis, SOME, word } from '../define.ts';
import type { CommandRecord } from '../record.ts';

const homing = inFamily('homing and probing');

const XYZ = ['x', 'y', 'z'] as const;
const ELSEWHERE = { do: 'position-unknown', axes: XYZ } as const;
const HOMES = 'Axes move until they touch their switches: clear the bed, and take finished parts off first.';
const PROBES = 'The probe or the nozzle touches the bed: plastic on the tip spoils the measure and can mark the bed.';

/** Commands that find the machine's home or measure the bed. */
export const homingCommands: readonly CommandRecord[] = [
  homing({
    code: 'G28',
    takesMore: true,
    title: 'Home the axes',
    does: 'Drives the axes to their switches, so that the machine knows where it is. On printers the letters choose the axes, and a number behind a letter is ignored; without letters all axes home. RS-274 means something else: it goes through the point given to a stored home position.',
    words: [
      ...axisFlags('home'),
      word('O', 'skip axes that are homed already, where the controller has it', 'none', { value: 'optional' }),
    ],
    effects: [{ do: 'home' }],
    cautions: [HOMES, 'In an end sequence Z may home downwards, into the part.'],
    source: nist('3.5.8'),
  }),
  homing({
    code: 'G29',
    title: 'Measure the bed',
    does: `Probes the bed at several points, so that the controller can even out its tilt or unevenness. Home first. Where the nozzle stands afterwards, and which words there are, differs between controllers: see the machine's manual.`,
    effects: [ELSEWHERE],
    cautions: [PROBES, 'Many controllers forget an earlier measure when G28 homes, so the order counts.'],
    openWords: true,
  }),
  homing({
    code: 'G30',
    title: 'Probe here, or go to the second home',
    does: `Most printing controllers measure the bed's height at one point. RS-274 goes through the point given to a second stored home position. ${DIFFERS}`,
    words: perAxis('place to measure, or point to go through, along', 'length', 'XYZ', { absent: 'where it stands' }),
    effects: [ELSEWHERE],
    cautions: [PROBES],
    source: nist('3.5.8'),
    openWords: true,
  }),
  homing({
    code: 'G31',
    title: 'Put the probe in its holder, or set it up',
    does: `On some controllers puts the probe away, on others stores its trigger height. ${DIFFERS}`,
    effects: [ELSEWHERE],
    openWords: true,
  }),
  homing({
    code: 'G32',
    title: 'Take the probe up, or level the machine',
    does: `On some controllers takes the probe up, on others probes several points and levels the bed or the frame by them. ${DIFFERS}`,
    effects: [ELSEWHERE],
    cautions: [PROBES],
    openWords: true,
  }),
  homing({
    code: 'G33',
    title: 'Work out the geometry of a three-tower machine',
    does: `Probes the bed and works out the geometry of a machine with three towers. ${DIFFERS}`,
    effects: [ELSEWHERE],
    cautions: [PROBES],
    openWords: true,
  }),
  homing({
    code: 'G34',
    title: 'Bring the Z motors to one height',
    does: `Probes near each Z motor and turns the motors until the gantry or the bed is level. ${DIFFERS}`,
    effects: [ELSEWHERE],
    cautions: [PROBES, 'A gantry that stands very askew can jam before it is level.'],
    openWords: true,
  }),
  ...(
    [
      ['G38.2', 'towards the workpiece, and fails if it touches nothing', nist('3.5.9')],
      ['G38.3', 'towards the workpiece, and goes on if it touches nothing', undefined],
      ['G38.4', 'away from the workpiece, and fails if contact is not lost', undefined],
      ['G38.5', 'away from the workpiece, and goes on if contact is not lost', undefined],
    ] as const
  ).map(([code, how, source]) =>
    homing({
      code,
      title: code < 'G38.4' ? 'Probe in a straight line' : 'Probe away in a straight line',
      does: `Moves in a straight line ${how}. It stops at the contact, so the end position is not known beforehand. Few printing controllers have it.`,
      words: [
        ...perAxis('target along', 'length', 'XYZ', { absent: 'this axis stays where it is' }),
        word('F', 'speed', 'length/min', { min: 0, absent: 'the last F stays in force' }),
      ],
      effects: [ELSEWHERE],
      cautions: [PROBES],
      ...(source ? { source } : {}),
      group: 'motion',
      oneOf: ['X', 'Y', 'Z'],
    }),
  ),
  homing({
    code: 'G27',
    title: 'Go to the stored waiting place',
    does: `Lifts the nozzle and moves it to the parking place that the controller has stored. ${DIFFERS}`,
    words: [word('P', 'way in which Z lifts before the move', 'index', { min: 0, absent: 'as the controller is set' })],
    effects: [ELSEWHERE],
    openWords: true,
  }),
  homing({
    code: 'M401',
    title: 'Bring the probe out',
    does: 'Lowers or swings out the bed probe, on machines whose probe moves.',
    cautions: ['A probe that is out hangs lower than the nozzle and hits what the nozzle passes over.'],
    openWords: true,
  }),
  homing({
    code: 'M402',
    title: 'Put the probe away',
    does: 'Lifts or swings back the bed probe, on machines whose probe moves.',
    openWords: true,
  }),
  homing({
    code: 'M420',
    title: 'Even out by the measured bed, or not',
    does: `On some controllers, turns evening out by the stored measure of the bed on or off: while it is on, Z follows the bed's unevenness. Others do this by themselves, or with a command of their own. ${SOME}`,
    words: [onOff('S', 'switch: 1 evens out by the measure, 0 does not')],
    openWords: true,
  }),
  homing({
    code: 'M851',
    title: 'How far the probe lies from the nozzle',
    does: `Stores how far the probe lies from the nozzle. Z is how much lower than the nozzle it triggers, mostly a number below 0. ${SOME}`,
    words: perAxis('distance from the nozzle along', 'length', 'XYZ', { absent: 'this axis stays as it is' }),
    cautions: ['A wrong Z drives the nozzle into the bed on the first layer.'],
    openWords: true,
  }),
  homing({
    code: 'M119',
    title: 'Report the switches',
    does: 'Reports which end stops (the switches at the ends of the axes) and sensors are pressed at this moment.',
  }),
  homing({
    code: 'M665',
    title: 'Geometry of the machine',
    does: `Stores the lengths and angles of a machine whose axes are not square: a delta machine's rods and radius, for one. ${DIFFERS}`,
    cautions: ['Wrong geometry makes every later move go astray.'],
    openWords: true,
  }),
  homing({
    code: 'M666',
    title: 'Fine adjustment of the end stops',
    does: `Stores small corrections of where each axis or tower homes. ${DIFFERS}`,
    words: perAxis('correction of', 'mm', 'XYZ', KEEPS),
    openWords: true,
  }),
  homing({
    code: 'G12',
    title: "Rub plastic off the nozzle's tip",
    does: `Wipes the nozzle on a brush or pad whose place the controller has stored. ${DIFFERS}`,
    words: [
      word('P', 'pattern of the strokes', 'index', { min: 0, absent: 'the first' }),
      word('S', 'number of strokes', 'count', { min: 1, absent: 'as the controller is set' }),
    ],
    effects: [ELSEWHERE],
    cautions: ['Home first. A machine without a brush there wipes on whatever is.'],
    openWords: true,
  }),
  homing({
    code: 'G35',
    title: "Tell how far to turn the bed's screws",
    does: `Probes the bed above its levelling screws and reports how far to turn each. A person has to turn them. ${DIFFERS}`,
    effects: [ELSEWHERE],
    cautions: [PROBES],
    openWords: true,
  }),
  homing({
    code: 'M421',
    title: 'Correct one height of the measured bed',
    does: `Stores the height of one point of the measured bed by hand. ${DIFFERS}`,
    words: [
      word('I', 'number of the point along X', 'index', { min: 0, absent: 'X gives it' }),
      word('J', 'number of the point along Y', 'index', { min: 0, absent: 'Y gives it' }),
      word('Z', 'height of the point', 'length', { absent: 'Q gives it' }),
      word('Q', 'amount to add to its height', 'length', { absent: 'Z gives it' }),
    ],
    openWords: true,
  }),
  homing({
    code: 'M428',
    title: 'Make this place the origin',
    does: `Shifts the stored home position so that the place where the nozzle stands becomes the origin. ${DIFFERS}`,
    effects: [ELSEWHERE],
    cautions: ['A shifted origin moves everything behind it, in later jobs too.'],
  }),
  homing({
    code: 'G26',
    title: 'Draw a pattern over the measured bed',
    does: `On some controllers draws a pattern over the whole bed, by which a person judges how it was measured; it may heat and feed filament by itself. ${DIFFERS}`,
    effects: [ELSEWHERE],
    cautions: [PROBES, 'It may heat: hot parts burn.'],
    openWords: true,
  }),
  homing({
    code: 'G29.1',
    title: 'Shift the measure of the bed',
    does: `On some controllers raises or lowers what was measured of the bed as a whole, or sets where the probe lies. ${DIFFERS}`,
    cautions: ['A wrong figure drives the nozzle into the bed on the first layer.'],
    openWords: true,
  }),
  homing({
    code: 'M376',
    title: 'Height up to which the bed is evened out',
    does: `Sets up to which height Z follows the measured bed: less and less, and above it not at all. ${SOME}`,
    words: [word('H', 'height; 0 for all heights', 'mm', { min: 0, absent: 'reports it' })],
    openWords: true,
  }),
  homing({
    code: 'M555',
    title: 'Where the part will stand',
    does: `On some controllers tells which part of the bed the job needs, so that only that is measured; on others how the controller phrases its answers. ${DIFFERS}`,
    openWords: true,
  }),
  homing({
    code: 'M557',
    title: 'At which points the bed is measured',
    does: `Sets the points, or the grid, at which G29 measures. ${DIFFERS}`,
    cautions: ['A point outside of what the probe reaches makes it miss the bed.'],
    openWords: true,
  }),
  homing({
    code: 'M558',
    title: 'Set the probe up',
    does: `Sets of which kind the probe is, how fast it goes down and how high it travels. ${DIFFERS}`,
    words: [
      word('P', 'kind of probe', 'index', { min: 0, ...KEEPS }),
      word('H', 'height from which it goes down', 'mm', { min: 0, ...KEEPS }),
      word('F', 'speed at which it goes down', 'mm/min', { min: 0, ...KEEPS }),
      word('T', 'speed between the points', 'mm/min', { min: 0, ...KEEPS }),
    ],
    cautions: ['With a wrong kind the probe never triggers, and the nozzle is driven into the bed.'],
    openWords: true,
  }),
  homing({
    code: 'M561',
    title: 'Forget the measure of the bed',
    does: `Stops evening out the bed and forgets what was loaded for it. ${SOME}`,
    cautions: ['Without it the nozzle may touch a bed that is tilted or uneven.'],
    openWords: true,
  }),
];
