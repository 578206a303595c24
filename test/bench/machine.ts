/** The machine of the benchmarks: a machine file's text. Invented. */
export const MACHINE = JSON.stringify({
  name: 'Bench 226',
  bed: { shape: 'rectangle', left: 0, right: 226, front: 0, back: 217 },
  reach: { shape: 'rectangle', left: 0, right: 237, front: 0, back: 229, bottom: 0, top: 263 },
  heat: { nozzle: { max: 279, minExtrude: 168 }, bed: { max: 103 } },
  speed: { x: 295, y: 270, z: 13, e: 57 },
  acceleration: 1630,
  controller: { dwell: 'ms', fanFull: 255, distanceGovernsE: false, unknownCommand: 'ignored' },
});
