import { DIFFERS, inFamily, nist, perAxis, word } from '../define.ts';
import type { CommandRecord } from '../record.ts';

const motion = inFamily('motion');

const stays = { absent: 'this axis stays where it is' };
const axes = perAxis('target along', 'length', 'XYZ', stays);
const extruder = word('E', 'filament to feed, or the feed position to reach', 'length', {
  absent: 'no filament is fed',
});
const feed = word('F', 'speed along the path', 'length/min', { min: 0, absent: 'the last F stays in force' });
const arcWords = [
  ...axes,
  word('I', 'way from the start to the centre along X', 'length', { absent: '0, unless R is given' }),
  word('J', 'way from the start to the centre along Y', 'length', { absent: '0, unless R is given' }),
  word('K', 'way from the start to the centre along Z', 'length', { absent: '0 (used in the planes G18 and G19)' }),
  word('R', 'radius, in place of the centre; below 0 the longer of the two arcs', 'length', {
    absent: 'I, J and K give the centre',
  }),
  extruder,
  feed,
];

const MOVES = 'Axes move: keep hands clear, and know what stands in the way.';

/** Commands that move the axes along a path that the line gives. */
export const motionCommands: readonly CommandRecord[] = [
  motion({
    code: 'G0',
    title: 'Move fast, without extruding',
    does: 'Moves in a straight line to the point given, as a travel move. RS-274 moves at top speed and takes no E or F here; most printing controllers treat G0 just like G1, with the speed that F gives.',
    words: [...axes, extruder, feed],
    effects: [{ do: 'line', rapid: true }],
    cautions: [MOVES],
    source: nist('3.5.1'),
    group: 'motion',
    oneOf: ['X', 'Y', 'Z', 'E', 'F'],
  }),
  motion({
    code: 'G1',
    title: 'Move in a straight line',
    does: 'Moves in a straight line to the point given, at the speed F. With E it feeds filament on the way, so that it prints a line; with E alone it feeds or pulls back while the nozzle stands still.',
    words: [...axes, extruder, feed],
    effects: [{ do: 'line', rapid: false }],
    cautions: [MOVES, 'Feeding filament through a cold nozzle strips the filament or jams the nozzle.'],
    source: nist('3.5.2'),
    group: 'motion',
    oneOf: ['X', 'Y', 'Z', 'E', 'F'],
  }),
  motion({
    code: 'G2',
    title: 'Move along a clockwise arc',
    does: 'Moves clockwise along a circle in the plane in force, to the point given. I and J lead from the start to the centre, in G90 and G91 alike; R gives the radius in their place. With I or J and no end point it goes once round.',
    words: arcWords,
    effects: [{ do: 'arc', clockwise: true }],
    cautions: [MOVES, 'An arc bulges out past its two ends: it may leave the bed although both ends are on it.'],
    source: nist('3.5.3'),
    group: 'motion',
  }),
  motion({
    code: 'G3',
    title: 'Move along a counter-clockwise arc',
    does: 'Moves counter-clockwise along a circle in the plane in force, to the point given. I and J lead from the start to the centre, in G90 and G91 alike; R gives the radius in their place. With I or J and no end point it goes once round.',
    words: arcWords,
    effects: [{ do: 'arc', clockwise: false }],
    cautions: [MOVES, 'An arc bulges out past its two ends: it may leave the bed although both ends are on it.'],
    source: nist('3.5.3'),
    group: 'motion',
  }),
  motion({
    code: 'G4',
    title: 'Pause for a time',
    does: 'Waits until the moves so far are done, then stands still for the time given. RS-274 counts P in seconds; most printing controllers count P in milliseconds and have S for seconds.',
    words: [
      word('P', 'time to wait', 'dwell', { min: 0, absent: 'no pause; it only waits until all moves are done' }),
      word('S', 'time to wait', 's', { min: 0, absent: 'P gives the time' }),
    ],
    effects: [{ do: 'dwell' }],
    cautions: ['A hot nozzle oozes while it waits, and marks the part if it stands on it.'],
    source: nist('3.5.4'),
  }),
  motion({
    code: 'G5',
    title: 'Move along a curve',
    does: `Moves to the point given along a cubic curve: I and J lead from the start to the first control point, P and Q from the end to the second. The curve leaves towards the first and arrives from the second, without touching either. Not every controller has it. ${DIFFERS}`,
    words: [
      ...axes,
      word('I', 'way from the start to the first control point along X', 'length', {
        absent: '0, or where the last curve leads',
      }),
      word('J', 'way from the start to the first control point along Y', 'length', {
        absent: '0, or where the last curve leads',
      }),
      word('P', 'way from the end to the second control point along X', 'length', { absent: '0' }),
      word('Q', 'way from the end to the second control point along Y', 'length', { absent: '0' }),
      extruder,
      feed,
    ],
    effects: [{ do: 'curve' }],
    cautions: [MOVES, 'The curve may swing out past its two ends.'],
    group: 'motion',
  }),
  motion({
    code: 'G5.1',
    title: 'Move along a curve with one control point',
    does: 'Moves to the point given along a curve that bends towards one point on its way: I and J lead from the start to that point. Few printing controllers have it.',
    words: [
      ...axes,
      word('I', 'way from the start to the control point along X', 'length', { absent: '0' }),
      word('J', 'way from the start to the control point along Y', 'length', { absent: '0' }),
      extruder,
      feed,
    ],
    effects: [{ do: 'curve' }],
    cautions: [MOVES, 'The curve may swing out past its two ends.'],
    group: 'motion',
  }),
  motion({
    code: 'G80',
    title: 'End the motion in force',
    does: 'Ends the motion command that still holds, so that a line with axis words alone no longer moves. It moves nothing itself. Printing controllers seldom have it.',
    source: nist('3.5.15'),
    group: 'motion',
  }),
  ...(
    [
      ['G81', 'drills'],
      ['G82', 'drills and waits at the bottom'],
      ['G83', 'drills in small bites'],
      ['G84', 'cuts a thread'],
      ['G85', 'bores, and feeds out'],
      ['G86', 'bores, and pulls out with the spindle stopped'],
      ['G87', 'bores from the back'],
      ['G88', 'bores, and waits for a person'],
      ['G89', 'bores and waits, and feeds out'],
    ] as const
  ).map(([code, how]) =>
    motion({
      code,
      title: 'Drilling cycle, for machine tools',
      does: `Moves to a place, ${how}, and moves out again, as one command. Made for machine tools; a printing controller does not have it, or means something else by it.`,
      words: [
        ...axes,
        word('R', 'height to begin and end at', 'length', { absent: 'the last R of this cycle' }),
        word('L', 'number of times to repeat', 'count', { min: 1, absent: 'once' }),
        word('P', 'time to wait at the bottom', 's', { min: 0, absent: 'the last P of this cycle' }),
        word('Q', 'depth of a bite', 'length', { min: 0, absent: 'the last Q of this cycle' }),
        word('I', 'sideways step along X', 'length', { absent: 'no step' }),
        word('J', 'sideways step along Y', 'length', { absent: 'no step' }),
        word('K', 'height to end at', 'length', { absent: 'none' }),
        feed,
      ],
      effects: [{ do: 'position-unknown', axes: ['x', 'y', 'z'] }],
      cautions: ['It goes down into what lies below: on a printer, the part and the bed.'],
      source: nist('3.5.16'),
      group: 'motion',
    }),
  ),
];
